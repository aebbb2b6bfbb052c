"""A pack's front page: what the job is, what it needs, how long it takes; and what is wrong with the pack."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, get_args

from flask import Blueprint, Response, current_app, render_template, request, url_for
from werkzeug.datastructures import MultiDict

from webapp.pack.compiled import CompiledPack, Step, holds
from webapp.pack.fields import SignalWord
from webapp.pack.schema import Hazard
from webapp.plan.answers import AnswerError, answered
from webapp.plan.kit import kit
from webapp.plan.time import times
from webapp.sheet import make_sheet
from webapp.sheet.page import Paper, Units

from ..errors import Gone, Unclear
from ..packs import Shelved, the_shelf
from ..printing import printed

bp = Blueprint("pack", __name__, template_folder="templates")

SIGNAL_WORDS = get_args(SignalWord)
"""From the gravest to the least."""


@bp.get("/packs/<slug>")
def front(slug: str) -> str:
    """Show what the job is; for a pack that does not compile, what is wrong with it."""
    shelved = pack_or_404(slug)
    if not shelved.pack:
        return render_template("pack/findings.html", shelved=shelved)
    return render_template("pack/front.html", shelved=shelved, **for_answers(shelved.pack))


@bp.get("/packs/<slug>/kit")
def kit_for_answers(slug: str) -> str:
    """Show only what depends on the answers, for htmx."""
    pack = compiled_or_404(slug)
    return render_template("pack/_for_answers.html", **for_answers(pack))


@bp.get("/packs/<slug>/check")
def check(slug: str) -> str:
    """Show what the compiler says about the pack as it is now."""
    return render_template("pack/findings.html", shelved=pack_or_404(slug))


@bp.get("/packs/<slug>/findings")
def findings(slug: str) -> str:
    """Show only the findings, for htmx."""
    return render_template("pack/_findings.html", shelved=pack_or_404(slug))


@bp.get("/packs/<slug>/sheet.pdf")
def sheet(slug: str) -> Response:
    """Make the job sheet for the answers, units and paper asked for."""
    pack = compiled_or_404(slug)
    units: Any = request.args.get("units", pack.front.units)
    paper: Any = request.args.get("paper", "a4")
    if units not in get_args(Units) or paper not in get_args(Paper):
        raise Unclear(
            "A sheet is made in units us, si or both, on paper a4 or letter.", "Choose on the pack's page."
        )
    try:
        answers = answered(pack, {k: v for k, v in request.args.items() if k not in ("units", "paper")})
    except AnswerError as error:
        raise Unclear(error.what, f"{error.offered} Choose on the pack's page.") from error
    address = job_address(pack, answers)
    return printed(pack, lambda: made_sheet(pack.hash, tuple(answers.items()), units, paper, address))


def pack_or_404(slug: str) -> Shelved:
    """Return a pack of the shelf, compiled or not."""
    shelved = the_shelf().by_slug(slug)
    if not shelved:
        raise Gone(f"There is no pack “{slug[:60]}” on this shelf.")
    return shelved


def compiled_or_404(slug: str) -> CompiledPack:
    """Return a pack that compiles."""
    pack = pack_or_404(slug).pack
    if not pack:
        raise Gone(
            "This pack has errors, so nothing can be made from it.", "Open the pack to read what is wrong."
        )
    return pack


def given_answers(pack: CompiledPack, given: MultiDict[str, str]) -> dict[str, str]:
    """Return the answers that count; what the pack does not know is passed over: the page shows it open."""
    questions = pack.front.questions
    return answered(pack, {n: a for n, a in given.items() if n in questions and a in questions[n].answers})


def for_answers(pack: CompiledPack) -> dict[str, object]:
    """Return what the front page shows for the answers in the request."""
    answers = given_answers(pack, request.args)
    steps = pack.selected(answers)
    return {
        "pack": pack,
        "answers": answers,
        "asked": {name: q for name, q in pack.front.questions.items() if holds(q.when, answers)},
        "steps": steps,
        "kit": kit(pack, answers),
        "times": times(steps),
        "hazards": hazards(pack, steps),
        "stops": [step for step in steps if step.safe_stop],
    }


def hazards(pack: CompiledPack, steps: list[Step]) -> list[Hazard]:
    """Return the hazards of these steps once each, the gravest first."""
    used = dict.fromkeys(name for step in steps for name in step.hazards)
    return sorted((pack.hazards[name] for name in used), key=lambda hazard: SIGNAL_WORDS.index(hazard.word))


def job_address(pack: CompiledPack, answers: dict[str, str]) -> str:
    """Return the full address at which the job begins with these answers; none when the program has none."""
    address: str = current_app.config["ADDRESS"]
    query: dict[str, Any] = dict(answers)
    return address and address + url_for("job.job", pack_hash=pack.hash, **query)


@lru_cache(maxsize=8)
def made_sheet(
    pack_hash: str, answers: tuple[tuple[str, str], ...], units: Units, paper: Paper, link: str
) -> bytes:
    """Make a sheet, or return the one made before: it depends on nothing else."""
    pack = the_shelf().by_hash(pack_hash)
    if not pack:
        raise Gone(
            "The pack changed while its sheet was made.", "Open the pack again and ask for the sheet anew."
        )
    return make_sheet(pack, dict(answers), units, paper, link)
