"""How figures are shown: in the system of their source, or converted and rounded for a hand at the car.

A figure in its own system is shown as it was written. A converted one is rounded by these rules:

* The step is the coarsest of its scale (a whole unit, then a half, a fifth, a tenth …) that keeps the
  rounding error of every number within 1 %. A whole N·m, lbf·ft or lbf·in is what a wrench can be set to;
  finer steps come only where a whole one would lose too much.
* Torque in US units is given in lbf·ft where a whole one serves from 10 lbf·ft up, or a half one from
  20 lbf·ft up; otherwise in lbf·in.
* A range is rounded inwards, a ceiling down, a floor up, and a tolerance band is kept inside: no rounding
  ever permits what the source does not. Where inward rounding would close a range, a finer step is taken.
* A limit in mm may lose 2 % to a whole hundredth, where that is also the nearest one: at most 0.004 in
  (0.1016 mm) is at most 0.1 mm, because feeler gauges are graded in 0.01 mm and none is 0.101 mm.
* Temperatures go to whole degrees. A difference of temperatures converts without offset.
* Durations, shares, angles, electrical values and speeds of rotation are the same in both systems.

The rule of 1 % is Droplight's own; the steps are common practice, no source. Factors come from Pint, whose
definitions are those of NIST SP 811.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import ceil, floor
from typing import Literal, NamedTuple

from .quantities import Q_

Kind = Literal[
    "torque",
    "length",
    "distance",
    "duration",
    "temperature",
    "temperature-difference",
    "volume",
    "flow",
    "pressure",
    "angle",
    "mass",
    "voltage",
    "current",
    "resistance",
    "speed",
    "road-speed",
    "share",
    "power",
]
Form = Literal["figure", "range", "tolerance", "at-least", "at-most"]
System = Literal["us", "si"]

LARGEST_ERROR = 0.01
LARGEST_ERROR_OF_A_GAP = 0.02
GAUGE = ("mm", Decimal("0.01"))
"""How feeler gauges are graded. Common practice, no source."""


class Unit(NamedTuple):
    """A unit Droplight knows: what it measures, who uses it, and what Pint calls it."""

    kind: Kind
    system: Literal["us", "si", "both", "other"]  # other: neither system's own, so converted for both
    pint: str


UNITS: dict[str, Unit] = {
    "N·m": Unit("torque", "si", "newton * meter"),
    "cN·m": Unit("torque", "si", "centinewton * meter"),
    "mN·m": Unit("torque", "si", "millinewton * meter"),
    "lbf·ft": Unit("torque", "us", "force_pound * foot"),
    "lbf·in": Unit("torque", "us", "force_pound * inch"),
    "ozf·in": Unit("torque", "us", "force_ounce * inch"),
    "kgf·m": Unit("torque", "other", "force_kilogram * meter"),
    "kgf·cm": Unit("torque", "other", "force_kilogram * centimeter"),
    "mm": Unit("length", "si", "millimeter"),
    "µm": Unit("length", "si", "micrometer"),
    "cm": Unit("length", "si", "centimeter"),
    "m": Unit("length", "si", "meter"),
    "in": Unit("length", "us", "inch"),
    "thou": Unit("length", "us", "thou"),
    "ft": Unit("length", "us", "foot"),
    "km": Unit("distance", "si", "kilometer"),
    "mi": Unit("distance", "us", "mile"),
    "s": Unit("duration", "both", "second"),
    "min": Unit("duration", "both", "minute"),
    "h": Unit("duration", "both", "hour"),
    "d": Unit("duration", "both", "day"),
    "wk": Unit("duration", "both", "week"),
    "°C": Unit("temperature", "si", "degC"),
    "°F": Unit("temperature", "us", "degF"),
    "mL": Unit("volume", "si", "milliliter"),
    "L": Unit("volume", "si", "liter"),
    "US fl oz": Unit("volume", "us", "US_fluid_ounce"),
    "US pt": Unit("volume", "us", "US_pint"),
    "US qt": Unit("volume", "us", "US_quart"),
    "US gal": Unit("volume", "us", "US_gallon"),
    "imp fl oz": Unit("volume", "other", "imperial_fluid_ounce"),
    "imp pt": Unit("volume", "other", "imperial_pint"),
    "imp qt": Unit("volume", "other", "imperial_quart"),
    "imp gal": Unit("volume", "other", "imperial_gallon"),
    "mL/min": Unit("flow", "si", "milliliter / minute"),
    "L/min": Unit("flow", "si", "liter / minute"),
    "US qt/min": Unit("flow", "us", "US_quart / minute"),
    "US gal/min": Unit("flow", "us", "US_gallon / minute"),
    "Pa": Unit("pressure", "si", "pascal"),
    "hPa": Unit("pressure", "si", "hectopascal"),
    "mbar": Unit("pressure", "si", "millibar"),
    "kPa": Unit("pressure", "si", "kilopascal"),
    "bar": Unit("pressure", "si", "bar"),
    "MPa": Unit("pressure", "si", "megapascal"),
    "psi": Unit("pressure", "us", "psi"),
    "inHg": Unit("pressure", "us", "inHg"),
    "mmHg": Unit("pressure", "other", "mmHg"),
    "kgf/cm²": Unit("pressure", "other", "force_kilogram / centimeter ** 2"),
    "°": Unit("angle", "both", "degree"),
    "g": Unit("mass", "si", "gram"),
    "kg": Unit("mass", "si", "kilogram"),
    "oz": Unit("mass", "us", "ounce"),
    "lb": Unit("mass", "us", "pound"),
    "mV": Unit("voltage", "both", "millivolt"),
    "V": Unit("voltage", "both", "volt"),
    "mA": Unit("current", "both", "milliampere"),
    "A": Unit("current", "both", "ampere"),
    "Ω": Unit("resistance", "both", "ohm"),
    "kΩ": Unit("resistance", "both", "kiloohm"),
    "rpm": Unit("speed", "both", "revolution / minute"),
    "km/h": Unit("road-speed", "si", "kilometer / hour"),
    "mph": Unit("road-speed", "us", "mile / hour"),
    "%": Unit("share", "both", "percent"),
    "kW": Unit("power", "si", "kilowatt"),
    "W": Unit("power", "si", "watt"),
    "hp": Unit("power", "us", "horsepower"),  # mechanical, 550 ft·lbf/s
    "PS": Unit("power", "other", "metric_horsepower"),  # 75 kgf·m/s
}

# The unit every other of its kind is compared in.
BASE: dict[Kind, str] = {
    "torque": "N·m",
    "length": "mm",
    "distance": "km",
    "duration": "min",
    "temperature": "°C",
    "temperature-difference": "°C",
    "volume": "L",
    "flow": "L/min",
    "pressure": "kPa",
    "angle": "°",
    "mass": "kg",
    "voltage": "V",
    "current": "A",
    "resistance": "Ω",
    "speed": "rpm",
    "road-speed": "km/h",
    "share": "%",
    "power": "kW",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or two in one unit, and what they mean.

    figure: low == high == nominal. range: low to high. tolerance: nominal, with the band low to high.
    at-most: high alone. at-least: low alone. Numbers are in `unit`; `written` is the source's own writing of
    the numbers with the unit in its canonical spelling.
    """

    kind: Kind
    form: Form
    low: Decimal | None
    high: Decimal | None
    nominal: Decimal | None
    unit: str
    written: str


