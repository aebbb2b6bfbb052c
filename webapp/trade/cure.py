"""The cure clock: how long a sealant that cures by moisture takes in this bay, never less than its label.

A cured skin grows inward from the open edge, fed by the water that gets through it. So the time goes with the
square of the path the water must travel, and against the vapour pressure of the water in the air. Humidity or
temperature alone will not do: air at 35 °C and 10 % is warmer than the label's 23 °C and 50 %, and slower.

static/js/cure.js says the same on the phone; both are held to tests/vectors/cure.json.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import ceil, floor, isfinite, log10
from typing import Literal

from .answer import Answer, Ask, Declared, Line, line
from .humidity import vapour_pressure
from .quantities import Q_, Quantity
from .refusal import Refused

Clock = Literal["open", "tacky", "set", "full"]

_BIT = 1e-9  # what the last bits of a float may add to a whole minute or take from a round degree

# Common practice, no source:
COLDEST, HOTTEST = 5.0, 50.0  # °C
DRIEST = 1.0  # %: less than any hygrometer shows
DEEPEST = 10.0  # mm
USUAL_TEMPERATURE, USUAL_HUMIDITY = Q_(23, "degC"), Q_(50, "percent")  # what labels are tested at
LONGEST, WIDEST = 100_000.0, 100.0  # min on a label (ten weeks), mm of path: beyond, it is a slip

SOURCE = (
    "Moving boundary of moisture cure: J. Comyn, Int. J. Adhesion and Adhesives (1998), "
    "DOI 10.1016/S0143-7496(97)00031-6 (abstract; the formula from memory). "
    "Vapour pressure: W. Wagner and A. Pruß, J. Phys. Chem. Ref. Data 31 (2002) 387, eq. 2.5"
)
VALIDITY = (
    "One-part sealants that cure by moisture, at 5–50 °C and 1–100 % humidity (common practice, no source)"
)
LABEL_WINS = "The label in hand wins wherever it says longer"
COLD = "Cold also slows the sealant itself, which is not counted: this is the least wait"
NO_PATH = "The label names no bead, so a longer path is not counted: wait longer for a wider joint"
DEEP = "Beyond about 10 mm many one-part sealants never cure through (common practice, no source)"
SKINS_SOONER = "The bay is warmer or damper than the label: the bead may skin sooner. Close at once"


@dataclass(frozen=True, slots=True)
class Cure:
    """How long to wait, and why."""

    time: Quantity  # min
    path_factor: float
    vapour_factor: float
    working: tuple[str, ...]
    cautions: tuple[str, ...]
    source: str = SOURCE
    validity: str = VALIDITY


def stretched(
    label: Quantity,
    clock: Clock,
    *,
    label_temperature: Quantity,
    label_humidity: Quantity,
    bay_temperature: Quantity,
    bay_humidity: Quantity,
    label_path: Quantity | None = None,
    path: Quantity | None = None,
) -> Cure:
    """Return the label's time, lengthened for this joint and this bay.

    label: the time on the label. label_path: the bead or depth it holds for. path: how far the moisture must
    travel here (half the width of a closed flange). Temperatures 5–50 °C; humidities 1–100 %.

    time = label · max(1, (path / label_path)²) · max(1, label vapour pressure / bay vapour pressure)

    Each factor is held at 1 by itself: a damp bay does not pay for a long path, nor a thin bead for dry air,
    so every departure from the label only lengthens its time. By clock: an open time is never lengthened,
    because heat and damp shorten it; tacky is a matter of the surface, so the path does not count (common
    practice, no source); set and full count both.

    Source: SOURCE. Raises Refused for what VALIDITY leaves out.
    """
    minutes = _sensible(label.m_as("min"), LONGEST, "min", "the label's time")
    was = None if label_path is None else _sensible(label_path.m_as("mm"), WIDEST, "mm", "the label's bead")
    now = None if path is None else _sensible(path.m_as("mm"), WIDEST, "mm", "the path")
    label_air = _Air.of(label_temperature, label_humidity, "on the label")
    bay_air = _Air.of(bay_temperature, bay_humidity, "in the bay")

    at = "" if was is None else f", {_mm(was)} path"
    working = [f"Label: {_time(minutes)} at {label_air}{at}", f"Bay: {bay_air}"]
    if clock == "open":
        working.append(f"An open time is never lengthened: {_time(minutes)}")
        sooner = bay_air.celsius > label_air.celsius or bay_air.pressure > label_air.pressure
        return Cure(Q_(minutes, "min"), 1.0, 1.0, tuple(working), (SKINS_SOONER,) if sooner else ())

    by_path, by_vapour, cautions = 1.0, 1.0, [LABEL_WINS]
    if clock != "tacky" and now is not None:
        if was is None:
            cautions.append(NO_PATH)
        else:
            by_path = max(1.0, (now / was) ** 2)
            working.append(_path_line(now, was, by_path))
        if now > DEEPEST:
            cautions.append(DEEP)
    by_vapour = max(1.0, label_air.pressure / bay_air.pressure)
    working.append(_vapour_line(label_air.pressure, bay_air.pressure, by_vapour))
    if bay_air.celsius < label_air.celsius:
        cautions.append(COLD)

    time = minutes * by_path * by_vapour
    factors = "".join(f" × {_figures(factor)}" for factor in (by_path, by_vapour) if factor > 1)
    if factors:
        working.append(f"{_time(minutes)}{factors} = {_time(time, like=minutes)} ({_clock(time)})")
    else:
        working.append(f"The label's time stands: {_time(minutes)}")
    return Cure(Q_(time, "min"), by_path, by_vapour, tuple(working), tuple(cautions))


def in_this_bay(
    label: Quantity,
    clock: Clock,
    bay_temperature: Quantity,
    bay_humidity: Quantity,
    *,
    label_temperature: Quantity = USUAL_TEMPERATURE,
    label_humidity: Quantity = USUAL_HUMIDITY,
    label_path: Quantity | None = None,
    path: Quantity | None = None,
) -> Answer:
    """Return the label's time as it becomes in this bay: `stretched`, with what a person reads."""
    found = stretched(
        label,
        clock,
        label_temperature=label_temperature,
        label_humidity=label_humidity,
        bay_temperature=bay_temperature,
        bay_humidity=bay_humidity,
        label_path=label_path,
        path=path,
    )
    minutes = float(found.time.m_as("min"))
    said = Line("Close within" if clock == "open" else "Wait at least", _clock(minutes))
    value = {"time": found.time, "path_factor": found.path_factor, "vapour_factor": found.vapour_factor}
    return Answer(
        value,
        (said, line("The label says", label, "min" if minutes < 120 else "h", "duration", "0.1")),
        found.working,
        found.source,
        found.validity,
        found.cautions,
    )


