"""Curves as an accessible drawing: axes, lines told apart by their strokes and marks, and a name at each.

Drawn in `currentColor` without a style of its own, so it reads in black and white, in light and in dark.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor, isfinite, log10

from markupsafe import Markup

Point = tuple[float, float]

WIDTH, HEIGHT = 310.0, 240.0  # drawing units
LEFT, RIGHT, TOP, BOTTOM = 54.0, 24.0, 30.0, 48.0  # around the field of the curves
STROKES = ("", "9 5", "2 4", "12 4 2 4")  # whole, dashed, dotted, both
MARKED = 24  # points of a curve that are still marked one by one
TICKS = 5
NO_SPAN, NO_SIZE = 1e-9, 1e-200  # a share of the numbers, a number: less is a flat line
LETTERS = 15.0


def graph_svg(
    curves: Mapping[str, Sequence[Point]], axes: tuple[str, str], title: str, described: str = ""
) -> Markup:
    """Return the curves as one drawing; nothing when no curve has a point that can be drawn.

    curves: points (x, y) by the curve's name. axes: what x and y are, with their units. title: what is read
    out instead of the drawing. described: more of it; left out, where each curve begins and ends.
    """
    drawn = {name: points for name, given in curves.items() if (points := _finite(given))}
    if not drawn:
        return Markup("")
    x_ticks = ticks(*_span(point[0] for points in drawn.values() for point in points))
    y_ticks = ticks(*_span(point[1] for points in drawn.values() for point in points))
    key = len(drawn) > 1
    top = TOP + (LETTERS * 1.6 * len(drawn) if key else 0)
    height = HEIGHT + top - TOP

    def x(value: float) -> float:
        return LEFT + _share(value, x_ticks) * (WIDTH - LEFT - RIGHT)

    def y(value: float) -> float:
        return height - BOTTOM - _share(value, y_ticks) * (height - top - BOTTOM)

    parts = [
        _text(4, 14, axes[1], "start"),
        _text(WIDTH - RIGHT, height - 6, axes[0], "end"),
        *(_line(x(at), top, x(at), height - BOTTOM, 0.25) for at in x_ticks),
        *(_line(LEFT, y(at), WIDTH - RIGHT, y(at), 0.25) for at in y_ticks),
        *(_text(x(at), height - BOTTOM + 19, said(at), "middle") for at in x_ticks),
        *(_text(LEFT - 6, y(at) + 5, said(at), "end") for at in y_ticks),
    ]
    for index, (name, points) in enumerate(drawn.items()):
        if key:
            at = TOP + LETTERS * 1.6 * index
            parts += [
                _stroke([(LEFT, at), (LEFT + 44, at)], index),
                *([_mark(LEFT + 22, at, index)] if len(points) <= MARKED else []),
                _text(LEFT + 52, at + 5, name, "start"),
            ]
        parts.append(_curve([(x(a), y(b)) for a, b in points], index))
    return Markup(
        '<svg class="graph" xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {w} {h}" width="{w}" '
        'height="{h}" fill="none" stroke="currentColor" font-size="{size}">'
        "<title>{title}</title><desc>{described}</desc>{parts}</svg>"
    ).format(
        w=_short(WIDTH),
        h=_short(height),
        size=_short(LETTERS),
        title=title,
        described=described or " ".join(_ends(drawn, axes)),
        parts=Markup("").join(parts),
    )


def ticks(low: float, high: float) -> list[float]:
    """Return a few round numbers that hold a span between their first and last.

    >>> ticks(2000, 6000)
    [2000.0, 3000.0, 4000.0, 5000.0, 6000.0]
    """
    size = high - low
    largest = max(abs(low), abs(high))
    if size <= max(NO_SPAN * largest, NO_SIZE):
        size = largest if largest > NO_SIZE else 1.0
        low, high = low - size / 2, high + size / 2
    rough = size / TICKS
    power = 10.0 ** floor(log10(rough))
    step = next(power * times for times in (1, 2, 5, 10) if power * times >= rough * (1 - 1e-9))
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return [float(f"{count * step:.12g}") for count in range(first, last + 1)]


def said(value: float) -> str:
    """Return a number as it stands beside an axis or in a table, with a true minus sign."""
    return f"{value:.6g}".replace("-", "−")


def _finite(points: Sequence[Point]) -> list[Point]:
    return [(float(a), float(b)) for a, b in points if isfinite(a) and isfinite(b)]


def _span(values: Iterator[float]) -> Point:
    every = list(values)
    return min(every), max(every)


def _share(value: float, along: Sequence[float]) -> float:
    return (value - along[0]) / (along[-1] - along[0])


def _ends(curves: Mapping[str, Sequence[Point]], axes: tuple[str, str]) -> Iterator[str]:
    yield f"{axes[1]} over {axes[0]}."
    for name, points in curves.items():
        (a, b), (c, d) = points[0], points[-1]
        yield f"{name}: from {said(b)} at {said(a)} to {said(d)} at {said(c)}."


def _curve(points: Sequence[Point], index: int) -> Markup:
    few = points if len(points) <= MARKED else ()
    return _stroke(points, index) + Markup("").join(_mark(a, b, index) for a, b in few)


def _stroke(points: Sequence[Point], index: int) -> Markup:
    stroke = STROKES[index % len(STROKES)]
    dashes = Markup(' stroke-dasharray="{}"').format(stroke) if stroke else ""
    path = " ".join(f"{_short(a)},{_short(b)}" for a, b in points)
    return Markup('<polyline points="{}" stroke-width="3"{}/>').format(path, dashes)


def _mark(x: float, y: float, index: int) -> Markup:
    """Return a dot on a whole curve, a square on every other."""
    if index % 2 == 0:
        return Markup('<circle cx="{}" cy="{}" r="4" fill="currentColor" stroke="none"/>').format(
            _short(x), _short(y)
        )
    return Markup('<rect x="{}" y="{}" width="8" height="8" fill="currentColor" stroke="none"/>').format(
        _short(x - 4), _short(y - 4)
    )


def _line(x: float, y: float, to_x: float, to_y: float, opacity: float) -> Markup:
    return Markup('<line x1="{}" y1="{}" x2="{}" y2="{}" stroke-opacity="{}"/>').format(
        _short(x), _short(y), _short(to_x), _short(to_y), opacity
    )


def _text(x: float, y: float, words: str, anchor: str) -> Markup:
    return Markup('<text x="{}" y="{}" text-anchor="{}" fill="currentColor" stroke="none">{}</text>').format(
        _short(x), _short(y), anchor, words
    )


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
