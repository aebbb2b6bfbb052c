"""The pictures of packs, by content: `/pictures/<sha-256>.<ending>`."""

from __future__ import annotations

from flask import Blueprint, Response

from .assets import FOR_GOOD
from .errors import Gone
from .headers import PICTURE_POLICY
from .packs import the_shelf

bp = Blueprint("pictures", __name__)


@bp.get("/pictures/<file>")
def picture(file: str) -> Response:
    """Serve one picture. Its name says its bytes, so a browser may keep it for good."""
    found = the_shelf().picture(file)
    if not found:
        raise Gone(
            "This picture is not in any pack here.",
            "Open the pack again from the shelf: it may have changed.",
        )
    response = Response(found.content, mimetype=found.media_type)
    response.headers["Content-Security-Policy"] = PICTURE_POLICY
    response.headers["Cache-Control"] = FOR_GOOD
    return response
