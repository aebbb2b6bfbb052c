"""Two power runs compared over the speeds they share: before the work and after it.

A peak says little: it may move, and what was lost lower down is driven every day. So the whole shared range
is compared. A run is read as points joined by straight lines; its mean is the area under them divided by the
width of the range. On a grid that holds every measured speed of every run, the trapezoid rule gives that area
exactly, and the greatest loss falls on a point of the grid.

Where a side holds several runs, their means differ. A change no larger than that spread is no change shown.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from typing import Literal, NamedTuple

from .answer import Answer, Ask, Declared, Line, line
from .power import KW
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import said

Measure = Literal["torque", "power"]
Point = tuple[float, float]
MEASURES: tuple[Measure, ...] = ("torque", "power")
UNIT: dict[Measure, str] = {"torque": "N·m", "power": "kW"}
PINT: dict[Measure, str] = {"torque": "N*m", "power": "kW"}

FEWEST, MOST, MOST_RUNS, LONGEST = 4, 5000, 40, 100_000
FASTEST, MIGHTIEST = 100_000.0, 100_000.0

SOURCE = (
    "Mean over a range = area ÷ width, the area by the trapezoid rule on straight lines between the points"
)
VALIDITY = (
    "The same engine, gear and dyno, at full throttle, over the speeds that all runs share; "
    "4 to 5000 points a run. Between points a straight line is drawn"
)
SAME_AIR = "Correct all runs for the weather by one standard first, or run them on the same day"
ONE_RUN = "One run a side does not tell a change from chance: run each side at least three times"
HIDDEN = "The mean is up, yet somewhere it is down: look at the curve where the engine is used"
GAIN, LOSS, NO_CHANGE = "gain", "loss", "no change shown"


@dataclass(frozen=True, slots=True)
class Run:
    """One pull: its name, what it measured, and its points (rpm; N·m or kW) by rising speed."""

    name: str
    measure: Measure
    points: tuple[Point, ...]

    def as_(self, measure: Measure) -> tuple[Point, ...]:
        """Return the points as torque in N·m or as power in kW, turned into each other at each point."""
        if measure == self.measure:
            return self.points
        if measure == "power":
            return tuple((n, t * n / KW) for n, t in self.points)
        return tuple((n, p * KW / n) for n, p in self.points)


class _Unit(NamedTuple):
    what: Literal["speed", "torque", "power"]
    pint: str


_UNITS = {
    **dict.fromkeys(("rpm", "1/min", "min1", "r/min", "rev/min", "u/min"), _Unit("speed", "rpm")),
    "nm": _Unit("torque", "N*m"),
    **dict.fromkeys(
        ("lbfft", "lbft", "ftlb", "ftlbf", "ftlbs", "lbsft"), _Unit("torque", "force_pound * foot")
    ),
    **dict.fromkeys(("kgfm", "kgm", "mkg"), _Unit("torque", "force_kilogram * meter")),
    "kw": _Unit("power", "kW"),
    **dict.fromkeys(("hp", "bhp"), _Unit("power", "horsepower")),
    "ps": _Unit("power", "metric_horsepower"),
}
_NUMBER = re.compile(r"[+-]?\d+(\.\d*)?([eE][+-]?\d{1,2})?")
_HEADING = "Begin with a heading such as: speed (rpm), torque (N·m)"


def read(text: str, side: str = "the runs") -> tuple[Run, ...]:
    """Return the runs of a text: a heading with units, then a line for each speed, with rising speeds.

    Columns stand between commas, semicolons or tabs. The first is the speed; each further column of torque is
    a run. Where there is none, each column of power is one; power beside torque is left aside, as it says the
    same. Another heading begins another table. Blank lines and lines that begin with # are passed over.

    Raises Refused, naming the line, for what cannot be read so.
    """
    if len(text) > LONGEST:
        raise Refused(
            f"{side} are too long", f"more than {LONGEST} signs are no power run", "Give fewer points"
        )
    runs: list[Run] = []
    table: _Table | None = None
    for at, row in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        if not row.strip() or row.lstrip().startswith("#"):
            continue
        heading = _heading(row, at)
        if heading is not None:
            runs += table.runs(len(runs)) if table else ()
            table = heading
        elif table is None:
            raise Refused(
                f"line {at} of {side} is no heading with units",
                "a number without a unit is a guess",
                _HEADING,
            )
        else:
            table.add(row, at)
    if table is None:
        raise Refused(f"{side} are empty", "there is nothing to compare", _HEADING)
    runs += table.runs(len(runs))
    if len(runs) > MOST_RUNS:
        raise Refused(f"{side} hold more than {MOST_RUNS} runs", "nobody pulls so often", "Give fewer")
    return tuple(runs)


def at(points: Sequence[Point], speed: float) -> float:
    """Return the value at a speed within a run, on the straight line between the points around it."""
    upper = next(i for i in range(1, len(points)) if points[i][0] >= speed)
    (x0, y0), (x1, y1) = points[upper - 1], points[upper]
    return y0 if speed <= x0 else y1 if speed == x1 else y0 + (speed - x0) / (x1 - x0) * (y1 - y0)


def resampled(points: Sequence[Point], grid: Sequence[float]) -> list[float]:
    """Return the values of a run at rising speeds within it, on the straight lines between its points."""
    values, upper = [], 1
    for speed in grid:
        while points[upper][0] < speed:
            upper += 1
        values.append(at(points[upper - 1 : upper + 1], speed))
    return values


def area(points: Sequence[Point], low: float, high: float) -> float:
    """Return the area under the straight lines of a run from one speed to another; both within the run.

    Source: trapezoid rule, exact for straight lines.
    """
    inner = [point for point in points if low < point[0] < high]
    ends = [(low, at(points, low)), *inner, (high, at(points, high))]
    return sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(ends))


def runs(
    before: str, after: str, measure: Measure = "torque", bands: Sequence[Quantity] | None = None
) -> Answer:
    """Answer how the runs after some work differ from those before it.

    before, after: texts as `read` takes them, each with one or more runs. measure: torque or power, whichever
    is compared; either is worked out from the other. bands: speeds that cut the range; none given, it is cut
    into three equal parts.

    Raises Refused as `read` does, when the runs share no range, and for a band outside it.
    """
    if measure not in MEASURES:
        raise Refused(f"{measure} is not compared", "a run shows torque or power", "Choose torque or power")
    sides = {"before": read(before, "the runs before"), "after": read(after, "the runs after")}
    pulls = {name: [run.as_(measure) for run in side] for name, side in sides.items()}
    every = [points for side in pulls.values() for points in side]
    low, high = max(points[0][0] for points in every), min(points[-1][0] for points in every)
    if low >= high:
        raise Refused(
            "the runs share no range of speeds",
            f"one begins at {said(low, '1')} rpm, another ends at {said(high, '1')} rpm",
            "Run both over the same speeds",
        )
    width, unit = high - low, UNIT[measure]
    grid = sorted({low, high, *(x for points in every for x, _ in points if low < x < high)})
    was, now = (_middle([resampled(points, grid) for points in pulls[side]]) for side in ("before", "after"))
    curves = {"before": tuple(zip(grid, was, strict=True)), "after": tuple(zip(grid, now, strict=True))}
    areas = {name: area(curve, low, high) for name, curve in curves.items()}
    means = {name: size / width for name, size in areas.items()}
    if means["before"] == 0:
        raise Refused(
            "the runs before show nothing", "a change is a share of what was", "Check their columns"
        )
    difference = means["after"] - means["before"]
    spread = _spread(pulls, low, high)
    verdict = NO_CHANGE if abs(difference) <= (spread or 0.0) else GAIN if difference > 0 else LOSS
    worst = min(range(len(grid)), key=lambda i: (now[i] - was[i], grid[i]))

    mean_before, mean_after = (Q_(means[name], PINT[measure]) for name in ("before", "after"))
    value: dict[str, object] = {
        "verdict": verdict,
        "runs_before": [run.name for run in sides["before"]],
        "runs_after": [run.name for run in sides["after"]],
        "before": mean_before,
        "after": mean_after,
        "change": Q_(100 * difference / means["before"], "percent"),
        "spread": None if spread is None else Q_(spread, PINT[measure]),
        "range": (Q_(low, "rpm"), Q_(high, "rpm")),
        "area_before": Q_(areas["before"], f"{PINT[measure]} * rpm"),
        "area_after": Q_(areas["after"], f"{PINT[measure]} * rpm"),
    }
    untested = "" if spread is not None or verdict == NO_CHANGE else ", not tested against chance"
    lines = [
        Line(f"Mean {measure}", f"{_signed(100 * difference / means['before'])} %: {verdict}{untested}"),
        line("Before", mean_before, unit, measure, "0.1"),
        line("After", mean_after, unit, measure, "0.1"),
        Line("Speeds compared", f"{said(low, '1')}–{said(high, '1')} rpm"),
        Line("Runs compared", f"{len(sides['before'])} before, {len(sides['after'])} after"),
    ]
    working = [
        f"{name.capitalize()}: area {said(areas[name], '1')} {unit}·rpm / {said(width, '1')} rpm "
        f"= {said(means[name], '0.01')} {unit}"
        for name in ("before", "after")
    ]
    working.append(
        f"({said(means['after'], '0.01')} − {said(means['before'], '0.01')}) "
        f"/ {said(means['before'], '0.01')} "
        f"= {_signed(100 * difference / means['before'])} %"
    )
    _worst(grid[worst], was[worst], now[worst], unit, measure, lines, value)
    _bands(curves, low, high, bands, unit, lines, value)
    _peaks(curves, measure, lines, value)
    if spread is not None:
        lines.append(line("Spread between runs of one side", Q_(spread, PINT[measure]), unit, measure, "0.1"))
        working.append(
            f"Difference {_signed(difference, '0.01')} {unit}, "
            f"spread of repeated runs {said(spread, '0.01')} {unit}: {verdict}"
        )
    cautions = [SAME_AIR]
    if spread is None:
        cautions.append(ONE_RUN)
    if verdict == GAIN and now[worst] < was[worst]:
        cautions.append(HIDDEN)
    return Answer(
        value, tuple(lines), tuple(working), SOURCE, VALIDITY, tuple(cautions), ("rpm", unit), curves
    )


def _middle(pulls: Sequence[Sequence[float]]) -> tuple[float, ...]:
    return tuple(sum(sorted(values)) / len(values) for values in zip(*pulls, strict=True))


def _spread(pulls: dict[str, list[tuple[Point, ...]]], low: float, high: float) -> float | None:
    """Return the widest difference between the means of one side's runs; None when no side repeats."""
    found = []
    for side in pulls.values():
        means = [area(points, low, high) / (high - low) for points in side]
        if len(means) > 1:
            found.append(max(means) - min(means))
    return max(found) if found else None


