"""Groups of fasteners: how tight one is left, how many of it are out, whether it is to be renewed."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import (
    Disconnect,
    Loosen,
    MoveAside,
    Remove,
    ScrapFasteners,
    StartByHand,
    Tighten,
    Turn,
    Undo,
)
from webapp.pack.model import State

from .. import machines
from ..machines import Machine
from . import marks
from .thing import Thing
from .told import Told


def of_group(told: Told, name: str, group: schema.Fasteners) -> Iterator[Thing]:
    """Yield how tight a group is, and how many of it are out."""
    if not told.is_done(name, Undo, Loosen, StartByHand, Tighten, Turn):
        return
    about = told.relations.about("fasteners", name)
    own = marks.of_group(told, name, group, replaced=replaced(told, name, group))

    def thing(kind: str, machine: Machine, start: State, *more: str, total: int = 1) -> Thing:
        marked = own.union(more)
        return Thing(
            f"{kind}{name}", machine, "fasteners", name, group.name, start, about, marked, total, group.when
        )

    new = is_new(told, name, group)
    yield thing("group:", machines.group(group, told.is_done(name, Turn)), "out" if new else "tight")
    if told.is_done(name, StartByHand):
        total = group.total()
        yield thing("out:", machines.OUT, total if new else 0, total=total)
    if group.one_use:
        yield thing("due:renew-", machines.DUE, "quiet", "renew", "fasteners")


def is_new(told: Told, name: str, group: schema.Fasteners) -> bool:
    """Return whether a group is not in at the start: nothing takes it out, and it is started by hand.

    What it holds is new too, or another group that held it is thrown away.
    """
    if told.is_done(name, Undo, Loosen) or not told.is_done(name, StartByHand):
        return False
    if not any(told.is_done(one, Remove, Disconnect, MoveAside) for one in group.holds):
        return True
    others = {other for one in group.holds for other in told.relations.holding[one]} - {name}
    return any(replaced(told, one, told.front.fasteners[one]) for one in others)


def replaced(told: Told, name: str, group: schema.Fasteners) -> bool:
    """Return whether a group is thrown away for another one that holds the same things."""
    if not told.is_done(name, ScrapFasteners):
        return False
    new = told.done[StartByHand] | told.done[Tighten]
    others = [set(told.relations.holding[one]) & new - {name} for one in group.holds]
    return name not in new and bool(others) and all(others)
