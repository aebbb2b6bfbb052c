"""The shelf: which packs are here, and which jobs this phone has begun."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from ..packs import Shelved, the_shelf

bp = Blueprint("shelf", __name__, template_folder="templates")


@bp.get("/")
def shelf() -> str:
    """Show the packs that hold the words asked for; all when none are."""
    return render_template("shelf/shelf.html", **asked_for())


@bp.get("/shelf")
def matching() -> str:
    """Show only the list, for htmx."""
    return render_template("shelf/_packs.html", **asked_for())


def asked_for() -> dict[str, object]:
    """Return the words that were asked for and the packs that hold every one of them."""
    words = request.args.get("words", "")[:200]
    every = the_shelf().every()
    found = [shelved for shelved in every if holds_all(shelved, words)]
    return {"words": words, "packs": found, "total": len(every), "folder": the_shelf().folder}


def holds_all(shelved: Shelved, words: str) -> bool:
    """Return whether a pack's slug, title, vehicle, summary or phases hold every word, in any case."""
    text = shelved.slug
    if shelved.pack:
        front = shelved.pack.front
        text = "\n".join(
            [text, front.title, front.vehicle, front.summary, *(p.title for p in shelved.pack.phases)]
        )
    return all(word in text.casefold() for word in words.casefold().split())
