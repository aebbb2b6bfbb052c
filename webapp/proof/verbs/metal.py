"""Metal that is cut, and its chips."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import ClearChips, Drill, Tap

from ..job import JobStep
from .known import Known
from .said import Change, Moment, What


def cut(known: Known, step: JobStep, action: Drill | Tap) -> Iterator[What]:
    """Yield that a hole or a thread is cut: sparks, and chips near what is open."""
    name = action.target()
    near = known.front.cuts[name].near
    yield Moment("cuts", frozenset({f"cuts:{name}", *(f"items:{one}" for one in near)}))
    yield Moment("spark")
    yield Change(f"chips:{name}", "cut")


def clear_chips(known: Known, step: JobStep, action: ClearChips) -> Iterator[What]:
    """Yield that the chips of a cut are away."""
    yield Change(f"chips:{action.target()}", "clear")
