"""Twist drills: which sizes there are, which is nearest to a hole, how fast to turn it, what to drill first.

Number and letter sizes: ASME B94.11M. Inch fractions go by 1/64 in. How far the fractions and the metric
steps go on is from memory: a drawer holds fewer. The speed comes from the cutting speed at the rim and the
circumference, n = v / (π·d) (Machinery's Handbook). Lists of cutting speeds disagree: the list is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import isfinite, pi
from typing import Literal

from .answer import Answer, Ask, Declared, Line, Way, figure, line, rounded_to
from .quantities import Q_, Quantity
from .refusal import Refused
from .units import number

Series = Literal["fraction", "number", "letter", "metric"]

INCH = 25.4
_NUMBERS = (  # #80 to #1, in ten-thousandths of an inch. ASME B94.11M
    "135 145 160 180 200 210 225 240 250 260 280 292 310 320 330 350 360 370 380 390 "
    "400 410 420 430 465 520 550 595 635 670 700 730 760 785 810 820 860 890 935 960 "
    "980 995 1015 1040 1065 1100 1110 1130 1160 1200 1285 1360 1405 1440 1470 1495 1520 1540 1570 1590 "
    "1610 1660 1695 1730 1770 1800 1820 1850 1890 1910 1935 1960 1990 2010 2040 2055 2090 2130 2210 2280"
)
_LETTERS = (  # A to Z, in thousandths of an inch. ASME B94.11M
    "234 238 242 246 250 257 261 266 272 277 281 290 295 302 316 323 332 339 348 358 368 377 386 397 404 413"
)
LARGEST_FRACTION = Fraction(7, 4)  # in: beyond, steps grow coarser. From memory
FINE_FROM, FINE_TO, COARSE_TO = Decimal("0.5"), Decimal(13), Decimal(32)  # mm. Common practice, no source
_SLACK = 1e-6  # mm: what converting between inches and millimetres may add


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill: its name as stamped or as on the drawer, and its diameter in mm (exact to a float)."""

    name: str
    series: Series
    mm: float

    @property
    def diameter(self) -> Quantity:
        """Its diameter in the unit it is sold by: in or mm."""
        return Q_(self.mm, "mm") if self.series == "metric" else Q_(self.mm / INCH, "in")

    def __str__(self) -> str:
        """Its name with both units: #7 (0.201 in, 5.11 mm)."""
        millimetres = number(rounded_to(self.mm, Decimal("0.01")))
        inches = number(rounded_to(self.mm / INCH, Decimal("0.0001")))
        if self.series == "metric":
            return f"{self.name} ({inches} in)"
        return f"{self.name} ({inches} in, {millimetres} mm)"


