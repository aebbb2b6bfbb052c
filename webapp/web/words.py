"""Numbers as people say them, for every template."""

from __future__ import annotations

from flask import Flask

from webapp.pack.render import quantity_html


def init_app(app: Flask) -> None:
    """Give templates the filters `duration`, `counted` and `quantity`."""
    app.jinja_env.filters |= {"duration": duration, "counted": counted, "quantity": quantity_html}


def duration(seconds: float) -> str:
    """Return a time in hours and minutes: “26 h 10 min”; below a minute in seconds.

    >>> duration(94_200), duration(2_700), duration(30), duration(0)
    ('26 h 10 min', '45 min', '30 s', '0 min')
    """
    if 0 < seconds < 60:
        return f"{seconds:.0f} s"
    hours, minutes = divmod(round(seconds / 60), 60)
    parts = [f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes or not hours)
    return " ".join(parts)


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun.

    >>> counted(1, "step"), counted(3, "step"), counted(0, "match", "matches")
    ('1 step', '3 steps', '0 matches')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"
