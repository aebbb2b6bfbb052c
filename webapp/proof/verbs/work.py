"""The moments of hands and tools at the machine, whatever they do there."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Connect, Disconnect, MoveAside, Remove, Undo, Verb

from ..job import JobStep
from .known import Known
from .said import FUSED, OF_A_GROUP, Moment, at_items

HOT_METAL = re.compile(r"\b(exhaust|turbocharger|catalyst|catalytic|downpipe)\b", re.IGNORECASE)
"""What stays hot the longest, by its name."""

TAKEN_HOLD_OF = frozenset({Disconnect, Remove, MoveAside, Undo})
"""Verbs that put hands round a thing, so that it burns them while it is hot."""


def works(known: Known, step: JobStep, action: Verb) -> Iterator[Moment]:
    """Yield the moments of a hand or a tool at the machine."""
    name = action.target()
    yield Moment("hand-work")
    items = touched(known, action)
    groups = [known.front.fasteners[name]] if type(action) in OF_A_GROUP else []
    if type(action) in TAKEN_HOLD_OF and any(hot(item) for item in items):
        yield Moment("hot-metal")
    live = any(item.carries == "live" and item.kind != "earth-lead" for item in items)
    if live and not fused(known, action):
        yield Moment(live_work(known, step, action))
    rotating = known.turns and any(group.joint == "rotating" for group in groups)
    if rotating or any(item.kind in ("drive", "guard") for item in items):
        yield Moment("zone")
    at = [name, *(held for group in groups for held in group.holds)]
    for energy, source in known.front.energy.items():
        if any(one in source.reaches for one in at):
            yield Moment("reach", frozenset({f"energy:{energy}"}))
            if source.kind == "restraint":
                yield Moment("airbag")


def hot(item: schema.Item) -> bool:
    """Return whether an item stays hot for long, by its name. What carries something is judged by that."""
    return item.kind in ("part", "connection") and not item.carries and bool(HOT_METAL.search(item.name))


def touched(known: Known, action: Verb) -> list[schema.Item]:
    """Return the items that an action works on: its own, or those that its group holds."""
    table, thing = known.front.object_of(action)
    if table == "items":
        return [thing]
    if table == "fasteners":
        return [known.front.items[held] for held in thing.holds]
    return []


def live_work(known: Known, step: JobStep, action: Verb) -> str:
    """Return the moment of work on what is live. A lead may follow its maker's order, with the source.

    The maker's order counts only where the earth lead has its turn in the job too.
    """
    if not isinstance(action, Disconnect | Connect):
        return "live-work"
    source = known.front.sources.get(step.data.source or "")
    makers = source is not None and source.kind in ("manual", "standard")
    return "live-lead-by-maker" if makers and type(action) in known.done.earth_turns else "live-lead"


def fused(known: Known, action: Verb) -> bool:
    """Return whether a plug is pulled by hand that is dead once its own energy is locked off (R10)."""
    name = action.target()
    if not isinstance(action, Disconnect | Connect) or known.relations.holding.get(name):
        return False
    return any(one.kind in FUSED and name in one.reaches for one in known.front.energy.values())


def reaches_behind(known: Known, action: Verb) -> Iterator[Moment]:
    """Yield the moment at which something is worked on that other things hide."""
    table, _ = known.front.object_of(action)
    name = action.target()
    if table == ("items" if name in known.front.items else "fasteners"):
        for hider in known.relations.hiders.get(name, ()):
            yield at_items("behind", hider)
