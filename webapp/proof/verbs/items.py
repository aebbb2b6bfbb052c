"""Parts, connections, guards, drives: how they come off and go on."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import (
    Compare,
    Connect,
    Disconnect,
    Fit,
    LeaveOff,
    MoveAside,
    Refit,
    Release,
    Remove,
    Support,
    Tension,
    Verb,
)

from ..job import JobStep
from ..relations import is_belt
from .circuits import circuits_at, opens, shuts_air_in, works_on
from .energy import earths
from .joints import buries, closes, disturbs, hides, parts
from .known import Known
from .said import Change, What, at_items

THROTTLE = re.compile(
    r"\b(throttle (body|valve)|idle (air|control|speed) (control )?(valve|motor))", re.IGNORECASE
)
"""What the idle is learned with, by its name."""


# What several verbs do


def how_many(known: Known, action: Verb, name: str) -> int:
    """Return how many pieces an action takes or puts."""
    return int(getattr(action, "count", None) or known.front.items[name].count)


def moves_item(known: Known, action: Verb, name: str, move: str) -> Change:
    """Return a move of a part, a seal or a guard, under whichever machine it has."""
    return Change(f"part:{name}", move, how_many(known, action, name))


def off(known: Known, name: str, item: schema.Item) -> Iterator[What]:
    """Yield what follows from taking an item off, besides that it is off."""
    yield disturbs(name)
    yield from works_on(circuits_at(known, name))
    yield from parts(known, name)
    if THROTTLE.search(item.name):
        yield Change("settings:throttle", "lose")
    if item.sealed_by in known.front.items:
        yield Change(f"due:renew-{item.sealed_by}", "arises")
    if item.kind == "drive":
        yield Change(f"belt:{name}", "off")
    if item.timed and item.kind == "drive":
        yield at_items("untimes", name)


def lets_go(known: Known, step: JobStep, name: str, *, on: bool = False) -> Iterator[What]:
    """Yield the moment at which something that needs holding is let go, or is put on."""
    item = known.front.items[name]
    alone = known.relations.heavy(item) and step.data.people < 2
    if item.kind == "load" or item.sprung or alone:
        yield at_items("lifts" if on else "lets-go", name)
    yield Change(f"support:{name}", "fast" if on else "loose")


# Verbs


def disconnect(known: Known, step: JobStep, action: Disconnect) -> Iterator[What]:
    """Yield that a connection is undone, and its circuit opened."""
    name = action.disconnect
    item = known.front.items[name]
    if item.kind == "earth-lead":
        yield from earths(known, name, "off")
        return
    yield at_items("disconnects", name)
    yield from opens(known, name, item, lets_air_in=True)
    yield from off(known, name, item)
    yield Change(f"connection:{name}", "disconnect")


def connect(known: Known, step: JobStep, action: Connect) -> Iterator[What]:
    """Yield that a connection is made."""
    name = action.connect
    item = known.front.items[name]
    if item.kind == "earth-lead":
        yield from earths(known, name, "on")
        return
    yield at_items("connects", name)
    yield from shuts_air_in(known, item)
    yield from closes(known, name)
    yield Change(f"connection:{name}", "connect")


def remove(known: Known, step: JobStep, action: Remove) -> Iterator[What]:
    """Yield that an item comes off, and what is behind it is open."""
    name = action.remove
    item = known.front.items[name]
    yield from opens(known, name, item, lets_air_in=True)
    yield from off(known, name, item)
    yield Change(f"due:renew-{name}", "arises")
    yield at_items("removes", name)
    yield from lets_go(known, step, name)
    known.so_far.away.add(name)
    yield moves_item(known, action, name, "remove")


def move_aside(known: Known, step: JobStep, action: MoveAside) -> Iterator[What]:
    """Yield that an item is out of the way with its lines still on it."""
    name = action.move_aside
    yield disturbs(name)
    yield from parts(known, name)
    yield at_items("moves-aside", name)
    yield from lets_go(known, step, name)
    known.so_far.away.add(name)
    yield moves_item(known, action, name, action.verb())


def refit(known: Known, step: JobStep, action: Refit) -> Iterator[What]:
    """Yield that the old item goes back on."""
    name = action.refit
    yield from goes_on(known, step, name, "seal-again")
    yield at_items("goes-back", name)
    yield from is_on(known, action, name)


def fit(known: Known, step: JobStep, action: Fit) -> Iterator[What]:
    """Yield that a new item goes on."""
    name = action.fit
    item = known.front.items[name]
    yield from goes_on(known, step, name, "seal")
    if item.compare or item.renew:
        yield at_items("commits", name)
    if item.kind == "seal":
        yield at_items("seals", name)
    yield Change(f"due:renew-{name}", "seen")
    yield from is_on(known, action, name)


def goes_on(known: Known, step: JobStep, name: str, seals: str) -> Iterator[What]:
    """Yield what putting an item on begins with. seals: the move of a joint when the item is its seal."""
    item = known.front.items[name]
    yield from lets_go(known, step, name, on=True)
    yield buries(known, name)
    known.so_far.away.discard(name)
    if name in known.done.removed and name not in known.done.moved_aside:
        yield from shuts_air_in(known, item)
    if item.kind == "seal":
        for joint in known.relations.sealed.get(name, ()):
            yield Change(f"joint:{joint}", seals)
    else:
        yield from closes(known, name)


def is_on(known: Known, action: Refit | Fit, name: str) -> Iterator[What]:
    """Yield what putting an item on ends with."""
    yield hides(known, name)
    if is_belt(known.front.items[name]):
        yield Change("due:belt-seen", "arises")
    yield moves_item(known, action, name, action.verb())


def leave_off(known: Known, step: JobStep, action: LeaveOff) -> Iterator[What]:
    """Yield that an item stays off, and with it a group that holds nothing else."""
    name = action.leave_off
    yield Change(f"due:renew-{name}", "seen")
    yield moves_item(known, action, name, "leave-off")
    for group in known.relations.holding.get(name, ()):
        if known.done.left_off.issuperset(known.front.fasteners[group].holds):
            yield Change(f"group:{group}", "leave-off")
            yield from known.so_far.count_in(group)


def compare(known: Known, step: JobStep, action: Compare) -> Iterator[What]:
    """Yield that a new part was laid beside the old one."""
    yield Change(f"compared:{action.compare}", "compare")


def support(known: Known, step: JobStep, action: Support) -> Iterator[What]:
    """Yield that an item is held up."""
    yield disturbs(action.support)
    yield Change(f"support:{action.support}", "support")


def release(known: Known, step: JobStep, action: Release) -> Iterator[What]:
    """Yield that what held an item up is taken away, from under it or once the item is off."""
    if action.release not in known.so_far.away:
        yield at_items("releases", action.release)
    yield Change(f"support:{action.release}", "release")


def tension(known: Known, step: JobStep, action: Tension) -> Iterator[What]:
    """Yield that a belt is set, as a new one or as one that has run."""
    name = action.tension
    yield at_items("tensions", name)
    if action.as_ == "used":
        yield at_items("tensions-used", name)
    yield Change(f"belt:{name}", f"tension-{action.as_}" if action.as_ else "tension")
