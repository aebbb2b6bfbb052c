"""Metal that is cut: its chips, and whether it was measured before."""

from __future__ import annotations

from collections.abc import Iterator

from .. import machines
from . import marks
from .thing import Thing
from .told import Told


def of_cuts(told: Told) -> Iterator[Thing]:
    """Yield the chips of each cut, and whether it was measured twice."""
    for name, cut in told.front.cuts.items():
        own = frozenset({f"cuts:{name}"})
        about = own.union(f"items:{one}" for one in cut.near)
        for one in cut.near:
            about |= told.relations.about("items", one)
            about |= {f"items:{joint}" for joint in told.relations.joints_of(one)}
        near = marks.those({"near": bool(cut.near)})
        chips = f"{cut.name}: its chips"
        yield Thing(f"chips:{name}", machines.CHIPS, "cuts", name, chips, "none", about, near)
        asked = marks.of_measuring(told, name)
        yield Thing(f"measured:{name}", machines.MEASURED, "cuts", name, cut.name, "no", own, asked)
