"""Line drawings that are worked out, not drawn by an author: bolts with the order they are tightened in.

Drawn in `currentColor` without fills, so they read in black and white, in light and in dark.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from webapp.pack.schema import Fasteners
from webapp.trade.pattern import NUMBERING, positions, tightening_order

WIDTH = 320.0  # drawing units along the longer side of the layout


@dataclass(frozen=True, slots=True)
class Tightening:
    """How a group is tightened: the drawing, the bolts in order, who says so, and how the bolts are numbered.

    letters: the letter that marks each length on the drawing, in the order of the group's lengths.
    """

    svg: Markup
    order: tuple[int, ...]
    by_maker: bool
    numbering: str
    letters: tuple[str, ...]

    @property
    def says(self) -> str:
        """Return in words whose order it is."""
        return "The maker's order." if self.by_maker else "Order worked out; a maker's own comes first."


def tightening(group: Fasteners) -> Tightening | None:
    """Return how a group is tightened, or None when its pattern is not told or holds a single bolt."""
    if group.pattern is None or group.pattern.count() < 2:
        return None
    layout = group.pattern.model_dump(exclude_none=True)
    (kind,) = group.pattern.layouts()
    order = group.order or tightening_order(**layout)
    where = [part for part in group.lengths if part.at]
    letters = tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[: len(where)]) if len(where) > 1 else ()
    marks = {bolt: letter for part, letter in zip(where, letters, strict=False) for bolt in part.at}
    numbering = NUMBERING[kind]
    title = f"Tightening order of {group.name}, bolts counted {numbering}: {', '.join(map(str, order))}"
    svg = pattern_svg(positions(**layout), order, title, ring=kind == "circle", marks=marks)
    return Tightening(svg, tuple(order), bool(group.order), numbering, letters)


def pattern_svg(
    points: Sequence[tuple[float, float]],
    order: Sequence[int],
    title: str,
    *,
    ring: bool = False,
    marks: Mapping[int, str] | None = None,
) -> Markup:
    """Return the drawing of bolts, each with its turn in the order written in it; the first has a heavy rim.

    points: middles in a square of side 1. order: bolt numbers from 1, in the order they are tightened in.
    title: what is read out instead of the drawing. ring: the joint is round. marks: a letter beside a bolt.
    Each bolt is a group with `data-bolt` (its number) and `data-turn` (when it comes).
    """
    marks = marks or {}
    bolt = min(26.0, max(6.0, 0.34 * WIDTH * _pitch(points)))
    edge = (2.0 if marks else 1.6) * bolt
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    width, height = (right - left) * WIDTH + 2 * edge, (bottom - top) * WIDTH + 2 * edge
    turns = {number: turn for turn, number in enumerate(order, start=1)}
    bolts = Markup("").join(
        _bolt(number, turns.get(number), marks.get(number), x, y, bolt)
        for number, x, y in (
            (number, (x - left) * WIDTH + edge, (y - top) * WIDTH + edge)
            for number, (x, y) in enumerate(points, start=1)
        )
    )
    corner = min(width, height) / 2 if ring else edge
    return Markup(
        '<svg class="pattern" xmlns="http://www.w3.org/2000/svg" role="img" viewBox="-2 -2 {w} {h}" '
        'width="{w}" height="{h}" fill="none" stroke="currentColor" text-anchor="middle">'
        "<title>{title}</title>"
        '<rect width="{width}" height="{height}" rx="{corner}" stroke-width="2.5"/>{bolts}</svg>'
    ).format(
        w=_short(width + 4),
        h=_short(height + 4),
        title=title,
        width=_short(width),
        height=_short(height),
        corner=_short(corner),
        bolts=bolts,
    )


def adapter_svg(length: float, extension: float, angle: float, title: str) -> Markup:
    """Return the drawing of a wrench seen from above with an adapter on its drive, to scale.

    length: middle of the grip to the drive square; extension: from there to the fastener, both in one unit.
    angle: degrees between the adapter and the line of the handle. title: what is read out instead.
    """
    scale = WIDTH / (length + extension)
    hand, drive = 24.0, 24.0 + length * scale
    turn = math.radians(angle)
    x, y = drive + extension * scale * math.cos(turn), extension * scale * math.sin(turn)
    top = 62.0
    width, height = max(drive, x) + 40, top + max(y, 0) + 44
    return Markup(
        '<svg class="adapter" xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {w} {h}" '
        'width="{w}" height="{h}" fill="none" stroke="currentColor" stroke-linecap="round">'
        "<title>{title}</title>"
        '<path stroke-width="9" d="M{hand} {top}H{drive}"/>'
        '<path stroke-width="18" d="M{hand} {top}h{grip}"/>'
        '<path stroke-width="5" d="M{drive} {top}L{x} {y}"/>'
        '<circle cx="{x}" cy="{y}" r="13" stroke-width="4"/>'
        '<rect x="{left}" y="{up}" width="16" height="16" stroke-width="3" fill="Canvas"/>'
        '<path stroke-width="1.5" stroke-dasharray="5 5" d="M{drive} {top}h{line}"/>'
        '<g fill="currentColor" stroke="none" font-size="17" font-weight="bold" text-anchor="middle">'
        '<text x="{middle}" y="{above}">L</text><text x="{between}" y="{beside}">A</text>'
        '<text x="{hand}" y="{below}" text-anchor="start">pull here</text></g></svg>'
    ).format(
        w=_short(width),
        h=_short(height),
        title=title,
        hand=_short(hand),
        top=_short(top),
        drive=_short(drive),
        grip=_short(min(46.0, length * scale / 3)),
        x=_short(x),
        y=_short(top + y),
        left=_short(drive - 8),
        up=_short(top - 8),
        line=_short(min(56.0, width - drive - 4)),
        middle=_short((hand + drive) / 2),
        above=_short(top - 16),
        between=_short((drive + x) / 2 + 16 * math.sin(turn)),
        beside=_short(top + y / 2 - 16 * abs(math.cos(turn))),
        below=_short(top + 36),
    )


def _bolt(number: int, turn: int | None, mark: str | None, x: float, y: float, radius: float) -> Markup:
    size = radius * (1.25, 1.05, 0.75)[len(str(turn or 0)) - 1]
    letter = Markup(
        '<text x="{}" y="{}" font-size="{}" font-weight="bold" fill="currentColor" stroke="none">{}</text>'
    ).format(_short(x + 1.1 * radius), _short(y - 0.8 * radius), _short(0.75 * radius), mark)
    return Markup(
        '<g class="bolt" data-bolt="{number}" data-turn="{turn}">'
        '<circle cx="{x}" cy="{y}" r="{radius}" stroke-width="{rim}"/>'
        '<text x="{x}" y="{base}" font-size="{size}" font-weight="bold" fill="currentColor" stroke="none">'
        "{turn}</text>{letter}</g>"
    ).format(
        number=number,
        turn=turn or "",
        x=_short(x),
        y=_short(y),
        radius=_short(radius),
        rim=5 if turn == 1 else 2,
        base=_short(y + 0.36 * size),
        size=_short(size),
        letter=letter if mark else "",
    )


def _pitch(points: Sequence[tuple[float, float]]) -> float:
    """Return the distance between the two bolts that are closest together, in sides of the square."""
    near = (math.dist(one, other) for at, one in enumerate(points) for other in points[at + 1 :])
    return min(near, default=1.0)


def _short(value: float) -> str:
    """Return a length without decimals that no eye would see."""
    return f"{value:.1f}".removesuffix(".0")
