"""How exact numbers stand in the working of an answer: four figures, with the unit they were given in."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

from .answer import rounded_to
from .quantities import Q_, Quantity
from .refusal import Refused
from .units import UNITS, join, number


def said(value: float, step: str = "0.1") -> str:
    """Return a number as it is printed in a working line, rounded to a step."""
    return number(rounded_to(value, Decimal(step)))


def four(value: float) -> str:
    """Return a number with four figures."""
    return number(Decimal(f"{float(value):.4g}"))


def unit_of(quantity: Quantity) -> str:
    """Return the name in UNITS of a quantity's unit. Raises Refused for a unit nobody writes here."""
    name = _names().get(quantity.units)
    if name is None:
        raise Refused(
            f"{quantity.units} is no unit that is read here",
            "a figure is shown in its own unit",
            "Write it in a common one, such as N·m or lbf·ft",
        )
    return name


def exact(quantity: Quantity) -> str:
    """Return a quantity with four figures in its own unit."""
    return join(four(quantity.magnitude), unit_of(quantity))


def fine_step(quantity: Quantity) -> str:
    """Return a step, in the quantity's own unit, that loses a number of 1 or more less than 0.5 %."""
    value = float(quantity.magnitude)
    return next((step for least, step in ((100, "1"), (10, "0.1"), (1, "0.01")) if value >= least), "0.001")


@cache
def _names() -> dict[Any, str]:
    return {Q_(1.0, unit.pint).units: name for name, unit in reversed(UNITS.items())}