def mixed(inches: Fraction) -> str:
    """Return a fraction of an inch as it is spoken: 1 11/64."""
    whole, rest = divmod(inches, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def _metric() -> list[Drill]:
    fine = [FINE_FROM + Decimal(step) / 10 for step in range(int((FINE_TO - FINE_FROM) * 10) + 1)]
    coarse = [FINE_TO + Decimal(step) / 2 for step in range(1, int((COARSE_TO - FINE_TO) * 2) + 1)]
    return [Drill(f"{number(size)} mm", "metric", float(size)) for size in fine + coarse]


DRILLS: dict[Series, tuple[Drill, ...]] = {
    "fraction": tuple(
        Drill(f"{mixed(Fraction(count, 64))} in", "fraction", count / 64 * INCH)
        for count in range(1, int(LARGEST_FRACTION * 64) + 1)
    ),
    "number": tuple(
        Drill(f"#{80 - index}", "number", int(size) / 10_000 * INCH)
        for index, size in enumerate(_NUMBERS.split())
    ),
    "letter": tuple(
        Drill(chr(ord("A") + index), "letter", int(size) / 1000 * INCH)
        for index, size in enumerate(_LETTERS.split())
    ),
    "metric": tuple(_metric()),
}
"""Every drill known, by series, from small to large."""

DRAWERS: dict[str, tuple[Series, ...]] = {
    "metric": ("metric",),
    "inch": ("fraction", "number", "letter"),
    "inch fractions": ("fraction",),
    "all": ("fraction", "number", "letter", "metric"),
}
"""What a drawer holds. inch: numbers, letters and fractions together."""


@dataclass(frozen=True, slots=True)
class Found:
    """A drill for a hole: how far it is off (more than nothing: the drill is larger), and its neighbours."""

    drill: Drill
    off: Quantity  # mm
    smaller: Drill | None
    larger: Drill | None


@lru_cache
def drills(series: tuple[Series, ...]) -> tuple[Drill, ...]:
    """Return the drills of some series, small to large; of one size, that of the series named first."""
    by_size: dict[float, Drill] = {}
    for name in series:
        for drill in DRILLS[name]:
            by_size.setdefault(round(drill.mm, 6), drill)
    return tuple(by_size[size] for size in sorted(by_size))


def nearest(diameter: Quantity, series: Sequence[Series], way: Way = "nearest") -> Found:
    """Return the drill nearest to a hole, or the next one that is no smaller (up) or no larger (down).

    diameter: a length between the smallest and the largest drill of the series. Two equally near: the larger.
    Raises Refused outside these sizes, and where the series hold no such drill.
    """
    known = drills(tuple(series))
    wanted = _millimetres(diameter)
    least, most = known[0], known[-1]
    if not least.mm - _SLACK <= wanted <= most.mm + _SLACK:
        raise Refused(
            f"no drill for {both(wanted)} in this drawer",
            f"it goes from {least} to {most}",
            "Choose another drawer, or check the size",
        )
    above = next(index for index, drill in enumerate(known) if drill.mm >= wanted - _SLACK)
    below = above if known[above].mm <= wanted + _SLACK else above - 1
    nearer = above if known[above].mm - wanted <= wanted - known[below].mm + _SLACK else below
    at = {"up": above, "down": below, "nearest": nearer}[way]
    return Found(
        known[at],
        Q_(known[at].mm - wanted, "mm"),
        known[at - 1] if at else None,
        known[at + 1] if at + 1 < len(known) else None,
    )


_INCHES = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)(?: ?(?:in|\"|″))?")
_DECIMAL = re.compile(r"(\d*\.?\d+) ?(mm|in|\"|″)")


def read_drill(text: str) -> Drill:
    """Return the drill a text names: #7, F, 27/64, 1 11/64 in, 6.8 mm, 0.201 in.

    A size in mm or in decimals of an inch need not be one that is sold. Raises Refused for anything else.
    """
    plain = " ".join(text.split())
    for known in (*DRILLS["number"], *DRILLS["letter"]):
        if plain.upper() == known.name:
            return known
    if part := _INCHES.fullmatch(plain):
        whole, over, under = int(part[1] or 0), int(part[2]), int(part[3])
        if under and over:
            inches = whole + Fraction(over, under)
            return Drill(f"{mixed(inches)} in", "fraction", float(inches) * INCH)
    if part := _DECIMAL.fullmatch(plain):
        size, metric = float(part[1]), part[2] == "mm"
        if size > 0:
            name = f"{number(Decimal(part[1]))} {'mm' if metric else 'in'}"
            return Drill(name, "metric" if metric else "fraction", size if metric else size * INCH)
    raise Refused(
        f"“{text}” names no drill",
        "the hole would be another one",
        "Write it as #7, F, 27/64, 6.8 mm or 0.201 in",
    )


Material = Literal["aluminium", "brass", "mild steel", "medium carbon steel", "cast iron", "stainless steel"]
SPEEDS: dict[str, dict[str, tuple[float, float]]] = {  # m/min for high-speed steel, least and most
    "NAVEDTRA 14345": {
        material: (low * 0.3048, high * 0.3048)  # printed in ft/min
        for material, (low, high) in {
            "aluminium": (200, 300),
            "brass": (200, 300),
            "mild steel": (80, 110),
            "medium carbon steel": (70, 80),
            "cast iron": (70, 150),
            "stainless steel": (30, 40),
        }.items()
    },
    "shop rule": {  # from memory
        "aluminium": (60, 60),
        "mild steel": (25, 25),
        "cast iron": (20, 20),
        "stainless steel": (12, 12),
    },
}
"""Cutting speeds by list and material. The lists disagree, so one is chosen, never a mean of both."""
MATERIALS = tuple(SPEEDS["NAVEDTRA 14345"])
CARBON_STEEL = 0.5  # of the speed of high-speed steel. NAVEDTRA 14345
BY_HAND = 0.5  # a hand drill is held less steadily. Common practice, no source


def cutting_speed(material: str, by: str) -> tuple[Quantity, Quantity]:
    """Return the least and most cutting speed in m/min of a drill of high-speed steel, by a list of SPEEDS.

    Raises Refused for a list that is not known, and for a material the list does not hold.
    """
    speeds = SPEEDS.get(by, {}).get(material)
    if speeds is None:
        holding = [name for name, materials in SPEEDS.items() if material in materials]
        raise Refused(
            f"the list “{by}” has no cutting speed for {material}",
            "a speed that is guessed burns the drill",
            f"Take the list “{holding[0]}”" if holding else f"Choose one of: {', '.join(MATERIALS)}",
        )
    return Q_(speeds[0], "m/min"), Q_(speeds[1], "m/min")


def speed(diameter: Quantity, cutting: Quantity) -> Quantity:
    """Return how fast a drill turns, in rpm, when its rim cuts at so much: n = v / (π·d).

    diameter: a length above nothing. cutting: a speed above nothing, m/min or ft/min.
    Source: geometry; Machinery's Handbook prints 1000·v/(π·d) for m/min and mm, 12·V/(π·D) for ft/min and in.
    """
    rim = float(cutting.m_as("mm/min"))
    if not 0 < rim < float("inf"):
        raise Refused(
            "the cutting speed is no number above 0",
            "the speed of the drill is worked out from it",
            "Take it from a list, in m/min or ft/min",
        )
    return Q_(rim / (pi * _millimetres(diameter)), "revolution / minute")


FIRST = 6.0  # mm: up to here a drill finds its own way from a punch mark. Common practice, no source
STEP = 2.0  # times as wide as the hole before, at most. Common practice, no source


def pilots(diameter: Quantity, series: Sequence[Series]) -> tuple[Drill, ...]:
    """Return the drills to use before the last one, small to large: none up to FIRST.

    The first is no wider than FIRST, and no drill is more than STEP times as wide as the hole it follows, as
    far as the series hold one. Common practice, no source.
    """
    steps: list[Drill] = []
    size = _millimetres(diameter)
    while size > FIRST + _SLACK:
        before = nearest(Q_(size / STEP, "mm"), series, "up").drill
        if before.mm >= size - _SLACK:
            break
        steps.append(before)
        size = before.mm
    return tuple(reversed(steps))


SOURCE = (
    "Number and letter sizes: ASME B94.11M. Speed: n = v / (π·d), Machinery's Handbook. "
    "Cutting speeds: the list named, NAVEDTRA 14345 or a shop rule from memory. "
    "Half speed by hand and pilot steps: common practice, no source"
)
VALIDITY = (
    "Twist drills of high-speed or carbon steel, #80 to 1 3/4 in and 0.5 to 32 mm. "
    "Not for hole saws, step drills, carbide or masonry drills"
)
SLOWER = "Start slow and watch the chip: blue chips or a squeal mean slower"


def drill(
    diameter: Quantity,
    drawer: str,
    material: str,
    speeds: str,
    tool: str = "high-speed steel",
    machine: str = "hand drill",
    fastest: Quantity | None = None,
) -> Answer:
    """Answer which drill of a drawer is nearest to a hole, how fast it turns, and what to drill first.

    diameter: of the hole. drawer: of DRAWERS. material: of MATERIALS. speeds: a list of SPEEDS. tool: of
    TOOLS. machine: of MACHINES. fastest: what the machine turns at most, in rpm.
    Sources: SOURCE. Raises Refused as nearest, cutting_speed and speed do.
    """
    series = drawer_of(drawer)
    found = nearest(diameter, series)
    chosen = found.drill
    low, high = cutting_speed(material, speeds)
    share = (CARBON_STEEL if tool == "carbon steel" else 1) * (BY_HAND if machine == "hand drill" else 1)
    slow, fast = (share * speed(chosen.diameter, cutting) for cutting in (low, high))
    rpm = [float(slow.m_as("rpm")), float(fast.m_as("rpm"))]
    cautions = [SLOWER]
    if fastest is not None:
        most = float(fastest.m_as("rpm"))
        if not 0 < most < float("inf"):
            raise Refused(
                "the machine's own speed is no number above 0",
                "no drill is turned faster than its machine goes",
                "Read it off the machine's plate, or leave it out",
            )
        if rpm[1] > most:
            cautions.append(f"The machine turns {most:.0f} rpm at most: the drill could take {rpm[1]:.0f}")
        rpm = [min(turns, most) for turns in rpm]
    slow, fast = (Q_(turns, "revolution / minute") for turns in rpm)
    first = pilots(chosen.diameter, series)

    lines = [
        Line("Drill", str(chosen)),
        Line("Off by", off_line(found.off)),
        line("Speed", slow, "rpm", "speed", _step(rpm[0]), "down"),
    ]
    if rpm[1] > rpm[0]:
        lines.append(line("Speed at most", fast, "rpm", "speed", _step(rpm[1]), "down"))
    lines += [
        Line("Drill first", ", then ".join(step.name for step in first) or "a punch mark is enough"),
        Line("Next smaller", str(found.smaller) if found.smaller else "none in this drawer"),
        Line("Next larger", str(found.larger) if found.larger else "none in this drawer"),
    ]
    return Answer(
        value={
            "drill": chosen.name,
            "diameter": chosen.diameter,
            "off": found.off,
            "slowest": slow,
            "fastest": fast,
            "pilots": [step.name for step in first],
            "smaller": found.smaller.name if found.smaller else None,
            "larger": found.larger.name if found.larger else None,
        },
        lines=tuple(lines),
        working=(
            f"Hole {both(_millimetres(diameter))}, nearest of the drawer “{drawer}”: {chosen}",
            *(
                _speed_line(chosen, cutting, share, limit)
                for cutting, limit in dict.fromkeys(
                    ((float(low.m_as("m/min")), rpm[0]), (float(high.m_as("m/min")), rpm[1]))
                )
            ),
            f"No step more than {STEP:g} times as wide as the hole before, the first at most {FIRST:g} mm",
        ),
        source=SOURCE,
        validity=VALIDITY,
        cautions=tuple(cautions),
    )


def drawer_of(name: str) -> tuple[Series, ...]:
    """Return the series of a drawer. Raises Refused for one that is not known."""
    if name not in DRAWERS:
        raise Refused(
            f"no drawer is called “{name}”",
            "the nearest drill is looked for in one",
            f"Choose one of: {', '.join(DRAWERS)}",
        )
    return DRAWERS[name]


def off_line(off: Quantity) -> str:
    """Return in words how far a drill is off: 0.05 mm (0.002 in) larger."""
    millimetres = float(off.m_as("mm"))
    if abs(millimetres) < 0.0005:
        return "nothing"
    size = rounded_to(abs(millimetres), Decimal("0.01") if abs(millimetres) >= 0.01 else Decimal("0.001"))
    inches = rounded_to(abs(millimetres) / INCH, Decimal("0.0001"))
    return f"{number(size)} mm ({number(inches)} in) {'larger' if millimetres > 0 else 'smaller'}"


def _speed_line(drill: Drill, cutting: float, share: float, turns: float) -> str:
    free = cutting * 1000 / (pi * drill.mm)
    text = f"1000 × {cutting:.4g} m/min / (π × {drill.mm:.4g} mm) = {free:.0f} rpm"
    if share != 1:
        text += f", × {share:g} = {free * share:.0f} rpm"
    return text if turns >= free * share * (1 - 1e-9) else f"{text}, held at {turns:.0f} rpm"


def _step(rpm: float) -> str:
    return "1" if rpm < 100 else "10"


def both(millimetres: float) -> str:
    """Return a length in mm with the same in inches: 8.5 mm (0.3346 in)."""
    if millimetres > 1e6:
        return f"{millimetres:.3g} mm"
    inches = figure(Q_(millimetres, "mm"), "in", "length", "0.0001").written
    return f"{figure(Q_(millimetres, 'mm'), 'mm', 'length', '0.001').written} ({inches})"


def _millimetres(diameter: Quantity) -> float:
    size = float(diameter.m_as("mm"))
    if not isfinite(size) or size <= 0:
        raise Refused(
            "the diameter is no number above 0",
            "a hole has a width",
            "Measure again, in mm or in",
        )
    return size


TOOLS = ("high-speed steel", "carbon steel")
MACHINES = ("hand drill", "drill press")

FIGURES: tuple[Declared, ...] = (
    Declared(
        "drill",
        "Nearest drill and its speed",
        "Which drill of the drawer comes nearest to a hole, how fast it turns, and what to drill first",
        (
            Ask("diameter", "How wide shall the hole be?", "length", "8.5 mm"),
            Ask("drawer", "Which drills are there?", "choice", "metric", choices=tuple(DRAWERS)),
            Ask("material", "What is drilled?", "choice", "mild steel", choices=MATERIALS),
            Ask(
                "speeds",
                "Whose cutting speeds?",
                "choice",
                "NAVEDTRA 14345",
                choices=tuple(SPEEDS),
                help="The lists disagree; the shop rule is slower, and from memory.",
            ),
            Ask("tool", "What is the drill made of?", "choice", TOOLS[0], required=False, choices=TOOLS),
            Ask("machine", "What turns it?", "choice", MACHINES[0], required=False, choices=MACHINES),
            Ask(
                "fastest",
                "How fast does the machine turn at most?",
                "speed",
                "3000 rpm",
                required=False,
                help="As its plate says.",
            ),
        ),
        drill,
    ),
)
