"""What the phone is told of the fills whose mix it can work out, and of the drills that a cut asks for."""

from __future__ import annotations

from typing import Any

from webapp.pack.actions import Drain, Fill, Rinse
from webapp.pack.compiled import CompiledPack, Line, Step
from webapp.pack.cuts import in_drawers
from webapp.trade.units import UNITS

from .phone import number, reading_units, system, units


def mixes(pack: CompiledPack, step: Step) -> list[dict[str, Any]]:
    """Return what the phone needs for each coolant of a known capacity that a step pours in.

    Only the first fill after a drain is one: whoever tops up later pours what is mixed already. Volumes are
    in `unit`, the author's; shares in percent. drained: the reading of what came out, where there is one and
    no other volume is read on the way. rinsed: the steps that leave plain water behind.
    """
    found = []
    for name in dict.fromkeys(action.fill for action in step.actions if isinstance(action, Fill)):
        fluid = pack.front.fluids[name]
        glycol = "glycol" in (fluid.base or "").lower()
        if fluid.circuit != "cooling" or fluid.capacity is None or not glycol:
            continue
        before = since_drained(pack, step, name)
        if before is None:
            continue
        unit = fluid.capacity.unit
        rinses = [(one.id, act) for one in before for act in one.actions if isinstance(act, Rinse)]
        rinses = [(one, act) for one, act in rinses if act.rinse == name]
        stayed = next((act.stays for _, act in rinses if act.stays), None) or fluid.stays_after_drain
        volumes = [
            reading
            for one in before
            for reading in one.readings
            if kinds(reading_units(reading)) == {"volume"}
        ]
        drained = volumes[0] if len(volumes) == 1 else None
        found.append(
            {
                "fluid": name,
                "name": fluid.name,
                "unit": unit,
                "units": [(one, system(one)) for one in units(fluid.capacity)],
                "capacity": number(fluid.capacity, unit),
                "stayed": None if stayed is None else number(stayed, unit),
                "target": None if fluid.mix is None else number(fluid.mix, "%"),
                "drained": drained and drained.id,
                "rinsed": [one for one, _ in rinses],
            }
        )
    return found


def since_drained(pack: CompiledPack, step: Step, fluid: str) -> list[Step] | None:
    """Return the steps from the drain of a fluid up to a step; None where it was filled since.

    Where nothing drains it, all steps before this one.
    """
    found: list[Step] = []
    filled = False
    for one in pack.steps:
        if one.id == step.id:
            return None if filled else found
        if any(isinstance(action, Drain) and action.drain == fluid for action in one.actions):
            found, filled = [], False
        filled = filled or any(isinstance(action, Fill) and action.fill == fluid for action in one.actions)
        found.append(one)
    return None


def kinds(names: list[str]) -> set[str]:
    """Return what these units measure."""
    return {UNITS[name].kind if name in UNITS else "" for name in names}


def drawers(pack: CompiledPack, line: Line) -> list[tuple[str, float, str]]:
    """Return for a drill line the nearest drill of each series; nothing for any other line."""
    return in_drawers(pack.front.cuts[line.target]) if line.verb == "drill" else []
