"""What there is one of: the engine, the key, what the vehicle stands on, what is looked at in the end."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Raise
from webapp.pack.model import State

from .. import machines
from ..machines import Machine
from . import marks
from .thing import Thing
from .told import Told

PROOFS = {
    "firm-pedal": "the firm brake pedal",
    "brake-level": "the level of the brake fluid",
    "slow-stop": "the stop from walking pace",
    "dry": "the look for brake fluid leaks",
    "thermostat-open": "the open thermostat",
    "belt-seen": "the belt in all its grooves",
}
"""What has to be seen after work on something, with its name."""

LOOKS = {
    "first-minute": "the look in the first minute",
    "hot-look": "the look while it is hot",
    "cold-level": "the level after it is cold again",
}
"""What is looked at once the engine runs after work on a circuit, with its name."""

WHEELS: dict[str | None, State] = {"on-ground": "ground", "on-stands": "stands", "on-lift": "lift"}
"""What the vehicle stands on, by what `opening` says of its wheels."""


def one(machine: Machine, object: str, name: str, start: State, *own: str) -> Thing:
    """Return a thing that no table of the pack declares."""
    return Thing(f"{machine.name}:{object}", machine, "", object, name, start, marks=frozenset(own))


def of_vehicle(told: Told) -> Iterator[Thing]:
    """Yield what there is one of: the engine's heat, the key, what the vehicle stands on."""
    opening = told.front.opening
    wheels = WHEELS.get(opening.wheels, "unknown")
    yield one(machines.HEAT, "engine", "the engine", opening.engine or "unknown")
    yield one(machines.RUN, "engine", "the engine", "stopped")
    yield one(machines.KEY, "key", "the key", "unknown")
    came_raised = ["came-raised"] if wheels in ("stands", "lift") else []
    yield one(machines.RAISED, "vehicle", "the vehicle", wheels, *came_raised)
    lifted = ["lifted"] if told.done[Raise] <= {"lift"} else []
    yield one(machines.CHOCKS, "wheels", "the vehicle", "off", *lifted)
    yield one(machines.BAY, "air", "the air in the bay", "aired" if opening.air else "unknown")
    if not any(item.kind == "earth-lead" for item in told.front.items.values()):
        earth = opening.earth or "unknown"
        yield one(machines.EARTH, "battery", "the battery's earth lead", earth, "undeclared")
        yield one(machines.ABLE, "battery", "the engine", "earth off" if earth == "off" else "able")
    later = marks.follow_ups(told)
    for look, name in LOOKS.items():
        yield one(machines.LOOK, look, name, "quiet", look, *later)
    for what in ("battery", "throttle"):
        own = frozenset({what}) | later
        name = "what the battery forgot"
        yield Thing(f"settings:{what}", machines.SETTINGS, "", "settings", name, "quiet", marks=own)
    for proof, name in PROOFS.items():
        yield one(machines.DUE, proof, name, "quiet", proof)
