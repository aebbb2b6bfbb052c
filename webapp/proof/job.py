"""A pack as the proof sees it: its declarations, its steps, and which of them must come before which."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from webapp.pack import schema
from webapp.pack.actions import Apply, Verb
from webapp.pack.compiled import holds

from .relations import Relations

MOST_ANSWERS = 256
"""Combinations of answers that are walked for one thing. What depends on more is judged for the first ones
only, and the author is told (`answers-too-many`)."""


@dataclass(frozen=True)
class JobStep:
    """A step with its place in the printed order, and the steps that it follows at once."""

    id: str
    index: int
    data: schema.Step
    needs: tuple[str, ...]
    shown: tuple[str, ...] = ()  # what its pictures show, in words

    @property
    def actions(self) -> list[Verb]:
        """Return what is done in it, in order."""
        return self.data.actions


@dataclass(frozen=True)
class Job:
    """The declarations and the steps of a pack. Sets of steps are bits of one number, by printed place."""

    front: schema.FrontMatter
    steps: tuple[JobStep, ...]

    @cached_property
    def by_id(self) -> dict[str, JobStep]:
        """Return the steps by id."""
        return {step.id: step for step in self.steps}

    @cached_property
    def waits(self) -> dict[str, tuple[JobStep, schema.Wait]]:
        """Return every wait with the step that begins it."""
        return {name: (step, wait) for step in self.steps for name, wait in step.data.waits.items()}

    @cached_property
    def relations(self) -> Relations:
        """Return what belongs together."""
        return Relations(self.front)

    @cached_property
    def doing(self) -> dict[str, list[tuple[JobStep, int, Verb]]]:
        """Return by id what is done to it, in the printed order; a bead is done to its joint too."""
        found: dict[str, list[tuple[JobStep, int, Verb]]] = {}
        for step in self.steps:
            for at, action in enumerate(step.actions):
                found.setdefault(action.target(), []).append((step, at, action))
                if isinstance(action, Apply):
                    found.setdefault(action.to, []).append((step, at, action))
        return found

    @cached_property
    def at_once(self) -> tuple[tuple[int, ...], ...]:
        """Return for each step the places of those that it names: its `needs`, and what begins its waits.

        A step that a vehicle does not have hands on what it follows, as on the phone.
        """
        found: list[tuple[int, ...]] = []
        for step in self.steps:
            waited = (self.waits[wait][0].id for wait in step.data.after if wait in self.waits)
            named = (self.by_id[name].index for name in (*step.needs, *waited) if name in self.by_id)
            found.append(tuple(index for index in named if index < step.index))
        return tuple(found)

    @cached_property
    def before(self) -> tuple[int, ...]:
        """Return for each step all that must come before it. The last entry is the end."""
        found: list[int] = []
        for named in self.at_once:
            mask = 0
            for index in named:
                mask |= found[index] | 1 << index
            found.append(mask)
        return (*found, (1 << len(self.steps)) - 1)

    @cached_property
    def behind(self) -> tuple[int, ...]:
        """Return for each step all that must come after it."""
        found = [1 << len(self.steps)] * len(self.steps)
        for later in range(len(self.steps) - 1, -1, -1):
            for index in self.at_once[later]:
                found[index] |= found[later] | 1 << later
        return (*found, 0)

    def must_precede(self, one: str, other: str) -> bool:
        """Return whether every order that the pack allows has the one step before the other."""
        return bool(self.before[self.by_id[other].index] >> self.by_id[one].index & 1)

    @cached_property
    def without(self) -> dict[tuple[str, str], int]:
        """Return by question and answer the steps that a vehicle with that answer does not have."""
        found: dict[tuple[str, str], int] = {}
        for step in self.steps:
            for question, allowed in step.data.when.items():
                asked = self.front.questions.get(question)
                for answer in (one for one in (asked.answers if asked else ()) if one not in allowed):
                    found[question, answer] = found.get((question, answer), 0) | 1 << step.index
        return found

    def selected(self, answers: dict[str, str]) -> int:
        """Return the steps of a vehicle with these answers."""
        without = 0
        for question, answer in answers.items():
            without |= self.without.get((question, answer), 0)
        return ((1 << len(self.steps)) - 1) & ~without

    def combinations(self, questions: set[str]) -> Iterator[dict[str, str]]:
        """Yield each combination of answers to these questions, and to those that they hang on.

        A question that is not asked under the answers before it is left out.
        """
        asked = self.front.questions
        names = set(questions)
        while more := {one for name in names if name in asked for one in asked[name].when} - names:
            names |= more
        ordered = [name for name in asked if name in names]
        seen: set[tuple[tuple[str, str], ...]] = set()
        for answers in product(*(asked[name].answers for name in ordered)):
            given: dict[str, str] = {}
            for name, answer in zip(ordered, answers, strict=True):
                if all(one in given for one in asked[name].when) and holds(asked[name].when, given):
                    given[name] = answer
            key = tuple(given.items())
            if key not in seen:
                seen.add(key)
                yield given