def _worst(
    speed: float,
    was: float,
    now: float,
    unit: str,
    measure: Measure,
    lines: list[Line],
    value: dict[str, object],
) -> None:
    if now >= was:
        lines.append(Line("Greatest loss", "nowhere less than before"))
        value["worst"] = None
        return
    share = 100 * (now - was) / was
    value["worst"] = {
        "speed": Q_(speed, "rpm"),
        "change": Q_(share, "percent"),
        "difference": Q_(now - was, PINT[measure]),
    }
    lines.append(
        Line("Greatest loss", f"{_signed(now - was)} {unit} ({_signed(share)} %) at {said(speed, '1')} rpm")
    )


def _bands(
    curves: dict[str, tuple[Point, ...]],
    low: float,
    high: float,
    bands: Sequence[Quantity] | None,
    unit: str,
    lines: list[Line],
    value: dict[str, object],
) -> None:
    if bands:
        cuts = sorted({float(cut.m_as("rpm")) for cut in bands})
        if not all(low < cut < high for cut in cuts):
            raise Refused(
                "a band is cut outside the shared range",
                f"the runs share {said(low, '1')}–{said(high, '1')} rpm",
                "Cut inside it, or leave the bands out",
            )
    else:
        cuts = [low + (high - low) / 3, low + 2 * (high - low) / 3]
    edges = [low, *cuts, high]
    found = []
    for a, b in pairwise(edges):
        was, now = (area(curves[name], a, b) / (b - a) for name in ("before", "after"))
        share = "" if was == 0 else f" ({_signed(100 * (now - was) / was)} %)"
        found.append({"from": Q_(a, "rpm"), "to": Q_(b, "rpm"), "before": was, "after": now})
        lines.append(Line(f"{said(a, '1')}–{said(b, '1')} rpm", f"{said(was)} to {said(now)} {unit}{share}"))
    value["bands"] = found


