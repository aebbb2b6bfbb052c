"""Circuits: their level, the air in them, their pressure."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.model import State

from .. import machines
from ..machines import Machine
from .thing import Thing
from .told import Told


def of_fluids(told: Told) -> Iterator[Thing]:
    """Yield level, air and pressure of each circuit."""
    for name, fluid in told.front.fluids.items():
        about = frozenset({f"fluids:{name}"})
        marks = frozenset({f"circuit-{fluid.circuit}"})
        full: State = "full" if name in told.front.opening.full else "unknown"
        starts: list[tuple[Machine, State]] = [
            (machines.LEVEL, full),
            (machines.AIR, "none"),
            (machines.PRESSURE, "unknown"),
        ]
        for machine, start in starts:
            yield Thing(f"{machine.name}:{name}", machine, "fluids", name, fluid.name, start, about, marks)
