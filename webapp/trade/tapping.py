"""Tapping: the hole that is drilled for a screw thread, and how much of the thread it leaves.

A full thread of the 60° profile is 3/4 · H deep, H = 0.866025 · pitch. A hole of diameter h leaves the share
(D − h) / (1.5 · H) = (D − h) / (1.299 · pitch) of it. The usual hole D − pitch leaves 77 % on every thread;
inch charts ask for 75 %. Deeper threads hold hardly more and break taps; shallow ones strip.

Sources: Machinery's Handbook, section on tap drills (share of thread); ISO 2306 (D − pitch). That 55 to 80 %
is sound is common practice, no source. Pipe threads: pipe.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from .answer import Answer, Ask, Declared, Line, figure, line, rounded_to
from .drills import DRAWERS, Drill, both, drawer_of, nearest, off_line, pilots, read_drill
from .fasteners import ENGAGEMENT
from .quantities import Q_, Quantity
from .refusal import Refused
from .threads import COARSE, UNC, UNF, Thread, height, minor_diameter, read_thread
from .units import number

LEAST, MOST = 55.0, 80.0  # % of a full thread. Common practice, no source
LIKE_DIAMETER, LIKE_PITCH = 0.06, 0.15  # how alike two threads are that are taken for each other. Same
_FINE = ("M8x1", "M10x1.25", "M10x1", "M12x1.25", "M12x1.5", "M14x1.5", "M16x1.5")  # often met. Same
_BIT = 1e-6  # % that a float may add

SOURCE = (
    "Hole: diameter − pitch (ISO 2306). Share of thread: (D − hole) / (1.299 × pitch), Machinery's Handbook. "
    "Sound from 55 to 80 %, depth and pilots: common practice, no source"
)
VALIDITY = (
    "Metric and unified threads cut with a tap. Not for forming taps, which need a wider hole, "
    "not for pipe threads, not for plastic or wood"
)
CHIPS = "Cover every open port before you cut, and clear the chips before anything is closed"
BLIND = "In a blind hole drill about three pitches deeper than the thread (common practice, no source)"
SHALLOW = f"Below {LEAST:g} % a thread strips before its screw breaks"
TIGHT = f"Above {MOST:g} % the tap turns hard and may break, and the thread holds hardly more"
UNDER = "The hole is narrower than that of a full nut: the tap jams"


def tap_drill(thread: Thread) -> Quantity:
    """Return the usual hole for a thread, mm: D − pitch, in inches D − 1/N. It leaves 77 % of the thread.

    Source: ISO 2306; for unified threads the same rule of the trade.
    """
    return Q_(_mm(thread.diameter) - _mm(thread.pitch), "mm")


def drill_for(thread: Thread, share: Quantity) -> Quantity:
    """Return the hole, mm, that leaves a share of the full thread: D − share · 1.299 · pitch.

    share: 55–80 %. Source: Machinery's Handbook, tap drills. Raises Refused outside.
    """
    percent = float(share.m_as("percent"))
    if not LEAST - _BIT <= percent <= MOST + _BIT:
        raise Refused(
            f"a thread of {percent:.3g} %",
            f"below {LEAST:g} % it strips, above {MOST:g} % the tap breaks",
            f"Ask for {LEAST:g} to {MOST:g} %; 75 % is usual",
        )
    return Q_(_mm(thread.diameter) - percent / 100 * full(thread), "mm")


def percent(thread: Thread, hole: Quantity) -> Quantity:
    """Return the share of the full thread, in percent, that a hole leaves: (D − hole) / (1.299 · pitch).

    hole: narrower than the thread, and not so narrow that more than the full thread would be left.
    Source: Machinery's Handbook, tap drills. Raises Refused outside.
    """
    size = _mm(hole)
    share = (_mm(thread.diameter) - size) / full(thread) * 100
    if not 0 < size < float("inf"):
        raise Refused("the hole is no number above 0", "a hole has a width", "Measure the drill again")
    if share <= _BIT:
        raise Refused(
            f"a hole of {both(size)} is as wide as {thread.designation}",
            "nothing is left to cut a thread in",
            "Measure the drill again, or fit a thread insert",
        )
    if share > 100:
        raise Refused(
            f"a hole of {both(size)} is narrower than the core of {thread.designation}",
            "the tap does not go in",
            f"Drill {both(_mm(tap_drill(thread)))}",
        )
    return Q_(share, "percent")


def full(thread: Thread) -> float:
    """Return by how much a full thread narrows the hole, mm: 1.5 · H = 1.299 · pitch."""
    return 1.5 * height(_mm(thread.pitch))


def look_alikes(thread: Thread) -> tuple[Thread, ...]:
    """Return the threads of the other system that start on this one by hand, and then strip it.

    Alike: diameter within 6 %, pitch within 15 %, among the coarse, fine and often met ones. Common practice,
    no source.
    """
    return tuple(
        other
        for other in _often_met()
        if other.system != thread.system
        and _near(other.diameter, thread.diameter, LIKE_DIAMETER)
        and _near(other.pitch, thread.pitch, LIKE_PITCH)
    )


@lru_cache
def _often_met() -> tuple[Thread, ...]:
    unified = (f"{size}-{tpi}" for table in (UNC, UNF) for size, tpi in table.items())
    return tuple(map(read_thread, (*(f"M{size}" for size in COARSE), *_FINE, *unified)))


@dataclass(frozen=True, slots=True)
class Tapped:
    """A drill for a thread, how far it is off the hole wanted, and the share of thread it leaves."""

    drill: Drill
    off: Quantity  # mm
    share: Quantity  # %


def choose(thread: Thread, hole: Quantity, drawer: str) -> Tapped:
    """Return the drill of a drawer that is nearest to a hole and leaves 55–80 % of the thread.

    drawer: of drills.DRAWERS. Raises Refused, with what the drawer's own drills would leave, when none does.
    """
    found = nearest(hole, drawer_of(drawer))
    beside = [known for known in (found.drill, found.smaller, found.larger) if known is not None]
    beside.sort(key=lambda known: abs(known.mm - _mm(hole)))
    shares = {known: (_mm(thread.diameter) - known.mm) / full(thread) * 100 for known in beside}
    for known in beside:
        if LEAST - _BIT <= shares[known] <= MOST + _BIT:
            return Tapped(known, Q_(known.mm - _mm(hole), "mm"), Q_(shares[known], "percent"))
    beside.sort(key=lambda known: known.mm)
    leave = ", ".join(
        f"{known.name} leaves {shares[known]:.0f} %" for known in beside if 0 < shares[known] < 100
    )
    raise Refused(
        f"no drill of the drawer “{drawer}” suits {thread.designation}",
        f"{leave or 'the nearest leaves none'}, and {LEAST:g} to {MOST:g} % is sound",
        f"Get a drill of {both(_mm(hole))}, or choose another drawer",
    )


def answer_tap_drill(thread: str, drawer: str, share: Quantity | None = None) -> Answer:
    """Answer which drill of a drawer a thread is tapped after.

    thread: as read_thread reads it. drawer: of drills.DRAWERS. share: of the full thread, 55–80 %; none: the
    usual hole D − pitch. Sources: SOURCE. Raises Refused as read_thread, drill_for and choose do.
    """
    read = read_thread(thread)
    hole = tap_drill(read) if share is None else drill_for(read, share)
    got = choose(read, hole, drawer)
    first = pilots(got.drill.diameter, drawer_of(drawer))
    steel, aluminium = (
        [times * read.diameter for times in ENGAGEMENT[material]] for material in ("steel", "aluminium")
    )
    lines = (
        Line("Drill", str(got.drill)),
        line("Thread left", got.share, "%", "share"),
        Line("Hole worked out", both(_mm(hole))),
        Line("Drill is off by", off_line(got.off)),
        Line("Drill first", ", then ".join(step.name for step in first) or "a punch mark is enough"),
        line("Depth of thread in steel", steel[0], "mm", "length", "0.5", "up"),
        line("Depth in aluminium, at least", aluminium[0], "mm", "length", "0.5", "up"),
        line("Depth in aluminium, better", aluminium[1], "mm", "length", "0.5", "up"),
    )
    if share is None:
        worked = f"{_plain(read.diameter)} − {_plain(read.pitch)} = {_plain(hole)} mm"
    else:
        part = float(share.m_as("dimensionless"))
        worked = f"{_plain(read.diameter)} − {part:.4g} × 1.299 × {_plain(read.pitch)} = {_plain(hole)} mm"
    return Answer(
        value={
            "thread": read.designation,
            "drill": got.drill.name,
            "diameter": got.drill.diameter,
            "hole": hole,
            "off": got.off,
            "share": got.share,
            "pilots": [step.name for step in first],
            "depth_in_steel": steel[0],
            "depth_in_aluminium": aluminium,
        },
        lines=lines,
        working=(
            _said(read),
            f"Hole: {worked}",
            f"Nearest of the drawer “{drawer}”: {got.drill}",
            _share_line(read, got.drill.mm, got.share),
        ),
        source=SOURCE,
        validity=VALIDITY,
        cautions=(CHIPS, BLIND, *_alike_lines(read)),
    )


def answer_percent(thread: str, drill: str) -> Answer:
    """Answer how much of a thread is left after a drill. drill: as drills.read_drill reads it.

    Sources: SOURCE. Raises Refused as read_thread, read_drill and percent do.
    """
    read, used = read_thread(thread), read_drill(drill)
    share = percent(read, Q_(used.mm, "mm"))
    left = float(share.m_as("percent"))
    cautions = [CHIPS]
    if left < LEAST - _BIT:
        cautions.append(SHALLOW)
    if left > MOST + _BIT:
        cautions.append(TIGHT)
    if used.mm < _mm(minor_diameter(read)) - _BIT:
        cautions.append(UNDER)
    return Answer(
        value={"thread": read.designation, "drill": used.name, "share": share, "hole": tap_drill(read)},
        lines=(
            line("Thread left", share, "%", "share"),
            Line("Drill", str(used)),
            Line("Usual hole", both(_mm(tap_drill(read)))),
        ),
        working=(_said(read), _share_line(read, used.mm, share)),
        source=SOURCE,
        validity=VALIDITY,
        cautions=(*cautions, *_alike_lines(read)),
    )


def _alike_lines(thread: Thread) -> list[str]:
    alike = [other.designation for other in look_alikes(thread)]
    if not alike:
        return []
    return [f"Looks like {' and '.join(alike)}, starts by hand and strips: lay a pitch gauge on the screw"]


def _said(thread: Thread) -> str:
    if thread.threads_per_inch is None:
        return f"{thread.designation}: {_plain(thread.diameter)} mm, pitch {_plain(thread.pitch)} mm"
    return (
        f"{thread.designation}: {_plain(thread.diameter)} mm, "
        f"pitch 25.4 / {thread.threads_per_inch} = {_plain(thread.pitch)} mm"
    )


def _share_line(thread: Thread, hole: float, share: Quantity) -> str:
    return (
        f"Thread left: ({_plain(thread.diameter)} − {_plain(Q_(hole, 'mm'))}) / "
        f"(1.299 × {_plain(thread.pitch)}) = {figure(share, '%', 'share', '0.1').written}"
    )


def _plain(length: Quantity) -> str:
    return number(rounded_to(_mm(length), Decimal("0.001")))


def _near(one: Quantity, other: Quantity, share: float) -> bool:
    return abs(_mm(one) - _mm(other)) <= share * _mm(other)


def _mm(length: Quantity) -> float:
    return float(length.m_as("mm"))


FIGURES: tuple[Declared, ...] = (
    Declared(
        "tap-drill",
        "Drill for a thread",
        "Which drill of the drawer a thread is tapped after, and how much thread it leaves",
        (
            Ask("thread", "Which thread?", "text", "M8", help="M8, M8x1, 1/4-20, #10-24 or 3/8-16 UNC."),
            Ask("drawer", "Which drills are there?", "choice", "metric", choices=tuple(DRAWERS)),
            Ask(
                "share",
                "How much of the full thread?",
                "share",
                "75 %",
                required=False,
                help="55 to 80 %. Left out, the hole is the diameter less the pitch.",
            ),
        ),
        answer_tap_drill,
    ),
    Declared(
        "thread-percent",
        "Thread left by a drill",
        "How much of the full thread is left when a hole is tapped after this drill",
        (
            Ask("thread", "Which thread?", "text", "1/4-20", help="M8, M8x1, 1/4-20, #10-24 or 3/8-16 UNC."),
            Ask("drill", "Which drill?", "text", "#7", help="#7, F, 27/64, 6.8 mm or 0.201 in."),
        ),
        answer_percent,
    ),
)