@lru_cache
def _line(unit: str, difference: bool) -> tuple[float, float]:
    """Return (factor, offset) with base = value * factor + offset."""
    known = UNITS[unit]
    base = UNITS[BASE[known.kind]].pint
    if known.kind != "temperature":
        return float(Q_(1.0, known.pint).m_as(base)), 0.0
    factor = float(Q_(1.0, f"delta_{known.pint}").m_as(f"delta_{base}"))
    return factor, 0.0 if difference else float(Q_(0.0, known.pint).m_as(base))


def to_base(value: Decimal | float, unit: str, kind: Kind) -> float:
    """Return a number in `unit` as a number in BASE[kind]; a temperature difference has no offset."""
    factor, offset = _line(unit, kind == "temperature-difference")
    return float(value) * factor + offset


def convert(value: Decimal | float, unit: str, to: str, kind: Kind) -> float:
    """Return a number in `unit` as a number in the unit `to` of the same kind."""
    if unit == to:
        return float(value)
    factor, offset = _line(to, kind == "temperature-difference")
    return (to_base(value, unit, kind) - offset) / factor


class Rung(NamedTuple):
    """One way to show a converted number: a unit, the least number it serves, its steps, coarse to fine."""

    unit: str
    least: float
    steps: tuple[str, ...]


HALVES = (
    "1",
    "0.5",
    "0.2",
    "0.1",
    "0.05",
    "0.02",
    "0.01",
    "0.005",
    "0.002",
    "0.001",
    "0.0005",
    "0.0002",
    "0.0001",
)
TENTHS = HALVES[3:]
HUNDREDTHS = HALVES[6:]
_TEMPERATURE: dict[System, tuple[Rung, ...]] = {
    "us": (Rung("°F", 0, HALVES),),
    "si": (Rung("°C", 0, HALVES),),
}

