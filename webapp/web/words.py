"""Numbers as people say them, for every template."""

from __future__ import annotations

from flask import Flask
from markupsafe import Markup, escape

from webapp.pack.recognise import find
from webapp.pack.render import quantity_html
from webapp.plan.time import duration


def init_app(app: Flask) -> None:
    """Give templates the filters `duration`, `counted`, `quantity` and `figures_marked`."""
    app.jinja_env.filters |= {
        "duration": duration,
        "counted": counted,
        "quantity": quantity_html,
        "figures_marked": figures_marked,
    }


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun.

    >>> counted(1, "step"), counted(3, "step"), counted(0, "match", "matches")
    ('1 step', '3 steps', '0 matches')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def figures_marked(text: str) -> Markup:
    """Return plain text with its quantities marked up for the unit toggle."""
    parts, end = [], 0
    for found in find(text):
        if found.problem or len(found.amounts) != 1:
            continue
        parts += [escape(text[end : found.start]), quantity_html(found.amounts[0])]
        end = found.end
    return Markup("").join([*parts, escape(text[end:])])