def _peaks(
    curves: dict[str, tuple[Point, ...]], measure: Measure, lines: list[Line], value: dict[str, object]
) -> None:
    for kind in MEASURES:
        tops = {}
        for name, curve in curves.items():
            points = Run(name, measure, curve).as_(kind)
            tops[name] = max(points, key=lambda point: (point[1], -point[0]))
            value[f"peak_{kind}_{name}"] = (Q_(tops[name][1], PINT[kind]), Q_(tops[name][0], "rpm"))
        shown = [f"{said(y)} {UNIT[kind]} at {said(x, '1')} rpm" for x, y in tops.values()]
        lines.append(Line(f"Highest {kind}", f"{shown[0]}, then {shown[1]}"))


def _signed(value: float, step: str = "0.1") -> str:
    text = said(value, step)
    return text if text.startswith("−") or text == "0" else f"+{text}"


class _Table:
    """One table while it is read: what its columns are, and the rows so far."""

    def __init__(self, split: str, columns: list[_Unit | None], names: list[str], line: int) -> None:
        self.split, self.columns, self.names, self.line = split, columns, names, line
        self.rows: list[list[float]] = []

    def add(self, text: str, at: int) -> None:
        cells = [cell.strip() for cell in text.split(self.split)]
        while len(cells) > len(self.columns) and not cells[-1]:
            cells.pop()
        if len(cells) != len(self.columns):
            raise Refused(
                f"line {at} has {len(cells)} cells, its heading has {len(self.columns)}",
                "a number in the wrong column is a wrong number",
                "Give each column one number, with a point for decimals",
            )
        values = [
            _value(cell, at) if column else 0.0 for cell, column in zip(cells, self.columns, strict=True)
        ]
        speed = values[0]
        if not 0 < speed <= FASTEST:
            raise Refused(
                f"line {at}: {cells[0]} is no speed of an engine",
                f"it must lie between 0 and {FASTEST:.0f} rpm",
                "Check the column",
            )
        if any(not 0 <= value <= MIGHTIEST for value in values[1:]):
            raise Refused(
                f"line {at} holds a torque or power below 0 or beyond {MIGHTIEST:.0f}",
                "a pull at full throttle gives neither",
                "Leave out where the throttle was shut",
            )
        if self.rows and speed == self.rows[-1][0]:
            raise Refused(
                f"line {at} gives {cells[0]} rpm a second time",
                "at one speed a run has one value",
                "Keep one of the lines; another run gets a column of its own",
            )
        if self.rows and speed < self.rows[-1][0]:
            raise Refused(
                f"line {at} goes back to {cells[0]} rpm",
                "a run is read by rising speed",
                "Sort the lines by speed; another run gets a column or a heading of its own",
            )
        self.rows.append(values)
        if len(self.rows) > MOST:
            raise Refused(
                f"line {at} is one too many", f"a run has at most {MOST} points", "Give fewer points"
            )

    def runs(self, already: int) -> list[Run]:
        if len(self.rows) < FEWEST:
            raise Refused(
                f"the table that begins in line {self.line} has {len(self.rows)} points",
                f"with fewer than {FEWEST} the lines between them hide what the engine does",
                f"Give at least {FEWEST} speeds",
            )
        whats = {column.what for column in self.columns[1:] if column}
        measure: Measure = "torque" if "torque" in whats else "power"
        found: list[Run] = []
        for index, column in enumerate(self.columns):
            if column is None or column.what != measure:
                continue
            factor = float(Q_(1.0, column.pint).m_as(PINT[measure]))
            points = tuple((row[0], factor * row[index]) for row in self.rows)
            found.append(Run(self.names[index] or f"run {already + len(found) + 1}", measure, points))
        return found