@dataclass(frozen=True, slots=True)
class _Air:
    celsius: float
    percent: float
    pressure: float  # kPa of water vapour

    @classmethod
    def of(cls, temperature: Quantity, humidity: Quantity, where: str) -> _Air:
        celsius, percent = float(temperature.m_as("degC")), float(humidity.m_as("percent"))
        if not isfinite(celsius) or not isfinite(percent):
            raise Refused(
                f"temperature or humidity {where} is no number",
                "the wait is worked out from both",
                "Read thermometer and hygrometer again",
            )
        if celsius < COLDEST - _BIT:
            raise Refused(
                f"below {COLDEST:g} °C {where}",
                "so cold, sealants cure unpredictably or not at all",
                "Warm the bay and the parts, then start the clock",
            )
        if celsius > HOTTEST + _BIT:
            raise Refused(
                f"above {HOTTEST:g} °C {where}",
                "labels are not tested so hot",
                "Let the parts cool, or ask the maker of the sealant",
            )
        if not DRIEST - _BIT <= percent <= 100 + _BIT:
            raise Refused(
                f"a humidity outside {DRIEST:g}–100 % {where}",
                "air holds more than none and no more than all the water it can",
                "Give the humidity as a hygrometer shows it, from 1 to 100 %",
            )
        share = Q_(min(percent, 100.0), "percent")
        return cls(celsius, percent, float(vapour_pressure(temperature, share).m_as("kPa")))

    def __str__(self) -> str:
        fahrenheit = self.celsius * 1.8 + 32
        degrees = f"{_places(self.celsius, 1)} °C / {_places(fahrenheit, 0)} °F"
        return f"{degrees} and {_places(self.percent, 1)} % humidity"


