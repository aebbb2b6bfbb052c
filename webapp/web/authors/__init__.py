"""The authors' reference: every key of a pack and every finding, made from the same code that checks packs."""

from __future__ import annotations

from flask import Blueprint, render_template

bp = Blueprint("authors", __name__, template_folder="templates")


@bp.get("/authors")
def authors() -> str:
    """Show the whole reference on one page, so that a browser's own search finds everything."""
    from webapp.pack.codes import CODES
    from webapp.pack.reference import sections

    return render_template("authors/authors.html", sections=sections(), codes=CODES)