def _heading(text: str, at: int) -> _Table | None:
    """Return the table a line begins; None when it names no speed, so that it is a line of numbers."""
    split = next((sign for sign in (";", "\t") if sign in text), ",")
    cells = [cell.strip() for cell in text.split(split)]
    while cells and not cells[-1]:
        cells.pop()
    units = [_unit(cell) for cell in cells]
    if not any(unit and unit.what == "speed" for unit in units):
        return None
    if units[0] is None or units[0].what != "speed":
        raise Refused(f"line {at} does not begin with the speed", "each line is found by it", _HEADING)
    if sum(1 for unit in units if unit and unit.what == "speed") > 1:
        raise Refused(f"line {at} names two columns of speed", "each line is found by one", _HEADING)
    for cell, unit in zip(cells, units, strict=True):
        if unit is None and re.search("torque|power", cell, re.IGNORECASE):
            raise Refused(
                f"line {at}: “{cell[:20]}” has no unit",
                "a number without a unit is a guess",
                f"{_HEADING}. Units: rpm; N·m, lbf·ft, kgf·m; kW, hp, PS",
            )
    if not any(units[1:]):
        raise Refused(
            f"line {at} names no torque and no power with its unit",
            "a number without a unit is a guess",
            f"{_HEADING}. Units: rpm; N·m, lbf·ft, kgf·m; kW, hp, PS",
        )
    names = [re.sub(r"[\[(].*?[\])]", "", cell).strip() for cell in cells]
    return _Table(split, units, ["" if _unit(name) else name for name in names], at)


