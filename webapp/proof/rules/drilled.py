"""R46: the hole, the tap and the thread of a cut belong together, and every thread is one that exists."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Drill as Drilling
from webapp.pack.actions import Tap, Verb
from webapp.pack.cuts import drill_of, tapped_after
from webapp.trade.drills import Drill, read_drill
from webapp.trade.pipe import LISTS, PipeThread, pipe_drill, read_pipe
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.tapping import LEAST, MOST, percent
from webapp.trade.threads import Thread, read_thread

from ..job import Job
from ..rule import Found, Spot

ROUND = 0.5  # % of thread: shares are said in whole ones
SCATTER = 0.3  # mm that drill lists for one pipe thread differ by. Common practice, no source
INSERT = 0.6  # pitches that the hole for a thread insert is wider than its thread. Common practice, no source
PLAIN = re.compile(r"M ?\d[\d.]*( ?[x×-] ?[\d.]+)?|(#?\d[\d /-]*)-\d{1,2}( (UNC|UNF|UNEF|UN))?", re.I)
"""Threads of the series that the trade's tables hold in full; of others (UNS, UNJ, NPS) nothing is said."""


def judge(job: Job) -> Iterator[Found]:
    """Find cuts whose drill does not suit their thread, and threads that no series has."""
    tapped = {action.tap: (step.id, at) for step in job.steps for at, action in enumerate(step.actions)
              if isinstance(action, Tap)}  # fmt: skip
    for name, group in job.front.fasteners.items():
        yield from of_designation(("fasteners", name, "thread"), group.name, group.thread)
    for name, cut in job.front.cuts.items():
        if cut.thread is None:
            if name in tapped:
                step, at = tapped[name]
                yield Found(
                    Spot(step, ("actions", at)),
                    f"{cut.name} is tapped, and no thread is named for it",
                    f"thread: under `cuts`, “{name}”, such as M8x1.25 or 1/8-27 NPT",
                    also=Spot(None, ("cuts", name)),
                )
            continue
        wrong = list(of_designation(("cuts", name, "thread"), cut.name, cut.thread))
        yield from wrong or of_cut(name, cut, cut.thread)
        yield from of_order(job, name, cut)


def of_order(job: Job, name: str, cut: schema.Cut) -> Iterator[Found]:
    """Find a thread that is drilled for and never tapped, and one that is tapped before its hole is there."""
    drilled = places(job, Drilling, name)
    tapped = places(job, Tap, name)
    if drilled and not tapped:
        yield Found(
            Spot(job.steps[drilled[0][0]].id, ("actions", drilled[0][1])),
            f"{cut.name} is drilled for {cut.thread}, and no step taps it",
            f"“- tap: {name}” after it",
            also=Spot(None, ("cuts", name)),
        )
    for step, at in tapped:
        first = (one for one in drilled if one < (step, at))
        sure = any(
            one[0] == step or job.must_precede(job.steps[one[0]].id, job.steps[step].id) for one in first
        )
        if not sure and (drilled or cut.drill):
            when = "before its hole is drilled" if drilled else "and no step drills its hole"
            yield Found(
                Spot(job.steps[step].id, ("actions", at)),
                f"{cut.name} is tapped {when}",
                f"“- drill: {name}” in a step that this one needs",
                also=Spot(None, ("cuts", name)),
            )


def places(job: Job, verb: type[Verb], name: str) -> list[tuple[int, int]]:
    """Return where a verb is done to a cut: the step's printed place, and the action's in it."""
    return [
        (step.index, at)
        for step in job.steps
        for at, action in enumerate(step.actions)
        if isinstance(action, verb) and action.target() == name
    ]


def of_designation(path: tuple[str, ...], name: str, text: str) -> Iterator[Found]:
    """Find a designation that no series has, and one that leaves open whether it is taper or straight."""
    try:
        read_thread(text)
        return
    except Refused as refused:
        screw = refused
    if not PLAIN.fullmatch(text.strip()):
        return
    try:
        pipe = read_pipe(text)
    except Refused:
        yield Found(Spot(None, path), f"{name}: {screw.what}", screw.write.removeprefix("Write "))
        return
    kind = "taper pipe" if pipe.taper else "parallel pipe"
    yield Found(
        Spot(None, path),
        f"{name}: “{text}” is the size of a {kind} thread, and does not say so",
        f"{pipe.name} if it seals on its thread; a straight thread with its letters, such as 3/8-16 UNC",
    )


def of_cut(name: str, cut: schema.Cut, text: str) -> Iterator[Found]:
    """Find a drill that leaves too much or too little of its thread, or that is none."""
    if cut.drill is None or cut.into == "plastic":
        return
    drill = drill_of(cut)
    spot = Spot(None, ("cuts", name, "drill"))
    if drill is None:
        if isinstance(cut.drill, str) and re.fullmatch(r"(letter )?[A-Z]{1,2}|#\d{1,3}", cut.drill, re.I):
            yield Found(spot, f"{cut.name}: “{cut.drill}” names no drill", "#7, letter F, 17/64 in or 6.8 mm")
        return
    try:
        thread = read_thread(text)
    except Refused:
        try:
            pipe = read_pipe(text)
        except Refused:
            return
        yield from of_pipe(spot, cut.name, pipe, drill)
        return
    yield from of_share(spot, cut, thread, drill)


def of_share(spot: Spot, cut: schema.Cut, thread: Thread, drill: Drill) -> Iterator[Found]:
    """Find a drill that does not leave a sound share of a screw thread."""
    over = drill.mm - float(thread.diameter.m_as("mm"))
    insert = "insert" in f"{cut.name} {cut.thread}".lower()
    if insert and 0 <= over <= INSERT * float(thread.pitch.m_as("mm")):
        return
    fits = tapped_after(thread, "metric" if thread.system == "metric" else "inch")
    better = f"drill: {written(fits)}" if fits else "the drill and the thread as the tap's maker prints them"
    try:
        share = float(percent(thread, Q_(drill.mm, "mm")).m_as("percent"))
    except Refused as refused:
        yield Found(spot, f"{cut.name}: {refused.what}, and {refused.why}", better)
        return
    if not LEAST - ROUND <= share <= MOST + ROUND:
        why = "it strips before its screw breaks" if share < LEAST else "the tap may break in it"
        yield Found(
            spot,
            f"{cut.name}: after {drill.name}, {share:.0f} % of {thread.designation} is left: {why}",
            f"{better}, where {LEAST:g} to {MOST:g} % is sound",
        )


def written(drill: Drill) -> str:
    """Return a drill as it is written in a pack: a number stands in quotes."""
    return f"“{drill.name}” in quotes" if drill.name.startswith("#") else drill.name


def of_pipe(spot: Spot, name: str, thread: PipeThread, drill: Drill) -> Iterator[Found]:
    """Find a drill that no list has for a pipe thread."""
    try:
        if thread.family == "NPT":
            listed = [read_drill(sizes[thread.size]) for sizes in LISTS.values() if thread.size in sizes]
        else:
            listed = [pipe_drill(thread)]
    except Refused:
        return
    sizes = [one.mm for one in listed]
    if not sizes or min(sizes) - SCATTER <= drill.mm <= max(sizes) + SCATTER:
        return
    names = " or ".join(dict.fromkeys(one.name for one in listed))
    yield Found(
        spot,
        f"{name}: {drill.name} is not the drill of {thread.name}",
        f"drill: {names}. A pipe thread's size is not its width",
    )