# Tried in order. The last of each has no least number. Steps and limits: common practice, no source.
LADDERS: dict[Kind, dict[System, tuple[Rung, ...]]] = {
    "torque": {
        "us": (Rung("lbf·ft", 10, ("1",)), Rung("lbf·ft", 20, ("0.5",)), Rung("lbf·in", 0, HALVES)),
        "si": (Rung("N·m", 0, HALVES),),
    },
    "length": {
        "us": (Rung("ft", 10, TENTHS), Rung("in", 10, TENTHS), Rung("in", 0, HUNDREDTHS)),
        "si": (Rung("m", 3, TENTHS), Rung("mm", 100, ("1",)), Rung("mm", 0, TENTHS)),
    },
    "distance": {"us": (Rung("mi", 0, HALVES),), "si": (Rung("km", 0, HALVES),)},
    "temperature": _TEMPERATURE,
    "temperature-difference": _TEMPERATURE,
    "volume": {
        "us": (Rung("US gal", 2.1, TENTHS), Rung("US qt", 0.5, TENTHS), Rung("US fl oz", 0, HALVES)),
        "si": (Rung("L", 1, TENTHS), Rung("mL", 0, ("10", "5", "2", *HALVES))),
    },
    "flow": {
        "us": (Rung("US gal/min", 0.5, TENTHS), Rung("US qt/min", 0, TENTHS)),
        "si": (Rung("L/min", 1, TENTHS), Rung("mL/min", 0, ("10", "5", "2", *HALVES))),
    },
    "pressure": {"us": (Rung("psi", 0, HALVES),), "si": (Rung("kPa", 0, HALVES),)},
    "mass": {
        "us": (Rung("lb", 1, HALVES), Rung("oz", 0, HALVES)),
        "si": (Rung("kg", 1, HALVES), Rung("g", 0, HALVES)),
    },
    "road-speed": {"us": (Rung("mph", 0, HALVES),), "si": (Rung("km/h", 0, HALVES),)},
    "power": {"us": (Rung("hp", 0, HALVES),), "si": (Rung("kW", 0, HALVES),)},
}


@lru_cache(maxsize=4096)
def show(figure: Figure, system: System) -> str:
    """Return the figure for readers of one system: as written where that is its own, else converted."""
    if UNITS[figure.unit].system in (system, "both"):
        return figure.written
    for rung, step in _rungs(figure, system):
        shown = rounded(figure, rung.unit, Decimal(step))
        if shown is not None:
            return shown
    return figure.written  # so small or so narrow that no step serves: the source's own figure is never wrong


def _rungs(figure: Figure, system: System) -> Iterator[tuple[Rung, str]]:
    smallest = min(abs(value) for value in (figure.low, figure.high) if value is not None)
    for rung in LADDERS[figure.kind][system]:
        if rung.least == 0 or convert(smallest, figure.unit, rung.unit, figure.kind) >= rung.least:
            yield from ((rung, step) for step in rung.steps)


def rounded(figure: Figure, unit: str, step: Decimal) -> str | None:
    """Return the figure in unit, rounded to step by its form; None when the step is too coarse for it.

    step: in unit, more than 0.
    """

    def exact(value: Decimal | None) -> float | None:
        return None if value is None else convert(value, figure.unit, unit, figure.kind)

    low, high, nominal = exact(figure.low), exact(figure.high), exact(figure.nominal)
    degrees = figure.kind == "temperature"
    gap = (unit, step) == GAUGE and nominal is None

    def fits(shown: Decimal, value: float) -> bool:
        lost, size = abs(float(shown) - value), abs(value)
        if gap and lost <= min(LARGEST_ERROR_OF_A_GAP * size, float(step) / 2):
            return True
        return degrees or lost <= LARGEST_ERROR * size

    if nominal is not None:
        middle = _nearest(nominal, step)
        if not fits(middle, nominal):
            return None
        if figure.form == "figure" or low is None or high is None:
            return f"{number(middle)} {unit}"
        within = min(high - float(middle), float(middle) - low)
        band = _down(within, step)
        if band <= 0 or float(band) < 0.8 * within:
            return None
        return f"{number(middle)} ± {number(band)} {unit}"
    least = None if low is None else _up(low, step)
    most = None if high is None else _down(high, step)
    if (least is not None and low is not None and not fits(least, low)) or (
        most is not None and high is not None and not fits(most, high)
    ):
        return None
    if least is None:
        return f"at most {number(most or Decimal(0))} {unit}"
    if most is None:
        return f"at least {number(least)} {unit}"
    return span(number(least), number(most), unit) if least < most else None


# A converted number may miss a step by the last bit of a float; this much of a step is not a difference.
_BIT = 1e-9


def _nearest(value: float, step: Decimal) -> Decimal:
    return floor(value / float(step) + 0.5 + _BIT) * step


def _down(value: float, step: Decimal) -> Decimal:
    return floor(value / float(step) + _BIT) * step


def _up(value: float, step: Decimal) -> Decimal:
    return ceil(value / float(step) - _BIT) * step


def number(value: Decimal) -> str:
    """Return a decimal number as it is printed: no exponent, no needless zeros, a true minus sign."""
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", "−")


def span(low: str, high: str, unit: str) -> str:
    """Return a range as it is printed: with "to" where a dash beside a fraction or minus would be misread."""
    joint = " to " if any(sign in low + high for sign in "−/ ") else "–"
    return join(f"{low}{joint}{high}", unit)


def join(numbers: str, unit: str) -> str:
    """Return numbers with their unit: a space between, except before the degree sign of an angle."""
    return f"{numbers}{unit}" if unit == "°" else f"{numbers} {unit}"
