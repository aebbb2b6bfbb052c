"""What is said of a step: changes and moments, and the names of groups of verbs and of kinds.

A move goes to one variable, named machine:object. A moment is a name with the things it concerns, each as
table:id; a moment that concerns everything names nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from webapp.pack import actions as do


class Change(NamedTuple):
    """A move of one variable. wait: the one that must be over for it, if any."""

    variable: str
    move: str
    pieces: int = 1
    wait: str = ""


class Moment(NamedTuple):
    """A moment at which something must hold. concerns: table:id, or nothing for everything."""

    name: str
    concerns: frozenset[str] = frozenset()


What = Change | Moment


class Happening(NamedTuple):
    """A change or a moment with its place in the job."""

    step: str
    at: int
    what: What


def at_items(name: str, *items: str) -> Moment:
    """Return a moment that concerns these items."""
    return Moment(name, frozenset(f"items:{one}" for one in items))


def at_fluids(name: str, fluids: Iterable[str]) -> Moment:
    """Return a moment that concerns these fluids."""
    return Moment(name, frozenset(f"fluids:{one}" for one in fluids))


OF_A_GROUP = frozenset({do.Loosen, do.Undo, do.StartByHand, do.Tighten, do.Turn})
"""Verbs that turn the fasteners of a group."""

BEHIND = OF_A_GROUP | {
    do.Disconnect, do.Connect, do.Remove, do.MoveAside, do.Refit, do.Fit, do.Open, do.Clean, do.Tension,
}  # fmt: skip
"""Verbs that cannot be done to what lies behind something. An opening is shut by what closes it, and what
is taken out of one is R01."""

HAND_WORK = (BEHIND - {do.Open}) | {
    do.Cover, do.Uncover, do.Place, do.TakeOut, do.Drill, do.Tap, do.Apply, do.Join,
}  # fmt: skip
"""Verbs that bring hands or tools to the machine."""

HANDS_NEAR = frozenset({do.Open, do.Shut, do.Drain})
"""Verbs that bring hands to the machine, at an opening only."""

BATTERY_FED = ("fan", "auto-start")
SELF_STARTING = ("auto-start", "fan", "standby", "mains", "heater")
FUSED = ("fan", "heater", "auto-start")
"""Energy whose plug is dead once its fuse is out."""
LICENSED = ("high-voltage", "restraint")
"""Energy that only a licensed person makes safe."""
