"""The followed job: one document that holds every step, and the worker that keeps it on the phone."""

from __future__ import annotations

import json
import posixpath
from functools import lru_cache

from flask import Blueprint, Response, current_app, render_template, request, url_for
from markupsafe import Markup

from webapp import places
from webapp.pack.compiled import CompiledPack
from webapp.plan.answers import AnswerError, answered
from webapp.sheet import make_sheet, read_passed

from .. import assets, bench
from ..errors import Gone, Unclear
from ..headers import allow_style, policy
from ..packs import the_shelf
from ..printing import printed
from . import mix, phone

bp = Blueprint("job", __name__, template_folder="templates")

STYLE = ("tokens.css", "base.css", "parts.css", "job.css")


@bp.get("/jobs/<pack_hash>")
def job(pack_hash: str) -> Response:
    """Show the whole job. The phone alone reads from the address which run of it this is, and its answers."""
    style = assets.css_bundle(*STYLE)
    response = Response(page(pack_hash, style, current_app.extensions["assets"].release))
    allow_style(style)
    # Photos are shown from the phone's own store.
    response.headers["Content-Security-Policy"] = policy().replace("img-src 'self'", "img-src 'self' blob:")
    return response


@lru_cache(maxsize=16)
def page(pack_hash: str, style: str, release: str) -> str:
    """Return the document of a pack. It depends on the pack and on the release, and on nothing else."""
    pack = pack_of(pack_hash)
    return render_template(
        "job/job.html",
        pack=pack,
        style=Markup(style),  # noqa: S704 - our own style sheets
        release=release,
        phone=phone,
        mix=mix,
        modules=modules(),
        later=later(),
    )


def pack_of(pack_hash: str) -> CompiledPack:
    """Return the pack of an address."""
    pack = the_shelf().by_hash(pack_hash)
    if not pack:
        raise Gone(
            "This job is not on this server any more: its pack has changed.",
            "A phone that follows it has it and goes on. For a new job, open the pack on the shelf.",
        )
    return pack


@bp.post("/jobs/<pack_hash>/sheet.pdf")
def sheet(pack_hash: str) -> Response:
    """Print the sheet with what this phone's job was passed with. Nothing of it is kept here."""
    pack = pack_of(pack_hash)
    try:
        passed = read_passed(pack, request.form.get("passed", ""))
        answers = answered(pack, {k: v for k, v in request.form.items() if k != "passed"})
    except (ValueError, AnswerError) as error:
        raise Unclear(
            "This is not what the job page hands over to be printed.", "Print the sheet from the job page."
        ) from error
    return printed(pack, lambda: make_sheet(pack, answers, pack.front.units, "a4", "", passed))


@bp.get("/jobs/<pack_hash>/machine.json")
def machine(pack_hash: str) -> Response:
    """Serve the tables of the machine that the phone folds its ticks over. The pack's hash covers them.

    Their keys keep their order: of a move that was not possible, the first entry says where it leads.
    """
    text = json.dumps(pack_of(pack_hash).model.plain(), ensure_ascii=False, separators=(",", ":"))
    response = Response(text, mimetype="application/json")
    response.headers["Cache-Control"] = assets.FOR_GOOD
    return response


def modules() -> list[str]:
    """Return the modules of the job page, the first one last: named early, they come side by side."""
    return list(reached(["job.js"]))[::-1]


def later() -> list[str]:
    """Return the modules that the job page asks for only when they are wanted: kept, never waited for."""
    named = modules()
    asked = [name for module in named for name in phone.imported(source(module), later=True)]
    return [name for name in reached(asked) if name not in named]


def reached(modules: list[str]) -> dict[str, None]:
    """Return these modules and all that they import at once, by their paths below static/js."""
    wanted, found = list(modules), dict[str, None]()
    while wanted:
        name = wanted.pop()
        if name not in found:
            found[name] = None
            near = posixpath.dirname(name)
            wanted += [posixpath.normpath(posixpath.join(near, one)) for one in phone.imported(source(name))]
    return found


def source(module: str) -> str:
    """Return the text of a module."""
    return (places.STATIC / "js" / module).read_text("utf-8")


@bp.get("/sw.js")
def worker() -> Response:
    """Serve the service worker with the list of what it keeps."""
    files = current_app.extensions["assets"]
    kept = [url_for("shelf.shelf"), url_for("bench.bench"), url_for("assets.manifest")]
    kept += [url_for("bench.figure", name=name) for name in bench.ON_THE_PHONE]
    kept += [url_for("static", filename=name) for name in files.files if name.endswith(KEPT)]
    head = f"const RELEASE = {json.dumps(files.release)}\nconst SHELL = {json.dumps(kept)}\n"
    response = Response(head + files.files["sw.js"].decode(), mimetype="text/javascript")
    response.headers["Cache-Control"] = assets.LOOK_AGAIN
    return response


KEPT = (".css", ".js", ".svg", ".png", ".woff2")
"""Endings of the files in static/ that the phone keeps."""
