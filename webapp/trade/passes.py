"""The figure of a pass: a share of the full torque, to be set on a wrench on the way there."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from .units import HALVES, Figure, number, rounded


def staged(full: Figure, share: Decimal) -> Figure:
    """Return the figure of a pass at a share of the full one: 0.5 of 20–24 N·m is 10–12 N·m.

    full: a torque of any form. share: more than 0, at most 1. The numbers are exact; what is written is
    rounded as converted figures are (see `units`), because a wrench cannot be set finer. A figure too small
    for that is written as its share.

    Source: a share of the target is what published procedures call a pass; the arithmetic is its definition.
    """

    def part(value: Decimal | None) -> Decimal | None:
        return None if value is None else value * share

    pass_ = Figure(
        full.kind, full.form, part(full.low), part(full.high), part(full.nominal), full.unit, full.written
    )
    return replace(
        pass_, written=written_in(pass_, full.unit) or f"{number(share * 100)} % of {full.written}"
    )


def written_in(figure: Figure, unit: str) -> str | None:
    """Return a figure in the unit named, rounded as converted ones are; None when it is too small for that.

    The passes of one group are read off one scale of one wrench, so all take the unit of its full figure.
    """
    texts = (rounded(figure, unit, Decimal(step)) for step in HALVES)
    return next((text for text in texts if text), None)
