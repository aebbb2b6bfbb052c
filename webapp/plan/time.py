"""How long a job takes for one technician who does its steps in order.

The walk is the plain one: steps one after the other, waits running meanwhile. A cleverer order may finish
sooner.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from webapp.pack.compiled import Step, Wait


@dataclass(frozen=True, slots=True)
class Times:
    """The times of a job. All in seconds.

    hands_on: the steps' own times added up. watching: waits that somebody stays with.
    standing: time in which nothing can be done but wait. finish: from the first step to the end of the last
    step and of the last wait. uncounted: waits without a number, of which no time is counted.
    """

    hands_on: float
    watching: float
    standing: float
    finish: float
    uncounted: tuple[Wait, ...]


def times(steps: Iterable[Step]) -> Times:
    """Walk the steps in order and return how long they take.

    A wait begins when its step is ticked and lasts its least time (its most, when it has no least); an
    attended one runs inside its step. An open time is a limit, not a wait, so it never holds anything up.
    """
    now = hands_on = watching = standing = 0.0
    over: dict[str, float] = {}
    uncounted: list[Wait] = []
    for step in steps:
        start = max([now, *(over[wait] for wait in step.after if wait in over)])
        standing += start - now
        now = start + step.hands_on
        hands_on += step.hands_on
        waits = [wait for wait in step.waits if wait.kind != "open-time"]
        uncounted += [wait for wait in waits if length(wait) is None]
        stayed = sum(length(wait) or 0.0 for wait in waits if wait.attended)
        watching += stayed
        now += stayed
        over |= {wait.id: now + (length(wait) or 0.0) for wait in waits if not wait.attended}
        over |= {wait.id: now for wait in waits if wait.attended}
    finish = max([now, *over.values()])
    return Times(hands_on, watching, standing + finish - now, finish, tuple(uncounted))


def duration(seconds: float) -> str:
    """Return a time as people say it, in hours and minutes; below a minute in seconds.

    >>> duration(94_200), duration(2_700), duration(30), duration(0)
    ('26 h 10 min', '45 min', '30 s', '0 min')
    """
    if 0 < seconds < 60:
        return f"{seconds:.0f} s"
    hours, minutes = divmod(round(seconds / 60), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes or not hours))


def length(wait: Wait) -> float | None:
    """Return the seconds to count for a wait, or None when it only has a condition to see."""
    return wait.least if wait.least is not None else wait.most
