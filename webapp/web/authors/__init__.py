"""The authors' reference: every key of a pack and every finding, made from the code that checks packs."""

from __future__ import annotations

from itertools import groupby

from flask import Blueprint, render_template

from webapp.pack.reference import FORMS, SMALLEST_PACK, WHOSE, Section, sections, units_by_kind
from webapp.proof.explain import others, rules

bp = Blueprint("authors", __name__, template_folder="templates")


@bp.get("/authors")
def authors() -> str:
    """Show the whole reference on one page, so that a browser's own search finds everything."""
    groups = [(name, list(members)) for name, members in groupby(sections(), group)]
    return render_template(
        "authors/authors.html",
        groups=groups,
        rules=list(rules()),
        codes=list(others()),
        smallest=SMALLEST_PACK,
        forms=FORMS,
        units=units_by_kind(),
        whose=WHOSE,
    )


def group(section: Section) -> str:
    """Return which part of a pack a section belongs to: what stands before the colon of its title."""
    return section.title.partition(":")[0]
