"""The torque wrench: which one holds a figure, what to set on it, and what an adapter changes.

A wrench is true only on part of its scale, by ISO 6789 from 20 % to 100 % of its largest figure, and it can
be set only to its marks. Its deviation is a share of the true torque, so the true torque lies between
setting / (1 + e) and setting / (1 − e).

An adapter that moves the fastener away from the drive square changes the lever. One pull of the hand, F,
turns both: setting = F · L, and the fastener gets F · (L + A · cos θ). A straight extension bar on the axis
of the drive changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import cos, isfinite, radians
from typing import Any, Literal

from .answer import Answer, Ask, Declared, Line, line, rounded_to
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import exact, fine_step, four, unit_of
from .units import number, span

Way = Literal["away from the handle", "toward the handle"]
Fall = Literal["no", "yes"]

FLOOR = Q_(20.0, "percent")
"""From where on a wrench is true, as a share of its largest figure: ISO 6789:2003, type II class A."""
BAND = 0.10  # of the figure, where its maker gives none
OLDEST = 12.0  # months between calibrations, from memory
NEAR = 0.05  # of the largest figure: so near an end of the range one is warned. Common practice, no source
LONGEST = 3000.0  # mm of wrench or adapter: beyond, it is a slip. Common practice, no source
TEST_TEMPERATURE = (Q_(18.0, "degC"), Q_(28.0, "degC"))
"""Between these a wrench is calibrated. Source: ISO 6789:2003."""

SOURCE = (
    "Range and deviation: ISO 6789:2003, type II class A (setting wrenches). "
    "±10 % where the maker gives no band: US Army TM 9-2320-362-14&P"
)
VALIDITY = (
    "Wrenches that are set and click, in good order, used at 18–28 °C as they are calibrated. "
    "A mark is a whole count of graduations from nought"
)
ADAPTER_SOURCE = (
    "Moment balance. Worked examples: US Army TM 9-2350-261-20-1, TM 1-1500-204-23-9, "
    "TM 9-254 (also at an angle)"
)
ADAPTER_VALIDITY = (
    "The hand pulls at the middle of the grip and square to the handle. Angles 0–180° between the adapter "
    "and the line of the handle. An extension bar on the axis of the drive needs no correction"
)
_BIT = 1e-9


@dataclass(frozen=True, slots=True)
class Wrench:
    """A torque wrench: its scale from least to most, the step between its marks, and its history.

    The unit of `most` is the unit of its scale. floor: from which share of `most` on it is used; ISO 6789
    says 20 %, and a maker may say otherwise. months: since it was calibrated; None where nobody knows.
    """

    least: Quantity
    most: Quantity
    graduation: Quantity
    floor: Quantity = FLOOR
    months: float | None = None
    dropped: bool = False

    def __post_init__(self) -> None:
        least, most, step = (self._on_scale(each) for each in (self.least, self.most, self.graduation))
        share, months = float(self.floor.m_as("percent")), self.months
        if not all(isfinite(each) for each in (least, most, step)) or not 0 <= least < most:
            raise Refused(
                "a wrench's scale does not run from a smaller to a larger figure",
                "what it holds is judged by both",
                "Give the smallest and the largest figure on its scale, such as 10 N·m and 60 N·m",
            )
        if not 0 < step < most:
            raise Refused(
                f"marks {four(step)} {self.unit} apart do not fit a scale that ends at {four(most)}",
                "it is set to its marks",
                "Give the step between two marks of its scale, such as 1 N·m",
            )
        if not 0 <= share < 100:
            raise Refused(
                "the wrench's floor is not between 0 and 100 % of its scale",
                "below it nothing is set",
                "Leave it at 20 %, or give what the wrench's maker says",
            )
        if months is not None and not 0 <= months < 1200:
            raise Refused(
                "the months since calibration are no number from 0 up",
                "an old calibration is warned of",
                "Count them from the certificate, or leave them out",
            )

    @property
    def unit(self) -> str:
        """The unit of its scale, as it is written."""
        return unit_of(self.most)

    @property
    def name(self) -> str:
        """What the wrench is called: by its scale."""
        return span(four(self._on_scale(self.least)), four(self._on_scale(self.most)), self.unit)

    def lowest(self) -> float:
        """Return the smallest figure it is used for, on its scale."""
        most = self._on_scale(self.most)
        return max(self._on_scale(self.least), float(self.floor.m_as("percent")) / 100 * most)

    def highest(self) -> float:
        """Return the largest figure it is used for, on its scale."""
        return self._on_scale(self.most)

    def place(self, setting: Quantity) -> Literal["ok", "below-range", "above-range"]:
        """Return whether a setting lies where the wrench is true; both ends belong to it (ISO 6789)."""
        value = self._on_scale(setting)
        if value < self.lowest() * (1 - _BIT):
            return "below-range"
        return "above-range" if value > self.highest() * (1 + _BIT) else "ok"

    def _on_scale(self, torque: Quantity) -> float:
        return float(torque.m_as(self.most.units))


@dataclass(frozen=True, slots=True)
class Dial:
    """What is set on a wrench, and how far that is from what was wanted."""

    wrench: Wrench
    setting: Quantity  # on the wrench's scale, at a mark
    error: float  # share of the wanted figure, more than 0: set too high
    least: Quantity  # what the fastener gets at least, by the wrench's deviation
    most: Quantity


def deviation(most: Quantity) -> float:
    """Return how far a setting wrench in order may be off, as a share of the true torque.

    6 % where its largest figure is 10 N·m or less, else 4 %: the largest figure counts, not the setting.
    Source: ISO 6789:2003, type II class A.
    """
    return 0.06 if float(most.m_as("N*m")) <= 10 * (1 + _BIT) else 0.04


def true_torque(setting: Quantity, most: Quantity) -> tuple[Quantity, Quantity]:
    """Return least and most that a fastener gets at a setting: setting / (1 + e) to setting / (1 − e).

    most: the wrench's largest figure. Source: ISO 6789:2003, where e is a share of the true torque.
    """
    share = deviation(most)
    return setting / (1 + share), setting / (1 - share)


def dial(wanted: Quantity, wrench: Wrench, low: Quantity | None = None, high: Quantity | None = None) -> Dial:
    """Return the mark to set: the nearest to the figure in the band and on the true part of the scale.

    low, high: the maker's band; ±10 % of the figure where neither is given. Where one is given, the figure
    itself is the other end: a never-exceed stays a ceiling.

    Raises Refused where the wrench does not hold the figure, or has no mark within the band.
    """
    least, most = _band(wanted, low, high)
    unit, step = wrench.unit, Decimal(repr(wrench._on_scale(wrench.graduation)))
    value = wrench._on_scale(wanted)
    where = wrench.place(wanted)
    said = f"{four(value)} {unit}"
    if where == "below-range":
        raise Refused(
            f"{said} is too little for the wrench {wrench.name}",
            f"it is true from {four(wrench.lowest())} {unit} up",
            f"Use a wrench that ends at {said} to {_reach(value, wrench.floor)} {unit}",
        )
    if where == "above-range":
        raise Refused(
            f"{said} is too much for the wrench {wrench.name}",
            f"its scale ends at {four(wrench.highest())} {unit}",
            f"Use a wrench that ends at {said} to {_reach(value, wrench.floor)} {unit}",
        )
    bottom = rounded_to(max(wrench._on_scale(least), wrench.lowest()), step, "up")
    top = rounded_to(min(wrench._on_scale(most), wrench.highest()), step, "down")
    if bottom > top:
        raise Refused(
            f"the wrench {wrench.name} has no mark for {said}",
            f"its marks are {four(float(step))} {unit} apart and none lies in "
            f"{span(four(wrench._on_scale(least)), four(wrench._on_scale(most)), unit)}",
            "Use a wrench with finer marks",
        )
    mark = min(max(rounded_to(value, step), bottom), top)
    setting = Q_(float(mark), wrench.most.units)
    given = true_torque(setting, wrench.most)
    return Dial(wrench, setting, float(mark) / value - 1, *given)


def choose(
    wanted: Quantity,
    wrenches: Sequence[Wrench],
    low: Quantity | None = None,
    high: Quantity | None = None,
) -> Dial:
    """Return the smallest wrench that holds the figure, and what to set on it: see dial.

    wanted: more than 0. wrenches: in any order and in any units.

    Raises Refused where none of them serves, and says which would.
    """
    _band(wanted, low, high)
    if not wrenches:
        raise Refused("there is no wrench", "a figure is set on one", "Say which wrenches you have")
    reasons = []
    for wrench in sorted(wrenches, key=lambda each: (float(each.most.m_as("N*m")), _fineness(each))):
        try:
            return dial(wanted, wrench, low, high)
        except Refused as refused:
            reasons.append(f"{wrench.name}: {refused.why}")
    unit, value = unit_of(wanted), float(wanted.magnitude)
    raise Refused(
        f"none of these wrenches serves for {four(value)} {unit}",
        "; ".join(reasons),
        f"Use one that ends at {four(value)} to {_reach(value, FLOOR)} {unit}, "
        f"{_fine_enough(wanted, low, high)}",
    )


def adapter_factor(length: Quantity, extension: Quantity, angle: Quantity, way: Way) -> float:
    """Return (L + A · cos θ) / L: how many times the setting reaches the fastener.

    length L: middle of the grip to the drive square. extension A: drive square to fastener, 0 for none.
    angle θ: 0–180° between the adapter and the line of the handle, 0° straight on, 90° square to it, on
    either side. way: past 90° the adapter points back, and this must say so.

    Raises Refused for lengths that are none, angles past 180°, an angle past 90° that nobody said points
    toward the handle or the other way round, and a fastener at or behind the hand.
    """
    lever, arm, degrees = (
        float(each) for each in (length.m_as("mm"), extension.m_as("mm"), angle.m_as("deg"))
    )
    if not 0 < lever <= LONGEST:
        raise Refused(
            "the wrench's length is not between 0 and 3 m",
            "the correction hangs on it",
            "Measure from the middle of the grip to the middle of the drive square",
        )
    if not 0 <= arm <= LONGEST:
        raise Refused(
            "the adapter's length is not between 0 and 3 m",
            "the correction hangs on it",
            "Measure from the drive square to the middle of the fastener. For one that points back give the "
            "length as it is, and say that it points toward the handle",
        )
    if not isfinite(degrees) or not 0 <= degrees <= 180:
        other = 360 - degrees if 180 < degrees < 360 else abs(degrees)
        write = f"Write {four(other)}°" if 0 <= other <= 180 else "Measure it again, from 0° straight on"
        raise Refused(
            f"an angle of {four(degrees)}° is not between 0 and 180°",
            "the angle is the one between the adapter and the line of the handle, the same on either side",
            write,
        )
    if degrees > 90 + _BIT and way != "toward the handle":
        raise Refused(
            f"at {four(degrees)}° the adapter points back toward the handle",
            "there it takes from the lever, and the setting comes out above the figure",
            f"Say that it points toward the handle, or write {four(180 - degrees)}° if it points away",
        )
    if degrees < 90 - _BIT and way == "toward the handle":
        raise Refused(
            f"at {four(degrees)}° the adapter points away from the handle",
            "there it adds to the lever, and the setting comes out below the figure",
            f"Say that it points away from the handle, or write {four(180 - degrees)}° if it points back",
        )
    reach = lever + arm * cos(radians(degrees))
    if reach <= lever * _BIT:
        raise Refused(
            "the fastener is at the hand or behind it",
            "no pull turns it as the wrench shows",
            "Turn the adapter, or use a shorter one",
        )
    return reach / lever


def adapter_setting(
    wanted: Quantity,
    length: Quantity,
    extension: Quantity,
    angle: Quantity,
    way: Way = "away from the handle",
) -> Quantity:
    """Return what to set so that the fastener gets the figure: wanted · L / (L + A · cos θ), in its unit.

    Arguments and errors: adapter_factor. Source: ADAPTER_SOURCE.
    """
    _band(wanted)
    return wanted / adapter_factor(length, extension, angle, way)


def adapter_gives(
    setting: Quantity,
    length: Quantity,
    extension: Quantity,
    angle: Quantity,
    way: Way = "away from the handle",
) -> Quantity:
    """Return what the fastener gets at a setting: setting · (L + A · cos θ) / L, in its unit.

    Arguments and errors: adapter_factor. Source: ADAPTER_SOURCE.
    """
    _band(setting)
    return setting * adapter_factor(length, extension, angle, way)


def wrench_answer(
    wanted: Quantity,
    least: Sequence[Quantity],
    most: Sequence[Quantity],
    graduation: Sequence[Quantity],
    low: Quantity | None = None,
    high: Quantity | None = None,
    floor: Quantity = FLOOR,
    months: Sequence[float] = (),
    dropped: Sequence[Fall] = (),
) -> Answer:
    """Answer which wrench and what to set on it: see choose. Each list has one entry a wrench."""
    wrenches = _wrenches(least, most, graduation, floor, months, dropped)
    found = choose(wanted, wrenches, low, high)
    bottom, top = _band(wanted, low, high)
    wrench, unit = found.wrench, found.wrench.unit
    value = wrench._on_scale(wanted)
    working = [
        f"Band: {_torques(bottom, top, wanted)}"
        + (" (±10 %, none was given)" if low is None and high is None else ""),
        f"{wrench.name} is true from {four(wrench.lowest())} {unit} (its first mark, or "
        f"{exact(wrench.floor)} of its scale) to {four(wrench.highest())} {unit}",
        *_dialled(found, value),
    ]
    values: dict[str, Any] = {"wrench": wrenches.index(wrench), "most": wrench.most, **_of_dial(found)}
    lines = (
        Line("Set", _at_mark(found)),
        Line("Wrench", wrench.name),
        Line("Rounding", _error(found.error)),
        Line("The fastener gets", _torques(found.least, found.most, found.setting)),
    )
    return Answer(values, lines, tuple(working), SOURCE, VALIDITY, _cautions(found, bottom, top))


def adapter_answer(
    wanted: Quantity,
    length: Quantity,
    extension: Quantity,
    angle: Quantity = Q_(0.0, "degree"),  # noqa: B008 - a quantity never changes
    way: Way = "away from the handle",
    least: Quantity | None = None,
    most: Quantity | None = None,
    graduation: Quantity | None = None,
    low: Quantity | None = None,
    high: Quantity | None = None,
    floor: Quantity = FLOOR,
) -> Answer:
    """Answer what to set with an adapter: see adapter_setting.

    least, most, graduation: the wrench, all or none. Its range is judged on the corrected setting, and the
    band is corrected like the figure.
    """
    factor = adapter_factor(length, extension, angle, way)
    setting = adapter_setting(wanted, length, extension, angle, way)
    unit = unit_of(wanted)
    working = [
        _factor_line(length, extension, angle, factor),
        f"Setting: {exact(wanted)} / {four(factor)} = {exact(setting)}",
    ]
    values: dict[str, Any] = {"setting": setting, "factor": factor, "uncorrected": wanted * factor}
    values |= _lever(length, extension, angle)
    cautions = _adapter_cautions(factor)
    rest = (
        line(
            "Without this correction the fastener gets",
            wanted * factor,
            unit,
            "torque",
            fine_step(wanted * factor),
        ),
    )
    given = [each for each in (least, most, graduation) if each is not None]
    if not given:
        head: tuple[Line, ...] = (line("Set", setting, unit, "torque", fine_step(setting)),)
        return Answer(values, head + rest, tuple(working), ADAPTER_SOURCE, ADAPTER_VALIDITY, cautions)
    if least is None or most is None or graduation is None:
        raise Refused(
            "the wrench is only half said",
            "what it holds and where its marks are is judged by all three",
            "Give the smallest and the largest figure of its scale and the step between its marks, or none",
        )
    bottom, top = _band(wanted, low, high)
    found = dial(setting, Wrench(least, most, graduation, floor), bottom / factor, top / factor)
    gets = found.setting * factor
    values |= _of_dial(found) | {"gets": gets}
    working += [
        f"{found.wrench.name} is true from {four(found.wrench.lowest())} {found.wrench.unit} up, "
        "judged on the corrected setting",
        *_dialled(found, found.wrench._on_scale(setting)),
    ]
    head = (
        Line("Set", _at_mark(found)),
        Line("Exact setting", exact(setting)),
        Line("Rounding", _error(found.error)),
    )
    cautions += _cautions(found, bottom / factor, top / factor)
    return Answer(
        values, head + rest, tuple(working), f"{ADAPTER_SOURCE}. {SOURCE}", ADAPTER_VALIDITY, cautions
    )


def adapter_gives_answer(
    setting: Quantity,
    length: Quantity,
    extension: Quantity,
    angle: Quantity = Q_(0.0, "degree"),  # noqa: B008 - a quantity never changes
    way: Way = "away from the handle",
) -> Answer:
    """Answer what the fastener got at a setting with an adapter: see adapter_gives."""
    factor = adapter_factor(length, extension, angle, way)
    gets = adapter_gives(setting, length, extension, angle, way)
    working = (
        _factor_line(length, extension, angle, factor),
        f"The fastener gets: {exact(setting)} × {four(factor)} = {exact(gets)}",
    )
    lines = (
        line("The fastener gets", gets, unit_of(setting), "torque", fine_step(gets)),
        Line("Against the setting", _error(factor - 1)),
    )
    values = {"gets": gets, "factor": factor, **_lever(length, extension, angle)}
    return Answer(values, lines, working, ADAPTER_SOURCE, ADAPTER_VALIDITY, _adapter_cautions(factor))


def _lever(length: Quantity, extension: Quantity, angle: Quantity) -> dict[str, Quantity]:
    """Return what a drawing of wrench and adapter needs."""
    return {"length": length, "extension": extension, "angle": angle}


def _band(
    wanted: Quantity, low: Quantity | None = None, high: Quantity | None = None
) -> tuple[Quantity, Quantity]:
    """Return the least and the most that the fastener may get."""
    value = float(wanted.m_as("N*m"))
    if not 0 < value < float("inf"):
        raise Refused(
            "the figure is not more than 0",
            "a wrench is set to it",
            "Write the torque wanted, such as 25 N·m",
        )
    if low is None and high is None:
        return wanted * (1 - BAND), wanted * (1 + BAND)
    least, most = wanted if low is None else low, wanted if high is None else high
    bottom, top = float(least.m_as("N*m")), float(most.m_as("N*m"))
    if not bottom * (1 - _BIT) <= value <= top * (1 + _BIT):
        raise Refused(
            f"the figure {exact(wanted)} lies outside its band {_torques(least, most, wanted)}",
            "the setting is kept inside the band",
            "Correct the figure or the band",
        )
    return least, most


def _fine_enough(wanted: Quantity, low: Quantity | None, high: Quantity | None) -> str:
    """Return which step between marks leaves one in the band, even at an end of the scale."""
    least, most = (float(each.m_as(wanted.units)) for each in _band(wanted, low, high))
    value = float(wanted.magnitude)
    sides = [side for side in (value - least, most - value) if side > _BIT * value]
    if not sides:
        return "with a mark for just this figure"
    return f"with marks at most {four(min(sides))} {unit_of(wanted)} apart"


def _wrenches(
    least: Sequence[Quantity],
    most: Sequence[Quantity],
    graduation: Sequence[Quantity],
    floor: Quantity,
    months: Sequence[float],
    dropped: Sequence[Fall],
) -> list[Wrench]:
    count = len(most)
    if len(least) != count or len(graduation) != count:
        raise Refused(
            f"{len(least)} smallest figures, {count} largest and {len(graduation)} steps make no wrenches",
            "each wrench has one of each",
            "Give them in one order, one of each for a wrench",
        )
    for name, given in (("months since calibration", months), ("answers on a fall", dropped)):
        if given and len(given) != count:
            raise Refused(
                f"{len(given)} {name} do not go with {count} wrenches",
                "an old or dropped wrench is warned of by name",
                "Give one for each wrench, or none",
            )
    return [
        Wrench(
            least[at],
            most[at],
            graduation[at],
            floor,
            months[at] if months else None,
            bool(dropped) and dropped[at] == "yes",
        )
        for at in range(count)
    ]


def _of_dial(found: Dial) -> dict[str, Any]:
    return {"dial": found.setting, "error": found.error, "true_least": found.least, "true_most": found.most}


def _dialled(found: Dial, value: float) -> list[str]:
    wrench = found.wrench
    share = deviation(wrench.most) * 100
    return [
        f"Marks {four(wrench._on_scale(wrench.graduation))} {wrench.unit} apart: "
        f"{four(value)} → {_at_mark(found)} ({_error(found.error)})",
        f"±{four(share)} % of the true torque (ISO 6789): {_at_mark(found)} / (1 ± {four(share / 100)}) = "
        f"{_torques(found.least, found.most, found.setting)}",
    ]


def _cautions(found: Dial, bottom: Quantity, top: Quantity) -> tuple[str, ...]:
    wrench, value = found.wrench, found.wrench._on_scale(found.setting)
    said = []
    if value < wrench.lowest() + NEAR * wrench.highest():
        said.append("Near the low end of the scale, where a wrench is least sure: a smaller one is better")
    if value > wrench.highest() * (1 - NEAR):
        said.append("Near the top of the scale: pull slowly, and do not go past the click")
    if wrench.months is not None and wrench.months > OLDEST:
        said.append(
            f"Calibrated {four(wrench.months)} months ago: have it checked, 12 months are usual (from memory)"
        )
    if wrench.dropped:
        said.append("It was dropped: have it checked before it is trusted (from memory)")
    if float(found.least.m_as("N*m")) < float(bottom.m_as("N*m")) * (1 - _BIT) or (
        float(found.most.m_as("N*m")) > float(top.m_as("N*m")) * (1 + _BIT)
    ):
        said.append("The wrench's own deviation reaches past the band, though the setting lies in it")
    return tuple(said)


def _adapter_cautions(factor: float) -> tuple[str, ...]:
    said = ["Hold the wrench at the middle of its grip: the correction holds for that length only"]
    if factor < 0.5:
        said.append("So little lever is left that a small error of length counts much: use a shorter adapter")
    elif factor > 1.5:
        said.append("The adapter is more than half as long as the wrench: it bends and slips easily")
    return tuple(said)


def _factor_line(length: Quantity, extension: Quantity, angle: Quantity, factor: float) -> str:
    lever, arm = exact(length), exact(extension.to(length.units))
    return f"({lever} + {arm} × cos {exact(angle.to('degree'))}) / {lever} = {four(factor)}"


def _at_mark(found: Dial) -> str:
    """Return the setting as it stands on the wrench. It is not converted: the scale has one unit."""
    mark = rounded_to(float(found.setting.magnitude), Decimal("1e-6"))
    return f"{number(mark)} {found.wrench.unit}"


def _error(share: float) -> str:
    percent = rounded_to(share * 100, Decimal("0.1"))
    return "exact" if abs(share) < _BIT else f"{'+' if percent >= 0 else ''}{number(percent)} %"


def _torques(least: Quantity, most: Quantity, like: Quantity) -> str:
    low, high = (float(each.m_as(like.units)) for each in (least, most))
    return span(four(low), four(high), unit_of(like))


def _reach(value: float, floor: Quantity) -> str:
    """Return the largest figure of the largest wrench that is true at a value; rounded down."""
    share = float(floor.m_as("percent")) / 100
    return four(value / share) if share else "any"


def _fineness(wrench: Wrench) -> float:
    return float(wrench.graduation.m_as("N*m"))


_ADAPTER = (
    Ask(
        "length", "How long is the wrench", "length", "350 mm", help="Middle of the grip to the drive square."
    ),
    Ask("extension", "How long is the adapter", "length", "40 mm", help="Drive square to the fastener."),
    Ask(
        "angle",
        "At which angle does it stand",
        "angle",
        "30°",
        required=False,
        help="90° is square to the handle. Straight on: leave it out.",
    ),
    Ask(
        "way",
        "Which way does it point",
        "choice",
        "away from the handle",
        required=False,
        choices=("away from the handle", "toward the handle"),
        help="Past 90° it points toward the handle.",
    ),
)
_BAND_ASKS = (
    Ask(
        "low",
        "Least allowed",
        "torque",
        "23 N·m",
        required=False,
        help="The maker's band. None given: ±10 %.",
    ),
    Ask("high", "Most allowed", "torque", "27 N·m", required=False),
    Ask(
        "floor",
        "From which share of its scale is the wrench true",
        "share",
        "20 %",
        required=False,
        help="ISO 6789 says 20 %. The wrench's maker may say otherwise.",
    ),
)
FIGURES: tuple[Declared, ...] = (
    Declared(
        "wrench",
        "Which wrench",
        "The smallest of your wrenches that holds a figure, and what to set on it.",
        (
            Ask("wanted", "Torque wanted", "torque", "25 N·m"),
            Ask("least", "Smallest figure of each wrench", "torque", "10 N·m", many=True),
            Ask("most", "Largest figure of each wrench", "torque", "60 N·m", many=True),
            Ask("graduation", "Step between the marks of each", "torque", "1 N·m", many=True),
            *_BAND_ASKS,
            Ask("months", "Months since each was calibrated", "number", "6", required=False, many=True),
            Ask(
                "dropped",
                "Has it been dropped since",
                "choice",
                "no",
                required=False,
                choices=("no", "yes"),
                many=True,
            ),
        ),
        wrench_answer,
    ),
    Declared(
        "adapter",
        "Setting with an adapter",
        "What to set when an adapter moves the fastener away from the drive square.",
        (
            Ask("wanted", "Torque wanted", "torque", "25 N·m"),
            *_ADAPTER,
            Ask("least", "Smallest figure of the wrench", "torque", "10 N·m", required=False),
            Ask("most", "Largest figure of the wrench", "torque", "60 N·m", required=False),
            Ask("graduation", "Step between its marks", "torque", "1 N·m", required=False),
            *_BAND_ASKS,
        ),
        adapter_answer,
    ),
    Declared(
        "adapter-gives",
        "What an adapter gave",
        "What the fastener got when a wrench with an adapter was set to a figure.",
        (Ask("setting", "What was set", "torque", "25 N·m"), *_ADAPTER),
        adapter_gives_answer,
    ),
)
