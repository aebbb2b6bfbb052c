"""What a job needs laid out: parts, consumables and tools, built from the steps that the answers select."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from webapp.pack.compiled import CompiledPack, Step, holds
from webapp.pack.schema import Consumable, Part, Tool


@dataclass(frozen=True, slots=True)
class Kit:
    """What to lay out, by id, in the pack's own order."""

    parts: dict[str, Part]
    consumables: dict[str, Consumable]
    tools: dict[str, Tool]


def kit(pack: CompiledPack, answers: dict[str, str]) -> Kit:
    """Return what the selected steps need.

    A thing that no step of the whole pack names is kept too: its author declared it, so it is wanted.
    A question without an answer excludes nothing.
    """
    selected = pack.selected(answers)
    front = pack.front

    def names(steps: Iterable[Step], key: str) -> list[set[str]]:
        return [set(getattr(step, key)) for step in steps]

    return Kit(
        needed(front.parts, names(pack.steps, "parts"), names(selected, "parts"), answers),
        needed(front.consumables, names(pack.steps, "consumables"), names(selected, "consumables"), answers),
        needed(front.tools, names(pack.steps, "tools"), names(selected, "tools"), answers),
    )


Thing = TypeVar("Thing", Part, Consumable, Tool)


def needed(
    declared: Mapping[str, Thing],
    every: Iterable[set[str]],
    selected: Iterable[set[str]],
    answers: dict[str, str],
) -> dict[str, Thing]:
    """Return the things that hold under the answers and that a selected step, or no step at all, names."""
    anywhere = set().union(*every)
    here = set().union(*selected)
    return {
        name: thing
        for name, thing in declared.items()
        if holds(thing.when, answers) and (name in here or name not in anywhere)
    }
