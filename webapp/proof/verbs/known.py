"""What is gathered once of a whole job before its steps are read, and what the printed order says so far."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from webapp.pack import schema
from webapp.pack.actions import (
    Apply,
    Connect,
    Disconnect,
    Drain,
    Fill,
    Join,
    LeaveOff,
    MoveAside,
    Remove,
    ScrapFasteners,
    Verb,
)

from ..job import Job
from ..relations import Relations
from .ports import Ports
from .said import Change


class SoFar:
    """What is off, out and covered at a place of the printed order. The verbs keep it while they are read."""

    def __init__(self) -> None:
        self.covers: dict[str, dict[str, int]] = {}  # opening → what covers it, how many
        self.bared: set[str] = set()  # openings whose cover is out again
        self.away: set[str] = set()  # items that are off or aside
        self.out: dict[str, int] = {}  # group → how many are out that no start by hand has counted in yet

    def cover(self, opening: str, cover: str, count: int) -> None:
        """Note what covers an opening. A cover that came out before is forgotten."""
        if opening in self.bared:
            self.bared.discard(opening)
            self.covers[opening] = {}
        covers = self.covers.setdefault(opening, {})
        covers[cover] = covers.get(cover, 0) + count

    def count_in(self, group: str) -> Iterator[Change]:
        """Yield that what is out of a group goes back, when no start by hand has counted it."""
        count = self.out.pop(group, 0)
        if count:
            yield Change(f"out:{group}", "in", count)


@dataclass(frozen=True, slots=True)
class Known:
    """A job with what its actions say all together. Only `so_far` changes while its steps are read."""

    job: Job
    front: schema.FrontMatter
    relations: Relations
    ports: Ports
    leads: list[str]  # what can cut the battery off: the earth leads, else the battery itself
    earths: int  # how many earth leads are declared
    turns: bool  # a drive or a fan turns with the engine; else what rotates is a wheel
    done: Done
    so_far: SoFar = field(default_factory=SoFar)


@dataclass(slots=True)
class Done:
    """What the steps of a job do, taken all together."""

    beads: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    """Sealant → what it is laid on → in which steps."""
    joined: set[str] = field(default_factory=set)
    """Joints that a step says it closes."""
    drained: set[str] = field(default_factory=set)
    filled: set[str] = field(default_factory=set)
    removed: set[str] = field(default_factory=set)
    moved_aside: set[str] = field(default_factory=set)
    scrapped: Counter[str] = field(default_factory=Counter)
    """How many of a group are thrown away in all."""
    left_off: set[str] = field(default_factory=set)
    earth_turns: set[type[Verb]] = field(default_factory=set)
    """Disconnect, Connect: done to an earth lead."""

    def add(self, step: str, action: Verb, front: schema.FrontMatter) -> None:
        """Take one action in."""
        match action:
            case Disconnect() | Connect():
                if front.items[action.target()].kind == "earth-lead":
                    self.earth_turns.add(type(action))
            case Apply():
                self.beads.setdefault(action.apply, {}).setdefault(action.to, []).append(step)
            case Join():
                self.joined.add(action.join)
            case Drain():
                self.drained.add(action.drain)
            case Fill():
                self.filled.add(action.fill)
            case Remove():
                self.removed.add(action.remove)
            case MoveAside():
                self.moved_aside.add(action.move_aside)
            case ScrapFasteners() if action.scrap in front.fasteners:
                self.scrapped[action.scrap] += action.count or front.fasteners[action.scrap].total()
            case LeaveOff():
                self.left_off.add(action.leave_off)


def gather(job: Job) -> Known:
    """Return what is known of a job before its first step is read."""
    front = job.front
    done = Done()
    for step in job.steps:
        for action in step.actions:
            done.add(step.id, action, front)
    earths = [name for name, item in front.items.items() if item.kind == "earth-lead"]
    drives = any(item.kind == "drive" for item in front.items.values())
    turns = drives or any(energy.kind == "fan" for energy in front.energy.values())
    return Known(
        job, front, job.relations, Ports(job, job.relations), earths or ["battery"], len(earths), turns, done
    )
