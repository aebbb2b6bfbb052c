"""What an item can be left as: off, undone, open, unheld, not renewed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from webapp.pack import schema
from webapp.pack.actions import Compare, Fit, LeaveOff, MoveAside, Refit, Remove, ScrapFasteners, Tension
from webapp.pack.model import State

from .. import machines
from ..machines import Machine
from . import marks, sealing
from .thing import Thing
from .told import Told


def of_item(told: Told, name: str, item: schema.Item) -> Iterator[Thing]:
    """Yield what an item can be left as."""
    about = told.relations.about("items", name)
    own = marks.of_item(told, name, item)
    sealants = sealing.sealants_of(told, name, item)
    if item.kind == "joint" and sealants:
        own |= {"beaded"}

    def thing(kind: str, machine: Machine, start: State, total: int = 1) -> Thing:
        return Thing(f"{kind}:{name}", machine, "items", name, item.name, start, about, own, total, item.when)

    earth = told.front.opening.earth
    if item.kind == "earth-lead":
        able = thing("able", machines.ABLE, "earth off" if earth == "off" else "able")
        yield replace(able, name="the engine")
        yield thing("earth", machines.EARTH, earth or "unknown")
    elif item.kind == "temporary":
        yield thing("temporary", machines.TEMPORARY, 0, item.count)
    elif item.kind == "opening" and item.way == "valve":
        yield thing("valve", machines.VALVE, "open")
    elif item.kind == "opening":
        yield thing("opening", machines.OPENING, "shut")
    elif item.kind == "joint":
        yield thing("joint", sealing.joint_machine(told, item), "closed")
    if sealants:
        machine = sealing.bead_machine(told, item, sealants)
        yield sealing.of_bead(told, name, sealants, thing("bead", machine, "none"))
    if told.connected(name) and item.kind != "earth-lead":
        yield thing("connection", machines.CONNECTION, "made")
    if told.moved(name, item):
        yield thing("part", *part_machine(told, name, item), item.count)
    if item.kind == "load" or item.sprung or told.relations.heavy(item):
        yield thing("support", machines.SPRUNG if item.sprung else machines.SUPPORT, "free")
    if item.kind == "drive" and told.is_done(name, Tension):
        yield thing("belt", machines.BELT, "set")
    if (item.compare and (item.renew or told.is_done(name, Fit))) or told.is_done(name, Compare):
        yield thing("compared", machines.COMPARED, "no")
    if item.kind == "seal" or item.one_use:
        yield replace(thing("due", machines.DUE, "quiet"), id=f"due:renew-{name}", marks=own | {"renew"})


def part_machine(told: Told, name: str, item: schema.Item) -> tuple[Machine, State]:
    """Return how a part is followed, and whether it is there at the start."""
    taken = told.is_done(name, Remove, MoveAside, ScrapFasteners, LeaveOff, Refit)
    new = told.is_done(name, Fit) and not taken and not item.renew
    if new and (item.kind != "seal" or takes_place(told, name)):
        return machines.ADDED, "none"
    if item.kind == "seal":
        return (machines.SEAL, "fitted") if item.count == 1 else (machines.SEALS, 0)
    return (machines.PART, "fitted") if item.count == 1 else (machines.PARTS, 0)


def takes_place(told: Told, name: str) -> bool:
    """Return whether a seal is new on the vehicle: on a new part, or for another that stays off."""
    items, done = told.front.items, told.done
    sealed = [one for one in told.relations.sealed.get(name, ()) if items[one].kind == "part"]
    if sealed and all(part_machine(told, one, items[one])[0] is machines.ADDED for one in sealed):
        return True
    stay_off = (done[Remove] | done[ScrapFasteners]) - done[Fit] - done[Refit]
    return any(one in items and items[one].kind == "seal" for one in stay_off)
