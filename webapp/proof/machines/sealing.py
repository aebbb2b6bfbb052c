"""Joints and beads: what is cleaned, sealed and closed."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.pack.model import State

from .table import Machine, Table, to

JOINT = Machine(
    "joint",
    {
        "part": {
            **to("dirty", "closed", "wiped", "dirty", "joined"),
            "clean": "clean",  # put together for a try, and parted again
            "sealed": "sealed",
        },
        "strip": to("dirty", "closed", "wiped", "dirty", "clean", "sealed", "joined"),
        "clean": {
            **to("clean", "dirty", "clean", "sealed"),
            **to("wiped", "closed", "wiped"),
            "joined": "joined",
        },
        "clean-part": {
            **to("clean", "dirty", "clean"),
            "closed": "closed",
            "wiped": "wiped",
            "sealed": "sealed",
            "joined": "joined",
        },
        "seal": to("sealed", "wiped", "clean", "sealed"),
        "seal-again": to("sealed", "closed", "wiped", "dirty", "clean", "sealed"),
        "put-on": {one: one for one in ("closed", "wiped", "sealed", "joined")},
        "join": to("joined", "sealed", "closed"),
    },
    frozenset({"closed", "wiped", "joined"}),
    {
        "closed": "not opened and cleaned",
        "wiped": "cleaned and without a seal",
        "dirty": "open and not clean",
        "clean": "clean and without a seal",
        "sealed": "not closed yet",
        "joined": "closed already",
    },
    rule="R30",
    refused={
        "seal": "a new seal goes on {name}, which is {state}",
        "join": "{name} is closed, and it is {state}",
        "put-on": "the part of {name} goes on, and the joint is {state}",
    },
    cures={
        "seal": "“- clean: {object}” before it, once the old seal is out",
        "join": "“- clean: {object}” and then its new seal before it; one `join` each time it was parted",
    },
)
"""Two faces that a gasket or a ring closes, one that is taken out or put in here.

What is cleaned while nothing has parted it was cleaned outside (`wiped`), and is dirty once it is parted; but
where a pack does not say which part belongs to the joint, nothing parts it, and that cleaning has to do.
"""

ANYHOW: Mapping[str, Table | int] = {
    **JOINT.moves,
    "put-on": {one: one for one in ("closed", "wiped", "sealed", "joined", "dirty", "clean")},
    "join": to("joined", "sealed", "closed", "wiped", "dirty", "clean"),
}

LEFT_SEALED = Machine(
    "joint", ANYHOW, JOINT.rest, JOINT.words, rule="R30", refused=JOINT.refused, cures=JOINT.cures
)
"""A joint whose seal stays where it is, or one that its bead is asked for instead (`bead`)."""

BEAD_WORDS: Mapping[State, str] = {
    "none": "not laid",
    "wet": "still wet and open",
    "tacky": "tacky and open",
    "closed": "closed, and has not set",
    "set": "set, and has not cured",
    "cured": "cured",
}

BEFORE_THE_WAIT = (
    "“- join: {object}” (or the action that puts it on) in the step that lays the bead, or in one before the "
    "wait; the wait begins with the step that closes it"
)

BEAD_REFUSED = {
    "join": "the joint is closed, and the {name} is {state}",
    "put-on": "the part goes on, and the {name} is {state}",
    "set": "the time to set runs out, and the {name} is {state}",
    "cure": "the time to cure runs out, and the {name} is {state}",
}


def bead(method: str, must: bool) -> Machine:
    """Return the machine of a bead of one method. must: the joint is never closed without one."""
    closed: tuple[State, ...] = ("closed", "set", "cured")
    live: State = "tacky" if method == "close-tacky" else "wet"
    kept = {one: one for one in closed}
    none: dict[State, State] = {} if must else {"none": "none"}
    moves: dict[str, Table | int] = {
        "apply": to("wet", "none", "wet", "tacky", *closed),
        "wipe": {"wet": "none", "tacky": "none", "none": "none", **kept},
        "part": {"none": "none", "wet": "wet", "tacky": "tacky", **to("none", *closed)},
        "tacky": {"wet": "tacky", "tacky": "tacky", "none": "none", **kept},
        "put-on": {"wet": "wet", "tacky": "tacky", **kept, **none},
        "join": {live: "closed", **kept, **none},
        "set": {"closed": "set", "set": "set", "cured": "cured", "none": "none"},
        "cure": {"closed": "cured", "set": "cured", "cured": "cured", "none": "none"},
    }
    cures = {
        "put-on": "“- apply:” the sealant with “to: {object}” before it, and “- join: {object}” after it",
        "join": "`after` the `tacky` wait of the sealant, which begins with the step that lays the bead"
        if live == "tacky"
        else "“- apply:” the sealant with “to: {object}” before it, and no wait until it is closed",
        "set": BEFORE_THE_WAIT,
        "cure": BEFORE_THE_WAIT,
    }
    return Machine(
        "bead", moves, frozenset({"none", "cured"}), BEAD_WORDS, rule="R31", refused=BEAD_REFUSED, cures=cures
    )
