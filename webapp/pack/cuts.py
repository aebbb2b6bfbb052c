"""What a cut leaves to be worked out: its speed, the smaller drills first, and the drill for its thread.

An author's own figure always wins: only what is not written is worked out, and what is worked out says so.
The rules and their sources are those of the trade, drills.py and tapping.py. Nothing is said of plastic: no
list of cutting speeds has it, and the usual hole for a thread is not meant for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from webapp.trade.answer import rounded_to
from webapp.trade.drills import (
    BY_HAND,
    DRAWERS,
    DRILLS,
    Drill,
    cutting_speed,
    nearest,
    off_line,
    pilots,
    read_drill,
    speed,
)
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.tapping import LEAST, MOST, choose, percent, tap_drill
from webapp.trade.threads import Thread, read_thread
from webapp.trade.units import number

from .amounts import Amount
from .schema import Cut

LIST = "NAVEDTRA 14345"
"""The list of cutting speeds that is used: the one that has a speed for each of the metals below."""
METALS = {
    "steel": "mild steel",
    "cast-iron": "cast iron",
    "aluminium": "aluminium",
    "brass": "brass",
}
"""What a cut is into, as the list of cutting speeds calls it. A pack says no more of steel than steel."""
WORKED_OUT = "worked out"
"""The words that mark what no author wrote."""


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """What is worked out of a cut. drill: its name, where the author gave none. notes: words to read."""

    pilots: tuple[str, ...] = ()
    drill: str = ""
    notes: tuple[str, ...] = ()


def worked_out(cut: Cut) -> WorkedOut:
    """Return what a cut leaves to be worked out; nothing where the trade has no honest answer."""
    metal = METALS.get(cut.into)
    if metal is None:
        return WorkedOut()
    thread = thread_of(cut)
    metric = thread.threads_per_inch is None if thread else True
    own = drill_of(cut)
    if own is not None:
        metric = own.series == "metric"
    chosen = own
    if thread and not cut.drill:
        chosen = tapped_after(thread, "metric" if metric else "inch")
    if chosen is None:
        return WorkedOut()
    notes = list(of_thread(thread, chosen)) if thread else []
    if thread and not cut.drill and (other := tapped_after(thread, "inch" if metric else "metric")):
        notes.append(f"from {'an inch' if metric else 'a metric'} drawer {other.name}, {left(thread, other)}")
    notes.append(turning(chosen, metal))
    first = () if cut.pilot else pilots(chosen.diameter, DRAWERS["metric" if metric else "inch"])
    return WorkedOut(
        tuple(step.name for step in first),
        "" if cut.drill else chosen.name,
        tuple(f"{WORKED_OUT}: {note}" for note in notes),
    )


def drill_of(cut: Cut) -> Drill | None:
    """Return the author's drill, where it is one plain size or the name of a twist drill."""
    if cut.drill is None:
        return None
    if isinstance(cut.drill, Amount) and cut.drill.form != "figure":
        return None
    text = cut.drill.written if isinstance(cut.drill, Amount) else cut.drill.removeprefix("letter ")
    try:
        return read_drill(text)
    except Refused:
        return None


def thread_of(cut: Cut) -> Thread | None:
    """Return the thread that is tapped, where it is a metric or a unified one."""
    try:
        return read_thread(cut.thread) if cut.thread else None
    except Refused:
        return None


def in_drawers(cut: Cut) -> list[tuple[str, float, str]]:
    """Return for each series of drills the one nearest to the cut's drill: series, mm it is off, words.

    The drill is the author's, else the one worked out. A series without such a size is left out.
    """
    thread = thread_of(cut)
    ours = worked_out(cut).drill
    wanted = read_drill(ours) if ours else drill_of(cut)
    found: list[tuple[str, float, str]] = []
    if wanted is None:
        return found
    for series in DRILLS:
        try:
            near = nearest(wanted.diameter, (series,))
        except Refused:
            continue
        off = float(near.off.m_as("mm"))
        words = [near.drill.name]
        if abs(off) >= 0.0005:
            words = [
                f"{near.drill}, {off_line(near.off)}",
                *(of_thread(thread, near.drill) if thread else []),
            ]
        found.append((series, abs(off), "; ".join(words)))
    return found


def tapped_after(thread: Thread, drawer: str) -> Drill | None:
    """Return the drill of a drawer for the usual hole of a thread, if one leaves a sound thread."""
    try:
        return choose(thread, tap_drill(thread), drawer).drill
    except Refused:
        return None


def of_thread(thread: Thread, drill: Drill) -> list[str]:
    """Return what a drill leaves of a thread, and a warning where that is not sound."""
    try:
        share = float(percent(thread, Q_(drill.mm, "mm")).m_as("percent"))
    except Refused as refused:
        return [f"{refused.what}: {refused.why}"]
    said = f"{drill.name} {left(thread, drill)}"
    if share < LEAST - 0.5:
        said += f"; below {LEAST:g} % a thread strips before its screw breaks: look at the figures again"
    if share > MOST + 0.5:
        said += f"; above {MOST:g} % the tap turns hard and may break: look at the figures again"
    return [said]


def left(thread: Thread, drill: Drill) -> str:
    """Return in words how much of a thread a drill leaves. The drill fits the thread."""
    share = float(percent(thread, Q_(drill.mm, "mm")).m_as("percent"))
    return f"leaves {number(rounded_to(share, Decimal(1)))} % of the thread"


def turning(drill: Drill, metal: str) -> str:
    """Return how fast a drill of high-speed steel is turned, in the hand and in a drill press, in rpm."""
    press = [float(speed(drill.diameter, cutting).m_as("rpm")) for cutting in cutting_speed(metal, LIST)]
    hand = [turns * BY_HAND for turns in press]
    return f"turn it at {_rpm(hand)} by hand, {_rpm(press)} in a drill press (for {metal}: {LIST})"


def _rpm(turns: list[float]) -> str:
    step = Decimal(10) if turns[0] >= 100 else Decimal(1)
    low, high = (number(rounded_to(one, step, "down")) for one in turns)
    return f"{low}–{high} rpm"
