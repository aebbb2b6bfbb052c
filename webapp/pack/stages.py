"""What the wrench is set to in each pass of a fastener group, on one scale in either unit system."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.trade import passes
from webapp.trade.units import UNITS

from . import schema
from .amounts import Amount, read


def pass_amount(group: schema.Fasteners, number: int) -> Amount:
    """Return the setting of a pass, counted from 1; the last one is the group's full figure.

    A pass given as a share is reckoned out. Where a system needs a conversion, the pass takes the unit that
    the full figure has there: one bolt is not read off two scales.
    """
    one, full = group.passes[number - 1], group.torque
    if full is None:
        return one
    if number == len(group.passes):
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
