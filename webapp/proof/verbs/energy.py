"""What hurts by itself: the battery's lead, what starts alone, and what is handed to a licensed person."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from webapp.pack.actions import HandOverTo, Isolate, Restore, Ventilate

from ..job import JobStep
from .known import Known
from .said import BATTERY_FED, LICENSED, Change, Moment, What, at_items


def earths(known: Known, name: str, where: Literal["off", "on"]) -> Iterator[What]:
    """Yield what follows when an earth lead comes off its post, or goes on it.

    One of two leads does nothing to what the battery feeds.
    """
    yield Moment("spark")
    yield at_items(f"earth-{where}", name)
    yield Change(f"earth:{name}", "disconnect" if where == "off" else "connect")
    yield Change(f"able:{name}", f"earth-{where}")
    for fed, energy in known.front.energy.items():
        if energy.kind in BATTERY_FED and known.earths == 1:
            yield Change(f"energy:{fed}", f"earth-{where}")
    if where == "off":
        yield Change("settings:battery", "lose")


def isolate(known: Known, step: JobStep, action: Isolate | Restore) -> Iterator[What]:
    """Yield that an energy is locked off, or let on again."""
    name = action.target()
    if known.front.energy[name].kind in LICENSED:
        yield Moment("reach", frozenset({f"energy:{name}"}))
    yield Change(f"energy:{name}", action.verb())


def ventilate(known: Known, step: JobStep, action: Ventilate) -> Iterator[What]:
    """Yield that the bay has fresh air."""
    yield Change("bay:air", "ventilate")


def hand_over(known: Known, step: JobStep, action: HandOverTo) -> Iterator[What]:
    """Yield that a licensed person has made safe what a hand-over covers: all, when it names nothing."""
    name = action.hand_over
    yield Change(f"handed:{name}", "hand-over")
    covers = set(known.front.hand_overs[name].covers)
    for energy, source in known.front.energy.items():
        if source.kind in LICENSED and (not covers or energy in covers):
            yield Change(f"licensed:{energy}", "hand-over")
    for what, own in (("refrigerant", known.relations.refrigerant), ("gas", known.relations.gas)):
        if not covers or covers & own:
            yield Change(f"licensed:{what}", "hand-over")
    for covered in sorted(covers):
        yield Change(f"licensed:covered-{covered}", "hand-over")
