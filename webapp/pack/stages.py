"""What the wrench is set to in each pass of a fastener group, on one scale in either unit system."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.trade import passes
from webapp.trade.units import UNITS

from . import schema
from .amounts import Amount, read


def full_figures(group: schema.Fasteners) -> list[tuple[str, Amount]]:
    """Return each torque of a group with the bolts it is for, nothing where it is for all of them."""
    own = [(f"{part.length.text} bolts", part.torque) for part in group.lengths if part.torque]
    if group.torque is None or (own and len(own) == len(group.lengths)):
        return own
    others = " and ".join(part.length.text for part in group.lengths if not part.torque)
    return [(f"{others} bolts" if own else "", group.torque), *own]


def pass_figures(group: schema.Fasteners, number: int) -> list[tuple[str, Amount]]:
    """Return the settings of a pass, counted from 1, with the bolts each is for; the last is the full figure.

    A pass given as a share is reckoned out for each length that has a torque of its own. Where a system needs
    a conversion, the pass takes the unit that the full figure has there: one bolt is not read off two scales.
    """
    one = group.passes[number - 1]
    return [(bolts, setting(full, one, number == len(group.passes))) for bolts, full in full_figures(group)]


def setting(full: Amount, one: Amount, last: bool) -> Amount:
    """Return the setting of one pass towards one full figure."""
    if last:
        return full
    if one.kind == "share":
        share = (one.nominal or one.high or Decimal(100)) / 100
        figure = passes.staged(full.figure(), share)
        fields = {name: getattr(figure, name) for name in ("low", "high", "nominal", "unit", "written")}
        one = replace(full, **fields, text=figure.written, second=None)
    return on_scale_of(full, one)


def on_scale_of(full: Amount, one: Amount) -> Amount:
    """Return an amount whose conversion is in the unit that the full figure is converted to."""
    own = UNITS[one.unit].system
    if one.second is not None or own not in ("us", "si"):
        return one
    unit = read(full.shown("si" if own == "us" else "us"), "torque").unit
    written = passes.written_in(one.figure(), unit)
    return replace(one, second=read(written, "torque")) if written else one