def _unit(cell: str) -> _Unit | None:
    """Return the unit a heading names: in brackets, after a slash, as its last word, or alone."""
    inside = re.findall(r"[\[(](.+?)[\])]", cell)
    tries = [*inside, cell, *cell.split()[-1:], cell.rpartition("/")[2]]
    for text in tries:
        found = _UNITS.get(re.sub(r"[\s.·⋅*_⁻-]", "", text.replace("¹", "1")).casefold())
        if found is not None:
            return found
    return None


def _value(cell: str, at: int) -> float:
    if not _NUMBER.fullmatch(cell) or not isfinite(float(cell)):
        raise Refused(
            f"line {at}: “{cell[:20]}” is no number",
            "it may be a gap, or a comma where a point belongs",
            "Write numbers like 152.5",
        )
    return float(cell)


_BEFORE = "speed (rpm), torque (N·m)\n2000, 150\n3000, 170\n4000, 175\n5000, 150\n6000, 110\n"
_AFTER = "speed (rpm), torque (N·m)\n2000, 146\n3000, 168\n4000, 178\n5000, 166\n6000, 140\n"
_CSV = "A heading with units, then a line for each speed. More columns, or another heading: more runs"
FIGURES: tuple[Declared, ...] = (
    Declared(
        "runs",
        "Compare power runs",
        "What changed over the whole range of speeds, not only at the peak",
        (
            Ask("before", "The runs before, as CSV", "text", _BEFORE, help=_CSV),
            Ask("after", "The runs after, as CSV", "text", _AFTER, help=_CSV),
            Ask("measure", "Compare torque or power?", "choice", "torque", required=False, choices=MEASURES),
            Ask(
                "bands",
                "At which speeds shall the range be cut?",
                "speed",
                "3500 rpm",
                required=False,
                many=True,
                help="Left out: three equal parts",
            ),
        ),
        runs,
    ),
)
