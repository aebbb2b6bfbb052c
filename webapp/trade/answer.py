"""What a figure of the trade asks, and what it answers: value, working, source, validity, cautions.

Every module of this folder that computes something a mechanic asks for ends with FIGURES: what each is
called, what it wants to know, and the function that answers. Who reads texts, prints or draws needs no more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Any, Literal

from .quantities import Quantity
from .units import UNITS, Figure, Kind, join, number

Plain = Literal["number", "whole", "choice", "text", "amount"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an answer. figure: what stands in text, where each system of units writes its own."""

    label: str
    text: str
    figure: Figure | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """A result with all that belongs to it.

    value: what a program reads, by name: quantities, numbers, texts, lists of them. lines: what a person
    reads, the main one first. working: lines that can be followed with a pencil, the numbers put in.
    curves: for a drawing, by name: points (x, y) in the units that axes names.
    """

    value: dict[str, Any]
    lines: tuple[Line, ...]
    working: tuple[str, ...]
    source: str
    validity: str
    cautions: tuple[str, ...] = ()
    axes: tuple[str, str] | None = None
    curves: dict[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing a figure wants to know.

    kind: a kind of amount, given to the function as a Quantity; or number (float), whole (int), choice (one
    of choices), text (str), amount (a Figure of any kind: a range, a tolerance, a bound). many: a list of
    them. Where an answer is not required and none is given, the function gets its own default.
    """

    name: str
    ask: str
    kind: Kind | Plain
    example: str
    required: bool = True
    choices: tuple[str, ...] = ()
    many: bool = False
    help: str = ""


@dataclass(frozen=True, slots=True)
class Declared:
    """A figure: its name in commands and addresses, its title, what it is for, what it asks, what answers."""

    name: str
    title: str
    what: str
    asks: tuple[Ask, ...]
    answer: Callable[..., Answer]


Way = Literal["nearest", "up", "down"]
_WAYS = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
_BIT = Decimal("1e-9")  # of a step: the last bits of a float are no difference


def rounded_to(value: float, step: Decimal, way: Way = "nearest") -> Decimal:
    """Return a number as a whole count of steps. step: more than 0."""
    count = Decimal(repr(float(value))) / step
    slack = {"nearest": Decimal(0), "up": -_BIT, "down": _BIT}[way]
    return (count + slack).quantize(Decimal(1), _WAYS[way]) * step


def figure(quantity: Quantity, unit: str, kind: Kind, step: str = "1", way: Way = "nearest") -> Figure:
    """Return a quantity as a figure in a unit of UNITS, rounded to a step of that unit."""
    value = rounded_to(float(quantity.m_as(UNITS[unit].pint)), Decimal(step), way)
    return Figure(kind, "figure", value, value, value, unit, join(number(value), unit))


def line(
    label: str, quantity: Quantity, unit: str, kind: Kind, step: str = "1", way: Way = "nearest"
) -> Line:
    """Return a line that says a quantity in a unit, rounded to a step of that unit."""
    shown = figure(quantity, unit, kind, step, way)
    return Line(label, shown.written, shown)
