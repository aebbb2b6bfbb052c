"""Circuits: how they are let down, drained, filled, bled and pressed."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Bleed, Drain, Fill, PressureTest, Relieve, Rinse

from ..job import JobStep
from .circuits import BRAKES, PEDAL, air_in, is_brake, works_on
from .known import Known
from .said import Change, Moment, What, at_fluids


def relieve(known: Known, step: JobStep, action: Relieve) -> Iterator[What]:
    """Yield that a circuit is let down, and shown to be if the step reads its pressure."""
    name = action.relieve
    yield at_fluids(f"relieves-{known.front.fluids[name].circuit}", [name])
    yield Change(f"pressure:{name}", "relieve")
    for reading in step.data.readings.values():
        if "no-pressure" in reading.proves and reading.of in (None, name):
            yield Change(f"pressure:{name}", "shown")


def drain(known: Known, step: JobStep, action: Drain) -> Iterator[What]:
    """Yield that a circuit is empty and has air in it."""
    name = action.drain
    circuit = known.front.fluids[name].circuit
    yield at_fluids(f"opens-{circuit}", [name])
    if circuit == "oil":
        yield Moment("lets-oil-out")
    yield at_fluids("opens", [name])
    yield Change(f"level:{name}", "drain")
    yield from works_on({circuit})
    yield from air_in(known, name)


def rinse(known: Known, step: JobStep, action: Rinse) -> Iterator[What]:
    """Yield nothing: what is rinsed was drained before, and is filled after."""
    return iter(())


def fill(known: Known, step: JobStep, action: Fill) -> Iterator[What]:
    """Yield that a circuit is at its level, also where another fluid was drained from it."""
    name = action.fill
    yield at_fluids("fills", [name])
    yield Change(f"level:{name}", "fill")
    for other in replaced_by(known, name):
        yield Change(f"level:{other}", "fill")
    if is_brake(known, name):
        yield Change("due:brake-level", "seen")


def replaced_by(known: Known, name: str) -> list[str]:
    """Return the fluids that were drained so that this one, never drained itself, takes their place."""
    done = known.done
    if name in done.drained:
        return []
    circuit = known.front.fluids[name].circuit
    alike = [one for one in sorted(done.drained - done.filled) if one != name]
    return [one for one in alike if known.front.fluids[one].circuit == circuit]


def bleed(known: Known, step: JobStep, action: Bleed) -> Iterator[What]:
    """Yield that the air is out, and what has to be seen after that."""
    name = action.bleed
    circuit = known.front.fluids[name].circuit
    yield at_fluids(f"bleeds-{circuit}", [name])
    yield Change(f"air:{name}", "bleed")
    if circuit == "cooling":
        yield Change("due:thermostat-open", "disturbed")
    elif circuit == "fuel":
        yield Change(f"pressure:{name}", "press")
    elif circuit in PEDAL:
        for proof in BRAKES:
            yield Change(f"due:{proof}", "arises")


def pressure_test(known: Known, step: JobStep, action: PressureTest) -> Iterator[What]:
    """Yield that a circuit is under pressure."""
    yield at_fluids("presses", [action.pressure_test])
    yield Change(f"pressure:{action.pressure_test}", "press")
