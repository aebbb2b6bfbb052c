"""What hurts by itself, what only a licensed person makes safe, and what is handed over to one."""

from __future__ import annotations

from collections.abc import Iterator

from .. import machines
from ..verbs.said import BATTERY_FED, LICENSED, SELF_STARTING
from . import marks
from .thing import Thing
from .told import Told


def of_energy(told: Told) -> Iterator[Thing]:
    """Yield what is locked off before hands come near it, and what only a licensed person touches."""
    for name, energy in told.front.energy.items():
        if energy.kind in LICENSED:
            kind, machine, start = "licensed", machines.LICENSED, "live"
        elif energy.kind in ("spring", "pressure", "fuel-pump", *SELF_STARTING):
            dead = energy.kind in BATTERY_FED and told.front.opening.earth == "off"
            kind, machine, start = "energy", machines.ENERGY, "dead" if dead else "armed"
        else:
            continue
        about = frozenset({f"energy:{name}"})
        own = marks.of_energy(told, energy)
        yield Thing(
            f"{kind}:{name}", machine, "energy", name, energy.name, start, about, own, when=energy.when
        )


def of_licensed(told: Told) -> Iterator[Thing]:
    """Yield the refrigerant, the gas fuel, and what else a hand-over says that it makes safe."""
    refrigerant, gas = told.relations.refrigerant, told.relations.gas
    if refrigerant:
        yield licensed("", "refrigerant", "the refrigerant", "refrigerant")
    if gas:
        fluids = (f"fluids:{name}" for name in gas & told.front.fluids.keys())
        yield licensed("", "gas", "the gas fuel", "gas", *fluids)
    covered = {one for hand_over in told.front.hand_overs.values() for one in hand_over.covers}
    for table, things in (("items", told.front.items), ("fluids", told.front.fluids)):
        for name in sorted(covered & things.keys() - (refrigerant | gas)):
            yield licensed(table, name, things[name].name, "covered", f"{table}:{name}")


def licensed(table: str, object: str, name: str, mark: str, *about: str) -> Thing:
    """Return something that is live until a licensed person has made it safe."""
    own = f"covered-{object}" if table else object
    return Thing(
        f"licensed:{own}", machines.LICENSED, table, object, name, "live", frozenset(about), frozenset({mark})
    )


def of_hand_overs(told: Told) -> Iterator[Thing]:
    """Yield what is handed over to a licensed person."""
    for name, hand_over in told.front.hand_overs.items():
        covers = hand_over.covers
        about = {f"{table}:{one}" for table in ("items", "fluids", "energy") for one in covers}
        about.add(f"hand-overs:{name}")
        yield Thing(
            f"handed:{name}", machines.HANDED, "hand-overs", name, hand_over.name, "live", frozenset(about)
        )
