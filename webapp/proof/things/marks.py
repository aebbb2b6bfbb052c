"""The marks of things: what a row may ask of them with `only` and `unless`."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.pack import schema
from webapp.pack.actions import Apply, Disconnect, Drill, Fit, StartByHand, Support

from ..relations import DRAIN, is_filler
from .told import Told

TOPPED_UP = frozenset({"steering", "hydraulic"})
"""Circuits that are bled with the engine running and filled up meanwhile."""


def those(told: Mapping[str, bool]) -> frozenset[str]:
    """Return the marks that are so."""
    return frozenset(mark for mark, is_so in told.items() if is_so)


def follow_ups(told: Told) -> frozenset[str]:
    """Return a mark for each check that a follow-up of the job makes later."""
    return frozenset(
        f"follow-up-{check}" for follow in told.front.follow_ups.values() for check in follow.checks
    )


def of_item(told: Told, name: str, item: schema.Item) -> frozenset[str]:
    """Return what a row may ask of an item: its kind, what it carries, what it is for."""
    circuits = told.relations.circuits_of(item)
    into = [told.front.items[one] for one in item.into]
    filler = name in told.fillers or item.way in ("filler", "bleed") or (not item.way and is_filler(item))
    drain = name in told.drains or item.way == "drain" or bool(DRAIN.search(item.name))
    parted = item.kind != "connection" and not circuits.isdisjoint(told.parted)
    written = {"carries": item.carries, "way": item.way, "form": item.form}
    marks = {
        "by-its-ends": name in told.by_its_ends or parted,
        "timed": item.timed,
        "one-use": item.one_use,
        "to-renew": item.renew,
        "fluid": bool(circuits or told.relations.behind(name)),
        "filler": filler,
        # open while the engine runs, to let air out or to pour on as the level sinks
        "air-way": filler
        and ("cooling" in circuits or (item.way == "filler" and bool(circuits & TOPPED_UP))),
        "port": item.kind == "opening" and not filler and not drain,
        "clamped": name in told.clamped,
        "pins": any(one.timed or one.kind == "drive" for one in into),
        "pins-timed": item.kind == "temporary" and any(one.timed for one in into),
        "disconnected": told.is_done(name, Disconnect),
        "new-drive": item.kind == "drive" and told.is_done(name, Fit),
    }
    own = frozenset({item.kind, *(f"circuit-{one}" for one in circuits)})
    own |= {f"{key}-{value}" for key, value in written.items() if value}
    return own | those(marks) | follow_ups(told)


def of_bead(told: Told, name: str, sealants: list[str], fluids: set[str]) -> frozenset[str]:
    """Return the methods of a bead, what touches or warms it, and whether its open time is clocked."""
    labels = [told.front.sealants[one] for one in sealants]
    warm = fluids or {fluid for one in labels for fluid in one.suits}
    marks = frozenset(f"method-{one.method}" for one in labels)
    marks |= {f"warmed-{told.front.fluids[one].circuit}" for one in warm}
    laying = [step for step, _, action in told.job.doing[name] if isinstance(action, Apply)]
    clocked = all(any(wait.kind == "open-time" for wait in step.data.waits.values()) for step in laying)
    return marks | those({"touches": bool(fluids), "clocked": clocked})


def of_group(told: Told, name: str, group: schema.Fasteners, *, replaced: bool) -> frozenset[str]:
    """Return the kind of joint of a group, how it is tightened, and what it holds.

    The circuits it holds count only where it says no `joint`.
    """
    held = [told.front.items[one] for one in group.holds]
    circuits = {
        told.front.fluids[fluid].circuit
        for one in ([] if group.joint else group.holds)
        for fluid in told.relations.behind(one)
    }
    return those(
        {
            f"joint-{group.joint}": True,
            "one-use": group.one_use,
            "angle": bool(group.angle),
            "snug": group.snug,
            "counted": told.is_done(name, StartByHand),
            "replaced": replaced,
            "holds-drive": any(item.kind in ("drive", "guard") for item in held),
            "holds-fuel": "fuel" in circuits,
            "holds-sealed": not circuits.isdisjoint(("cooling", "oil", "hydraulic", "steering")),
            "holds-brake": "brake" in circuits,
        }
    )


def of_energy(told: Told, energy: schema.Energy) -> frozenset[str]:
    """Return the kind of an energy, whether it says what it reaches, and whether that is held up."""
    stored = energy.kind in ("spring", "pressure")
    held = stored and not told.done[Support].isdisjoint(energy.reaches)
    return those({energy.kind: True, "reaches": bool(energy.reaches), "held": held})


def of_measuring(told: Told, cut: str) -> frozenset[str]:
    """Return whether a cut may need no measuring: its hole is there already, or it hangs on an answer."""
    return those({"asked": not told.is_done(cut, Drill) or all(told.cut[cut])})
