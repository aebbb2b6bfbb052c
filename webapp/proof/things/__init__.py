"""All things of a job that can be left in the wrong state, before their moves and needs are known."""

from __future__ import annotations

from collections.abc import Iterator

from ..job import Job
from . import energy, fluids, groups, items, metal, vehicle
from .thing import Thing
from .told import Told


def things(job: Job) -> Iterator[Thing]:
    """Yield every thing that can be left in the wrong state."""
    told = Told(job)
    for name, item in job.front.items.items():
        yield from items.of_item(told, name, item)
    for name, group in job.front.fasteners.items():
        yield from groups.of_group(told, name, group)
    yield from fluids.of_fluids(told)
    yield from vehicle.of_vehicle(told)
    yield from energy.of_energy(told)
    yield from energy.of_licensed(told)
    yield from energy.of_hand_overs(told)
    yield from metal.of_cuts(told)
