"""The files of static/, each under an address that changes with the release: a browser may keep it for good.

The release is part of the path, not of the query: a module that imports its neighbour by a relative path then
gets the neighbour of the same release.
"""

from __future__ import annotations

import hashlib
import mimetypes
import re
from functools import cache
from pathlib import Path

from flask import Blueprint, Flask, Response, abort, current_app

from webapp import places

FOR_GOOD = "public, max-age=31536000, immutable"
LOOK_AGAIN = "no-cache"

bp = Blueprint("assets", __name__)


class Assets:
    """All files below a folder, read once. `release` names exactly these bytes."""

    def __init__(self, folder: Path) -> None:
        paths = sorted(path for path in folder.rglob("*") if path.is_file())
        self.files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}
        whole = hashlib.sha256()
        for name, content in self.files.items():
            whole.update(f"{name}\0{len(content)}\0".encode() + content)
        self.release = whole.hexdigest()[:12]


def init_app(app: Flask) -> None:
    """Serve static/ and let `url_for("static", filename=…)` give the address of this release."""
    app.extensions["assets"] = assets = Assets(places.STATIC)
    app.register_blueprint(bp)
    app.add_url_rule("/static/v-<release>/<path:filename>", "static", released)

    @app.url_defaults
    def this_release(endpoint: str, values: dict[str, object]) -> None:
        if endpoint == "static":
            values.setdefault("release", assets.release)


def answer(filename: str, cache_control: str) -> Response:
    """Return one file of static/."""
    content = current_app.extensions["assets"].files.get(filename)
    if content is None:
        abort(404)
    media_type = TYPES.get(Path(filename).suffix) or mimetypes.guess_type(filename)[0]
    response = Response(content, mimetype=media_type or "application/octet-stream")
    response.headers["Cache-Control"] = cache_control
    response.add_etag()
    return response


TYPES = {".js": "text/javascript", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml"}
"""Not left to the machine's own table: a wrong type keeps a module from running."""


def released(release: str, filename: str) -> Response:
    """Serve a file of a release; one of another release is served as it is now, and not kept."""
    current = release == current_app.extensions["assets"].release
    return answer(filename, FOR_GOOD if current else LOOK_AGAIN)


@bp.get("/static/<path:filename>")
def plain(filename: str) -> Response:
    """Serve a file by its lasting name."""
    return answer(filename, LOOK_AGAIN)


@bp.get("/manifest.webmanifest")
def manifest() -> Response:
    """Serve what a phone needs to put the program on its home screen."""
    return answer("manifest.webmanifest", LOOK_AGAIN)


NEEDLESS = re.compile(r"""("[^"]*"|'[^']*')|/\*.*?\*/|\s*([{};,]|:(?=\s))\s*|\s+""", re.S)
"""Quoted text, a comment, a mark with space around it, or space alone."""


@cache
def css_bundle(*names: str) -> str:
    """Return style sheets of static/css in one piece, without comments and needless space.

    For the job page, which carries its style in itself: one file fewer to wait for on a slow network.
    """
    whole = "\n".join((places.STATIC / "css" / name).read_text("utf-8") for name in names)
    return stripped(whole)


def stripped(css: str) -> str:
    """Return a style sheet without what only its readers need."""

    def kept(match: re.Match[str]) -> str:
        return match[1] or match[2] or ("" if match[0].startswith("/*") else " ")

    return NEEDLESS.sub(kept, css).strip()