def _sensible(value: float, most: float, unit: str, name: str) -> float:
    if not 0 < value <= most:
        raise Refused(
            f"{name} is not between 0 and {most:.0f} {unit}",
            "the wait is worked out from it",
            "Read it off the label again",
        )
    return float(value)


def _path_line(now: float, was: float, factor: float) -> str:
    if factor > 1:
        square = f"({_places(now, 2)}/{_places(was, 2)})²"
        return f"Path {_mm(now)}: {square} = {_figures(factor)} times as long"
    return f"Path {_mm(now)}: no longer than the label's, nothing is taken off"


def _vapour_line(label: float, bay: float, factor: float) -> str:
    both = f"Water vapour: {_figures(label, 3)} kPa on the label, {_figures(bay, 3)} kPa in the bay"
    if factor > 1:
        return f"{both}: {_figures(factor)} times as long"
    return f"{both}: no less than on the label, nothing is taken off"


def _mm(value: float) -> str:
    return f"{_places(value, 2)} mm / {_places(value / 25.4, 2)} in"


def _places(value: float, places: int) -> str:
    """Return a number with at most so many decimals, halves away from nought, as JavaScript has them."""
    rounded = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{rounded:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", "−")


def _figures(value: float, count: int = 4) -> str:
    """Return a number with so many figures, or all of its whole part."""
    return _places(value, max(0, count - 1 - floor(log10(abs(value))))) if value else "0"


def _time(minutes: float, like: float | None = None) -> str:
    """Return a time in minutes, or in hours from two hours up; rounded up to a minute or a tenth of an hour.

    like: another time whose unit it shall have.
    """
    if (like or minutes) < 120:
        return f"{ceil(minutes - _BIT)} min"
    return f"{_places(ceil(minutes / 6 - _BIT) / 10, 1)} h"


def _clock(minutes: float) -> str:
    """Return a time in days, hours and minutes, rounded up to the minute."""
    whole = ceil(minutes - _BIT)
    parts = ((whole // 1440, "d"), (whole // 60 % 24, "h"), (whole % 60, "min"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count)


FIGURES: tuple[Declared, ...] = (
    Declared(
        "cure",
        "Cure in this bay",
        "How long a sealant that cures by moisture takes here: never less than its label.",
        (
            Ask("label", "Time on the label", "duration", "24 h"),
            Ask(
                "clock",
                "That is its",
                "choice",
                "full",
                choices=("open", "tacky", "set", "full"),
                help="Open: must be closed by then. Tacky: skinned. Set: torque or fluid. Full: all through.",
            ),
            Ask("bay_temperature", "Temperature in the bay", "temperature", "13 °C"),
            Ask("bay_humidity", "Humidity in the bay", "share", "40 %"),
            Ask(
                "label_temperature",
                "Temperature on the label",
                "temperature",
                "23 °C",
                required=False,
                help="23 °C where nothing is given.",
            ),
            Ask(
                "label_humidity",
                "Humidity on the label",
                "share",
                "50 %",
                required=False,
                help="50 % where nothing is given.",
            ),
            Ask("label_path", "Bead or depth on the label", "length", "3 mm", required=False),
            Ask(
                "path",
                "How far the moisture must travel",
                "length",
                "4 mm",
                required=False,
                help="Half the width of a closed flange.",
            ),
        ),
        in_this_bay,
    ),
)
