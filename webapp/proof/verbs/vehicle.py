"""The vehicle as a whole: its engine, its key, and what it stands on."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Chock, Crank, Key, Lower, Raise, RoadTest, Start, Stop, TurnOver, Unchock

from ..job import JobStep
from .circuits import presses_fuel
from .known import Known
from .said import Change, Moment, What


def raise_(known: Known, step: JobStep, action: Raise) -> Iterator[What]:
    """Yield that the vehicle is up. On anything but a lift it may roll."""
    yield Moment("raises")
    if action.raise_ != "lift":
        yield Moment("raises-on-its-wheels")
    yield Change("raised:vehicle", action.raise_)


def lower(known: Known, step: JobStep, action: Lower) -> Iterator[What]:
    """Yield that the vehicle is on the ground."""
    yield Moment("lowers")
    yield Change("raised:vehicle", "lower")


def chock(known: Known, step: JobStep, action: Chock | Unchock) -> Iterator[What]:
    """Yield that the wheels are chocked, or free."""
    yield Change("chocks:wheels", action.verb())


def key(known: Known, step: JobStep, action: Key) -> Iterator[What]:
    """Yield where the key is. On, it lets the fuel pump run."""
    if action.key == "on":
        yield Moment("key-on")
        yield from presses_fuel(known)
    yield Change("key:key", action.key)
    yield from keyed(known, "out" if action.key == "out" else "in")


def keyed(known: Known, where: str) -> Iterator[Change]:
    """Yield what the key does to whether the engine can start."""
    for lead in known.leads:
        yield Change(f"able:{lead}", f"key-{where}")


def crank(known: Known, step: JobStep, action: Crank) -> Iterator[What]:
    """Yield that the starter turns the engine."""
    yield Moment("turns")
    if action.crank == "dry":
        yield Moment("spark")
    yield Moment(f"cranks-{action.crank}")
    yield from keyed(known, "in")
    yield from presses_fuel(known)


def start(known: Known, step: JobStep, action: Start) -> Iterator[What]:
    """Yield that the engine runs and gets hot, and what is to be looked at after that."""
    yield Moment("turns")
    yield Moment("spark")
    yield Moment("starts")
    yield from keyed(known, "in")
    yield Change("run:engine", "start")
    yield Change("heat:engine", "start")
    yield from presses_fuel(known)
    for fluid, one in known.front.fluids.items():
        if one.circuit == "cooling":
            yield Change(f"pressure:{fluid}", "swell")
    for look in ("first-minute", "hot-look", "cold-level"):
        yield Change(f"look:{look}", "start")
    yield Change("settings:battery", "start")
    yield Change("settings:throttle", "start")
    for name, item in known.front.items.items():
        if item.kind == "drive":
            yield Change(f"belt:{name}", "run")


def stop(known: Known, step: JobStep, action: Stop) -> Iterator[What]:
    """Yield that the engine stands, and the key is no longer on."""
    yield Change("run:engine", "stop")
    yield Change("key:key", "stop")


def turn_over(known: Known, step: JobStep, action: TurnOver) -> Iterator[What]:
    """Yield that the engine is turned by hand."""
    yield Moment("turns")
    yield Moment("turns-over")


def road_test(known: Known, step: JobStep, action: RoadTest) -> Iterator[What]:
    """Yield that the vehicle is driven."""
    yield Moment("moves")
