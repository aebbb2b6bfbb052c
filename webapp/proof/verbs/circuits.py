"""What it means to open a circuit, to let air in, to work on what the engine puts under pressure."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack import schema

from ..relations import is_filler
from .known import Known
from .said import Change, Moment, What, at_fluids, at_items

RUNNING = frozenset({"cooling", "oil", "fuel", "hydraulic", "steering"})
"""Circuits that stand under pressure only once the engine runs."""

BLED = ("cooling", "fuel", "brake", "clutch", "hydraulic", "steering")
"""Circuits that are bled after air got in."""

PEDAL = ("brake",)
BRAKES = ("firm-pedal", "brake-level", "slow-stop", "dry")
"""What has to be seen once a brake circuit was open."""


def is_brake(known: Known, of: str | None) -> bool:
    """Return whether a reading of this fluid, or of any, is one of a brake circuit."""
    fluid = known.front.fluids.get(of or "")
    return of is None or (fluid is not None and fluid.circuit in PEDAL)


def circuits_at(known: Known, name: str) -> set[str]:
    """Return the circuits that an item keeps in: its own, and those of the joints it closes."""
    joints = [name, *known.relations.joints_of(name)]
    return {one for joint in joints for one in known.relations.circuits_of(known.front.items[joint])}


def works_on(circuits: set[str]) -> Iterator[Change]:
    """Yield that circuits were worked on, so that they are looked at once the engine runs."""
    if not RUNNING.isdisjoint(circuits):
        yield Change("look:first-minute", "work")
        yield Change("look:hot-look", "work")
    if "cooling" in circuits:
        yield Change("look:cold-level", "work")


def opens(known: Known, name: str, item: schema.Item, *, lets_air_in: bool) -> Iterator[What]:
    """Yield what it means to open a circuit at an item."""
    for circuit in sorted(circuits_at(known, name)):
        yield at_items(f"opens-{circuit}", name)
        own = circuit in known.relations.circuits_of(item)  # else it keeps oil in only at its joint
        if circuit == "oil" and own and not (item.kind == "opening" and item.way in ("filler", "bleed")):
            yield Moment("lets-oil-out")
    for fluid in sorted(known.relations.behind(name)):
        yield at_fluids("opens", [fluid])
        if lets_air_in and fluid in known.relations.fluids_of(item):
            yield from air_in(known, fluid)


def air_in(known: Known, fluid: str) -> Iterator[Change]:
    """Yield that air got into a circuit."""
    circuit = known.front.fluids[fluid].circuit
    if circuit in BLED:
        yield Change(f"air:{fluid}", "lets-in")
    if circuit == "cooling":
        yield Change("due:thermostat-open", "arises")
    if circuit in PEDAL:
        for proof in BRAKES:
            yield Change(f"due:{proof}", "arises")


def shuts_air_in(known: Known, item: schema.Item) -> Iterator[Change]:
    """Yield that a circuit has air in it where it is closed again: it is bled after that."""
    if item.kind not in ("seal", "temporary") and not is_filler(item):
        for fluid in sorted(known.relations.fluids_of(item)):
            yield from air_in(known, fluid)


def cools(known: Known) -> Iterator[Change]:
    """Yield what a cool-down changes."""
    yield Change("heat:engine", "cool")
    for name, fluid in known.front.fluids.items():
        if fluid.circuit == "cooling":
            yield Change(f"pressure:{name}", "cool")


def presses_fuel(known: Known) -> Iterator[Change]:
    """Yield that the fuel pump ran."""
    for fluid, one in known.front.fluids.items():
        if one.circuit == "fuel":
            yield Change(f"pressure:{fluid}", "press")
