"""Joints and beads: how each is followed, and what moves and touches a bead."""

from __future__ import annotations

from dataclasses import replace

from webapp.pack import schema
from webapp.pack.actions import Connect, Fit, Refit, Remove, ScrapFasteners, Shut

from .. import machines
from ..machines import Machine
from . import marks
from .thing import Thing
from .told import Told


def joint_machine(told: Told, item: schema.Item) -> Machine:
    """Return how a joint is followed: whether its seal is asked for when it is closed."""
    seal = item.sealed_by or ""
    own = seal in told.front.items and told.is_done(seal, Remove, Fit, Refit, ScrapFasteners)
    return machines.JOINT if own else machines.LEFT_SEALED


def sealants_of(told: Told, name: str, item: schema.Item) -> list[str]:
    """Return the sealants that are laid on an item, or that a joint is never closed without.

    What is laid on something that is no joint is followed only if a step puts that thing on.
    """
    laid = told.beads.get(name, [])
    if item.kind == "joint":
        return laid or [one for one in (item.sealed_by,) if one in told.front.sealants]
    return laid if told.is_done(name, Refit, Fit, Connect, Shut) else []


def bead_machine(told: Told, item: schema.Item, sealants: list[str]) -> Machine:
    """Return how a bead is followed, by the method on its label."""
    must = item.kind == "joint" and item.sealed_by in told.front.sealants
    return machines.bead(told.front.sealants[sealants[0]].method, must)


def of_bead(told: Told, name: str, sealants: list[str], thing: Thing) -> Thing:
    """Return a bead with the groups and parts that move it and the circuits that it touches."""
    items, relations = told.front.items, told.relations
    groups, parts = relations.groups_of(name), relations.parts_of(name)
    own = relations.fluids_of(items[name])
    fluids = own or own.union(*(relations.fluids_of(items[part]) for part in parts))
    about = {f"fasteners:{one}" for one in groups} | {f"items:{one}" for one in parts}
    about |= {f"sealants:{one}" for one in sealants} | {f"fluids:{one}" for one in fluids}
    return replace(
        thing,
        name=f"bead of {told.front.sealants[sealants[0]].name} at the {items[name].name}",
        about=thing.about | about,
        marks=thing.marks | marks.of_bead(told, name, sealants, fluids),
    )
