"""What the actions of a job tell, taken all together, of the things they are done to."""

from __future__ import annotations

import re
from collections import defaultdict

from webapp.pack import schema
from webapp.pack.actions import (
    Apply,
    Connect,
    Disconnect,
    Drain,
    Drill,
    Fill,
    Fit,
    LeaveOff,
    MoveAside,
    Open,
    Place,
    Refit,
    Remove,
    ScrapFasteners,
    Tap,
    Verb,
)

from ..job import Job, JobStep
from ..verbs.said import BEHIND

KIT = re.compile(r"\b(kit|set)\b", re.IGNORECASE)
"""A bought part of several that go on new, by its name."""
CLAMP = re.compile(r"\b(clamp|pliers|pinch|grips)", re.IGNORECASE)
"""What is put on a line from outside, and stays while it is connected."""


class Told:
    """A job with what its actions tell of how its things begin. Nothing changes it once it is made."""

    def __init__(self, job: Job) -> None:
        self.job, self.front, self.relations = job, job.front, job.relations
        self.done: dict[type[Verb], set[str]] = defaultdict(set)
        self.fillers: set[str] = set()
        self.drains: set[str] = set()
        self.beads: dict[str, list[str]] = {}
        self.by_its_ends: set[str] = set()  # connections whose open ends are openings of their own
        self.parted: set[str] = set()  # circuits that are opened at connections or openings
        self.cut: dict[str, list[bool]] = {}  # each cut: whether the steps that make it hang on an answer
        self.clamped: set[str] = set()  # what a clamp is put on from outside
        self.behind: set[str] = set()  # what is worked on although it may be behind something
        for step in job.steps:
            for action in step.actions:
                self.done[type(action)].add(action.target())
            self.see_circuits(step)
            self.see_ways(step)
            self.see(step)

    def see(self, step: JobStep) -> None:
        """Take in what single actions tell."""
        for action in step.actions:
            if type(action) in BEHIND:
                self.behind.add(action.target())
            if isinstance(action, Place) and CLAMP.search(self.front.items[action.place].name):
                self.clamped.add(action.in_ or "")
            elif isinstance(action, Drill | Tap):
                self.cut.setdefault(action.target(), []).append(bool(step.data.when))
            elif isinstance(action, Apply):
                self.beads.setdefault(action.to, []).append(action.apply)

    def see_circuits(self, step: JobStep) -> None:
        """Take in which circuits a step parts, and which lines it undoes to open their ends after it."""
        undone: list[str] = []
        for action in step.actions:
            if not isinstance(action, Disconnect | Open):
                continue
            circuits = self.circuits_of(action.target())
            self.parted |= circuits
            if isinstance(action, Disconnect):
                undone.append(action.disconnect)
            else:
                self.by_its_ends |= {one for one in undone if circuits & self.circuits_of(one)}

    def see_ways(self, step: JobStep) -> None:
        """Take in what a step opens to fill or to drain through it."""
        opened: list[str] = []
        for action in step.actions:
            if isinstance(action, Open | Remove):
                opened.append(action.target())
            elif isinstance(action, Fill | Drain):
                ways = self.fillers if isinstance(action, Fill) else self.drains
                ways |= {name for name in opened if self.front.items[name].fluid == action.target()}

    def circuits_of(self, name: str) -> set[str]:
        """Return the circuits that an item is part of."""
        return self.relations.circuits_of(self.front.items[name])

    def is_done(self, name: str, *verbs: type[Verb]) -> bool:
        """Return whether one of these verbs is done to a thing."""
        return any(name in self.done[verb] for verb in verbs)

    def connected(self, name: str) -> bool:
        """Return whether a connection is made or undone. One that is only made may be new on the vehicle."""
        if self.is_done(name, Disconnect):
            return True
        new = self.is_done(name, Fit) or any(
            [name] == part.for_ or (name in part.for_ and KIT.search(part.name))
            for part in self.front.parts.values()
        )
        off = self.is_done(name, Remove, MoveAside, Refit, ScrapFasteners)
        return self.is_done(name, Connect) and not new and not off

    def moved(self, name: str, item: schema.Item) -> bool:
        """Return whether an action takes this item off or puts it on, or needs it off to reach behind it."""
        if item.kind in ("part", "guard", "drive", "load", "connection") and self.hides(item):
            return True
        return self.is_done(name, Remove, MoveAside, Refit, Fit, LeaveOff, ScrapFasteners)

    def hides(self, item: schema.Item) -> bool:
        """Return whether something is worked on that this item hides."""
        return not self.behind.isdisjoint(item.hides)
