"""What every answer says to the browser: what it may load, what it may keep, what it must not tell others."""

from __future__ import annotations

import base64
import hashlib

from flask import Flask, Response, g, request

POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self'",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "base-uri": "'none'",
    "form-action": "'self'",
    "frame-ancestors": "'none'",
}
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
"""For a picture opened by itself: an SVG may then show, and do nothing."""

SHEET_POLICY = "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
"""For a PDF: the browser's own viewer needs to load itself."""


def allow_style(css: str) -> None:
    """Let this answer carry one `<style>` element with exactly this text between its tags."""
    digest = base64.b64encode(hashlib.sha256(css.encode()).digest()).decode()
    g.style_hash = f"'sha256-{digest}'"


def policy() -> str:
    """Return the Content-Security-Policy of the answer being made."""
    allowed = dict(POLICY)
    if "style_hash" in g:
        allowed["style-src"] += f" {g.style_hash}"
    return "; ".join(f"{what} {where}" for what, where in allowed.items())


def init_app(app: Flask) -> None:
    """Put the headers on every answer."""
    app.after_request(headers)


def headers(response: Response) -> Response:
    """Add what the view has not said itself."""
    said = response.headers
    said.setdefault("Content-Security-Policy", policy())
    said.setdefault("X-Content-Type-Options", "nosniff")
    said.setdefault("Referrer-Policy", "no-referrer")
    said.setdefault("Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()")
    said.setdefault("Cache-Control", "no-cache")
    if request.method in ("GET", "HEAD") and response.status_code == 200 and not response.is_streamed:
        response.add_etag()
    return response
