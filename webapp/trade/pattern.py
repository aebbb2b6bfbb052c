"""Where the bolts of a group sit, and the order they are tightened in.

A layout is named as authors name it, by keyword: `circle=8`, `row=9`, `rows=[5, 4, 5]`,
`rectangle=[4, 3]`, `vee=[4, 4]` or `points=[[0, 0], [40, 0], …]`. Bolts carry the numbers 1, 2, 3 … of
their layout (see NUMBERING).

The order is one that can be worked out, for when the maker prints none; the maker's own always wins, and
whoever shows this one says that it was worked out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from .refusal import Refused


class Point(NamedTuple):
    """The middle of a bolt in a square of side 1: x to the right, y down, as you look at the part."""

    x: float
    y: float


NUMBERING = {
    "circle": "clockwise from the top",
    "row": "from the left",
    "rows": "row by row, each from the left",
    "rectangle": "clockwise from the top left corner",
    "vee": "left bank front to back, then right bank",
    "points": "as the author lists them",
}
"""How the bolts of each layout are numbered."""

SAME_DISTANCE = 0.02
"""How much the distance from the middle may differ between two of the author's points that count as equally
far out, in sides of the square: a position read off a part or a picture is no better than that."""


def positions(
    *,
    circle: int | None = None,
    row: int | None = None,
    rows: Sequence[int] | None = None,
    rectangle: Sequence[int] | None = None,
    vee: Sequence[int] | None = None,
    points: Sequence[Sequence[float]] | None = None,
) -> list[Point]:
    """Return where each bolt of one layout sits, in the order of the layout's numbers.

    Bolts stand at one pitch in both directions: a shorter row is centred on the longer ones, a rectangle is
    as long as its bolts say, the banks of a vee stand two pitches apart. The layout fills the square without
    being stretched.

    Raises Refused when no layout or several are named, when it has no bolt, and for a rectangle without four
    corners.
    """
    given = [layout for layout in (circle, row, rows, rectangle, vee, points) if layout is not None]
    if len(given) != 1:
        raise Refused(
            "a pattern names exactly one layout",
            "two layouts are two different drawings, and none is no drawing",
            "Name one of: circle, row, rows, rectangle, vee, points",
        )
    if circle:
        turns = [2 * math.pi * bolt / circle for bolt in range(circle)]
        return _fitted([(math.sin(turn), -math.cos(turn)) for turn in turns])
    if rectangle:
        return _fitted(_around(*rectangle))
    lines = [row] if row else rows
    if lines:
        return _fitted([(x, y) for y, count in enumerate(lines) for x in _centred(count)])
    if vee:
        return _fitted([(2 * x, y) for x, count in enumerate(vee) for y in _centred(count)])
    if points:
        return _fitted([(x, y) for x, y in points])
    raise Refused("the pattern holds no bolt", "there is nothing to draw", "Count the bolts of the layout")


def tightening_order(
    *,
    circle: int | None = None,
    row: int | None = None,
    rows: Sequence[int] | None = None,
    rectangle: Sequence[int] | None = None,
    vee: Sequence[int] | None = None,
    points: Sequence[Sequence[float]] | None = None,
) -> list[int]:
    """Return the numbers of the bolts in the order they are tightened in, each exactly once.

    A circle is tightened in a star (see `star`). Every other layout is tightened from the middle outwards:
    bolts at the same distance from the middle belong together and are crossed over, and each such ring begins
    as far as it can from the bolt before, to the right and then to the top where that leaves a choice.

    Raises Refused as `positions` does.
    Source: US Army TM 5-3805-248-23-1 for the straight row: nine bolts read 9 7 5 3 1 2 4 6 8 along the row.
    Centre outwards and crosswise for other joints is common practice, no source.
    """
    places = positions(circle=circle, row=row, rows=rows, rectangle=rectangle, vee=vee, points=points)
    if circle:
        return star(circle)
    middle = Point(sum(p.x for p in places) / len(places), sum(p.y for p in places) / len(places))
    order: list[int] = []
    for ring in _rings(places, middle, SAME_DISTANCE if points else 1e-9):
        clockwise = sorted(ring, key=lambda bolt: _turn(middle, places[bolt - 1]))
        last = places[order[-1] - 1] if order else middle
        first = max(clockwise, key=lambda bolt: _reach(last, places[bolt - 1]))
        start = clockwise.index(first)
        order += [clockwise[(start + step - 1) % len(clockwise)] for step in star(len(clockwise))]
    return order


def star(bolts: int) -> list[int]:
    """Return the star order of a circle of bolts numbered clockwise from 1.

    An even circle goes in opposite pairs, each pair a quarter turn from the one before and then half of that
    again; an odd one steps as close to the opposite bolt as it can.

    Source: the legacy cross-pattern of ASME PCC-1 (from memory), whose orders for 4, 8, 16 and 24 bolts this
    gives; odd circles are common practice, no source.

    >>> star(8)
    [1, 5, 3, 7, 2, 6, 4, 8]
    >>> star(5)
    [1, 3, 5, 2, 4]
    """
    if bolts % 2:
        return [1 + turn * (bolts // 2) % bolts for turn in range(bolts)]
    half = bolts // 2
    return [bolt for first in star(half) for bolt in (first, first + half)] if half else []


def _centred(count: int) -> list[float]:
    return [bolt - (count - 1) / 2 for bolt in range(count)]


def _around(long: int, short: int) -> list[tuple[float, float]]:
    if min(long, short) < 2:
        raise Refused(
            "a rectangle has four corners",
            "with a single bolt along one side it is a row",
            f"Write a row of {max(long, short)}, or at least 2 bolts along each side",
        )
    right, bottom = long - 1, short - 1
    top_side = [(x, 0) for x in range(right)]
    right_side = [(right, y) for y in range(bottom)]
    return [*top_side, *right_side, *((right - x, bottom - y) for x, y in (*top_side, *right_side))]


def _fitted(raw: Sequence[tuple[float, float]]) -> list[Point]:
    """Return the points scaled, never stretched, to fill the square, and moved to its middle."""
    left, right = min(x for x, _ in raw), max(x for x, _ in raw)
    top, bottom = min(y for _, y in raw), max(y for _, y in raw)
    size = max(right - left, bottom - top) or 1
    return [
        Point(0.5 + (x - (left + right) / 2) / size, 0.5 + (y - (top + bottom) / 2) / size) for x, y in raw
    ]


def _rings(places: Sequence[Point], middle: Point, within: float) -> list[list[int]]:
    """Return the bolts' numbers in groups of one distance from the middle, nearest first."""
    distance = {bolt: math.dist(place, middle) for bolt, place in enumerate(places, start=1)}
    rings: list[list[int]] = []
    for bolt in sorted(distance, key=lambda bolt: (distance[bolt], bolt)):
        if rings and distance[bolt] - distance[rings[-1][0]] < within:
            rings[-1].append(bolt)
        else:
            rings.append([bolt])
    return rings


def _turn(middle: Point, place: Point) -> float:
    """Return the clockwise turn from straight up to a place, in radians from 0 up to a full turn."""
    return round(math.atan2(place.x - middle.x, middle.y - place.y) % (2 * math.pi), 9)


def _reach(last: Point, place: Point) -> tuple[float, float, float]:
    """Return how well a place serves as the next one: far away, then to the right, then to the top."""
    return round(math.dist(last, place), 6), place.x, -place.y
