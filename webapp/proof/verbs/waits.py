"""What begins and ends with a step: the waits it is after, its own, and what is read before and after."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Lower, Raise, RoadTest

from ..job import JobStep
from .circuits import cools, is_brake
from .known import Known
from .said import Change, Moment, What

AT_BEGIN = frozenset({"cold", "no-pressure", "level", "measured-twice"})
"""Readings that are taken before the step's actions; the others tell what came of them."""

SPARKS = re.compile(
    r"\b(grinder|cut-?off|welder|welding (set|torch|machine)|solder\w*|heat gun|hot[- ]air|blow ?lamp"
    r"|(blow|gas) ?torch)",
    re.IGNORECASE,
)
"""Tools that throw sparks or are hot, by their names."""

OPENS = re.compile(r"thermostat|(top|upper|outlet|radiator) hose.{0,30}\bhot", re.IGNORECASE)
"""How a pack says what is seen when the thermostat opens."""

HARDENS = {"tacky": "tacky", "set": "set", "full-cure": "cure"}
"""The move of a bead when a wait of such a kind is over."""


def begins(known: Known, step: JobStep) -> Iterator[What]:
    """Yield what holds when a step is begun: the waits it is after, and what is read first."""
    for name in step.data.after:
        if name not in known.job.waits:
            continue
        begun, wait = known.job.waits[name]
        over = [*hardens(known, begun, wait, step), *(cools(known) if wait.kind == "cool-down" else ())]
        yield from (change._replace(wait=name) for change in over)
    yield from read(known, step, first=True)
    if any(SPARKS.search(known.front.tools[tool].name) for tool in step.data.tools):
        yield Moment("spark")
    passed = known.ports.passed(step)
    if passed:
        yield Moment("works-past", passed)
    if "falling-vehicle" in step.data.hazards and not any(
        isinstance(action, Raise | Lower) for action in step.actions
    ):
        yield Moment("under")


def waited(known: Known, step: JobStep) -> Iterator[What]:
    """Yield what a step's own waits tell, which are over before its readings are taken."""
    for wait in step.data.waits.values():
        if wait.attended and wait.kind == "cool-down":
            yield from cools(known)
        if wait.attended:
            yield from hardens(known, step, wait, step)
        if wait.kind in ("bleed", "warm-up") and any(OPENS.search(text) for text in wait.until):
            yield Change("due:thermostat-open", "seen")


def finishes(known: Known, step: JobStep) -> Iterator[What]:
    """Yield what a step's readings tell when it is ticked."""
    yield from read(known, step, first=False)
    if step.data.safe_stop:
        yield Moment("stops-safely")


def hardens(known: Known, begun: JobStep, wait: schema.Wait, over: JobStep) -> Iterator[Change]:
    """Yield what a wait makes of the beads that were laid when it began, and not laid anew since."""
    move = HARDENS.get(wait.kind)
    if not move:
        return
    precedes = known.job.must_precede
    for name, laid in sorted(known.done.beads.get(wait.sealant or "", {}).items()):
        before = [step for step in laid if step == begun.id or precedes(step, begun.id)]
        anew = [
            step for step in laid if precedes(begun.id, step) and (step == over.id or precedes(step, over.id))
        ]
        if before and not anew:
            yield Change(f"bead:{name}", move)


def read(known: Known, step: JobStep, *, first: bool) -> Iterator[What]:
    """Yield what the readings of a step prove, and when a level is read as a cold one."""
    drives = any(isinstance(action, RoadTest) for action in step.actions)
    for reading in step.data.readings.values():
        for proof in reading.proves:
            if proof == "level" and is_brake(known, reading.of):
                yield Change("due:brake-level", "seen")  # before what is done, and after a bleed
            if first and drives and proof in ("firm-pedal", "dry"):
                yield Change(f"due:{proof}", "seen")  # the pedal is tried before the wheels turn
            if (proof in AT_BEGIN) == first:
                yield from proves(known, proof, reading.of)


def proves(known: Known, proof: str, of: str | None) -> Iterator[What]:
    """Yield what a reading shows. of: the fluid it is taken of, or None for all."""
    if proof == "cold":
        yield from cools(known)
    elif proof == "no-pressure":
        for name in [of] if of else known.front.fluids:
            yield Change(f"pressure:{name}", "shown")
    elif proof == "level":
        for name in [of] if of else known.front.fluids:
            yield Change(f"level:{name}", "seen")
    elif proof == "measured-twice":
        for name in known.front.cuts:
            yield Change(f"measured:{name}", "measure")
    elif proof == "settings":
        yield Change("settings:battery", "seen")
        yield Change("settings:throttle", "seen")
    elif proof == "cold-level":
        yield Moment("reads-cold-level")
    yield Change(f"due:{proof}", "seen")
    yield Change(f"look:{proof}", "seen")
