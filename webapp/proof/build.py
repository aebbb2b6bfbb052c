"""From a job to the model: every variable with its moves and its needs, ready to be walked."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from webapp.pack import schema
from webapp.pack.actions import (
    Apply,
    Compare,
    Connect,
    Disconnect,
    Drain,
    Drill,
    Fill,
    Fit,
    LeaveOff,
    Loosen,
    MoveAside,
    Open,
    Place,
    Raise,
    Refit,
    Remove,
    ScrapFasteners,
    Shut,
    StartByHand,
    Support,
    Tap,
    Tension,
    Tighten,
    Turn,
    Undo,
)  # fmt: skip
from webapp.pack.model import ANYWHERE, FINISH, Model, Move, Need, State, Variable

from . import machines
from .happenings import happenings
from .job import Job
from .machines import REFUSED, Machine
from .relations import DRAIN, is_filler
from .rule import ALL, SOME, Row, Rule
from .verbs.said import BATTERY_FED, BEHIND, LICENSED, SELF_STARTING, Change, Happening, Moment

PROOFS = (
    "firm-pedal",
    "brake-level",
    "slow-stop",
    "dry",
    "thermostat-open",
    "belt-seen",
)
LOOKS = ("first-minute", "hot-look", "cold-level")
"""What is looked at once the engine runs after work on a circuit."""

NAMES = {
    "firm-pedal": "the firm brake pedal",
    "brake-level": "the level of the brake fluid",
    "slow-stop": "the stop from walking pace",
    "dry": "the look for brake fluid leaks",
    "thermostat-open": "the open thermostat",
    "first-minute": "the look in the first minute",
    "hot-look": "the look while it is hot",
    "cold-level": "the level after it is cold again",
    "belt-seen": "the belt in all its grooves",
    "settings": "what the battery forgot",
}

KIT = re.compile(r"\b(kit|set)\b", re.IGNORECASE)
"""A bought part of several that go on new, by its name."""
TOPPED_UP = frozenset({"steering", "hydraulic"})
"""Circuits that are bled with the engine running and filled up meanwhile."""
CLAMP = re.compile(r"\b(clamp|pliers|pinch|grips)", re.IGNORECASE)
"""What is put on a line from outside, and stays while it is connected."""


@dataclass(frozen=True, slots=True)
class Thing:
    """A variable before its moves and needs are known. about: what it has to do with, as table:id."""

    id: str
    machine: Machine
    table: str
    object: str
    name: str
    start: State
    about: frozenset[str] = frozenset()
    marks: frozenset[str] = frozenset()
    total: int = 1
    when: Mapping[str, list[str]] | None = None


class Things:
    """All things of one job, with what the actions on them say of how they begin."""

    def __init__(self, job: Job) -> None:
        self.job, self.front, self.relations = job, job.front, job.relations
        self.done: dict[type, set[str]] = defaultdict(set)
        self.fillers: set[str] = set()
        self.drains: set[str] = set()
        self.beads: dict[str, list[str]] = {}
        self.by_its_ends: set[str] = set()  # connections whose open ends are openings of their own
        self.parted: set[str] = set()  # circuits that are opened at connections or openings
        self.cut: dict[str, list[bool]] = {}  # each cut: whether the steps that make it hang on an answer
        self.follow_ups = frozenset(
            f"follow-up-{check}" for follow in self.front.follow_ups.values() for check in follow.checks
        )
        self.clamped: set[str] = set()  # what a clamp is put on from outside
        self.behind: set[str] = set()  # what is worked on although it may be behind something
        for step in job.steps:
            opened: list[str] = []
            undone: list[str] = []
            for action in step.actions:
                self.done[type(action)].add(action.target())
                if isinstance(action, Disconnect | Open):
                    circuits = self.relations.circuits_of(self.front.items[action.target()])
                    self.parted |= circuits
                    if isinstance(action, Disconnect):
                        undone.append(action.disconnect)
                    else:
                        self.by_its_ends |= {
                            one
                            for one in undone
                            if circuits & self.relations.circuits_of(self.front.items[one])
                        }
                if isinstance(action, Place) and CLAMP.search(self.front.items[action.place].name):
                    self.clamped.add(action.in_ or "")
                if type(action) in BEHIND:
                    self.behind.add(action.target())
                if isinstance(action, Drill | Tap):
                    self.cut.setdefault(action.target(), []).append(bool(step.data.when))
                if isinstance(action, Open | Remove):
                    opened.append(action.target())
                elif isinstance(action, Fill | Drain):  # what is opened to be filled or drained through
                    behind = {name for name in opened if self.front.items[name].fluid == action.target()}
                    if isinstance(action, Fill):
                        self.fillers |= behind
                    else:
                        self.drains |= behind
                elif isinstance(action, Apply):
                    self.beads.setdefault(action.to, []).append(action.apply)

    def all(self) -> Iterator[Thing]:
        """Yield every thing that can be left in the wrong state."""
        for name, item in self.front.items.items():
            yield from self.of_item(name, item)
        for name, group in self.front.fasteners.items():
            yield from self.of_group(name, group)
        yield from self.of_fluids()
        yield from self.of_machine()
        for name, energy in self.front.energy.items():
            about = frozenset({f"energy:{name}"})
            marks = frozenset({energy.kind, *(["reaches"] if energy.reaches else [])})
            if energy.kind in ("spring", "pressure"):
                if not self.done[Support].isdisjoint(energy.reaches):
                    marks |= {"held"}
                yield Thing(f"energy:{name}", machines.ENERGY, "energy", name, energy.name, "armed", about,
                            marks, 1, energy.when)  # fmt: skip
            if energy.kind in (*SELF_STARTING, "fuel-pump"):
                dead = energy.kind in BATTERY_FED and self.front.opening.earth == "off"
                start = "dead" if dead else "armed"
                yield Thing(f"energy:{name}", machines.ENERGY, "energy", name, energy.name, start, about,
                            marks, 1, energy.when)  # fmt: skip
            elif energy.kind in LICENSED:
                yield Thing(f"licensed:{name}", machines.LICENSED, "energy", name, energy.name, "live", about,
                            marks, 1, energy.when)  # fmt: skip
        if self.relations.refrigerant:
            yield Thing("licensed:refrigerant", machines.LICENSED, "", "refrigerant", "the refrigerant",
                        "live", marks=frozenset({"refrigerant"}))  # fmt: skip
        if self.relations.gas:
            yield Thing("licensed:gas", machines.LICENSED, "", "gas", "the gas fuel", "live",
                        frozenset(f"fluids:{name}" for name in self.relations.gas & self.front.fluids.keys()),
                        frozenset({"gas"}))  # fmt: skip
        yield from self.of_covered()
        for name, hand_over in self.front.hand_overs.items():
            about = frozenset({f"hand-overs:{name}", *(f"items:{one}" for one in hand_over.covers),
                               *(f"fluids:{one}" for one in hand_over.covers),
                               *(f"energy:{one}" for one in hand_over.covers)})  # fmt: skip
            yield Thing(f"handed:{name}", machines.HANDED, "hand-overs", name, hand_over.name, "live", about)
        for name, cut in self.front.cuts.items():
            about = frozenset({f"cuts:{name}", *(f"items:{one}" for one in cut.near)})
            for one in cut.near:
                about |= self.relations.about("items", one)
                about |= {f"items:{joint}" for joint in self.relations.joints_of(one)}
            yield Thing(
                f"chips:{name}",
                machines.CHIPS,
                "cuts",
                name,
                f"{cut.name}: its chips",
                "none",
                about,
                frozenset({"near"} if cut.near else ()),
            )
            there = name not in self.done[Drill]  # a thread in a hole that is there already
            asked = there or all(self.cut[name])
            yield Thing(
                f"measured:{name}",
                machines.MEASURED,
                "cuts",
                name,
                cut.name,
                "no",
                frozenset({f"cuts:{name}"}),
                frozenset({"asked"} if asked else ()),
            )

    def of_covered(self) -> Iterator[Thing]:
        """Yield what a hand-over says that it makes safe, besides what only a licensed person touches."""
        covered = {one for hand_over in self.front.hand_overs.values() for one in hand_over.covers}
        told = self.relations.refrigerant | self.relations.gas
        for table, things in (("items", self.front.items), ("fluids", self.front.fluids)):
            for name in sorted(covered & things.keys() - told):
                yield Thing(f"licensed:covered-{name}", machines.LICENSED, table, name, things[name].name,
                            "live", frozenset({f"{table}:{name}"}), frozenset({"covered"}))  # fmt: skip

    def marks_of(self, name: str, item: schema.Item) -> frozenset[str]:
        """Return what a row may ask of an item: its kind, what it carries, what it is for."""
        circuits = self.relations.circuits_of(item)
        marks = {item.kind, *(f"circuit-{one}" for one in circuits)}
        if name in self.by_its_ends or (item.kind != "connection" and circuits & self.parted):
            marks.add("by-its-ends")
        told = {"carries": item.carries, "way": item.way, "form": item.form}
        marks |= {f"{key}-{value}" for key, value in told.items() if value}
        named = not item.way and is_filler(item)
        filler = name in self.fillers or item.way in ("filler", "bleed") or named
        drain = name in self.drains or item.way == "drain" or bool(DRAIN.search(item.name))
        into = [self.front.items[one] for one in item.into]
        holds = {
            "timed": item.timed,
            "one-use": item.one_use,
            "to-renew": item.renew,
            "fluid": bool(circuits or self.relations.behind(name)),
            "filler": filler,
            # open while the engine runs, to let air out or to pour on as the level sinks
            "air-way": filler
            and ("cooling" in circuits or (item.way == "filler" and bool(circuits & TOPPED_UP))),
            "port": item.kind == "opening" and not filler and not drain,
            "clamped": name in self.clamped,
            "pins": any(one.timed or one.kind == "drive" for one in into),
        }
        holds["pins-timed"] = item.kind == "temporary" and any(one.timed for one in into)
        holds["disconnected"] = name in self.done[Disconnect]
        holds["new-drive"] = item.kind == "drive" and name in self.done[Fit]
        return frozenset(marks | {mark for mark, is_so in holds.items() if is_so}) | self.follow_ups

    def of_item(self, name: str, item: schema.Item) -> Iterator[Thing]:
        """Yield what an item can be left as."""
        about, marks = self.relations.about("items", name), self.marks_of(name, item)

        def thing(machine: Machine, start: State, total: int = 1) -> Thing:
            return Thing(
                f"{kind}:{name}", machine, "items", name, item.name, start, about, marks, total, item.when
            )

        kind = "part"
        if item.kind == "earth-lead":
            kind = "able"
            able = "earth off" if self.front.opening.earth == "off" else "able"
            yield replace(thing(machines.ABLE, able), name="the engine")
            kind = "earth"
            yield thing(machines.EARTH, self.front.opening.earth or "unknown")
        elif item.kind == "temporary":
            kind = "temporary"
            yield thing(machines.TEMPORARY, 0, item.count)
        elif item.kind == "opening" and item.way == "valve":
            kind = "valve"
            yield thing(machines.VALVE, "open")
        elif item.kind == "opening":
            kind = "opening"
            yield thing(machines.OPENING, "shut")
        elif item.kind == "joint":
            kind = "joint"
            marks |= {"beaded"} if self.sealants_of(name, item) else set()
            yield thing(self.joint_machine(name, item), "closed")
        sealants = self.sealants_of(name, item)
        if sealants:
            kind = "bead"
            yield self.of_bead(name, sealants, thing(self.bead_machine(name, item, sealants), "none"))
        if self.connected(name) and item.kind != "earth-lead":
            kind = "connection"
            yield thing(machines.CONNECTION, "made")
        if self.moved(name):
            kind = "part"
            machine, start = self.part_machine(name, item)
            yield thing(machine, start, item.count)
        if item.kind == "load" or item.sprung or self.relations.heavy(item):
            kind = "support"
            yield thing(machines.SPRUNG if item.sprung else machines.SUPPORT, "free")
        if item.kind == "drive" and name in self.done[Tension]:
            kind = "belt"
            yield thing(machines.BELT, "set")
        if (item.compare and (item.renew or name in self.done[Fit])) or name in self.done[Compare]:
            kind = "compared"
            yield thing(machines.COMPARED, "no")
        if item.kind == "seal" or item.one_use:
            due = Thing(f"due:renew-{name}", machines.DUE, "items", name, item.name, "quiet", about,
                        marks | {"renew"}, 1, item.when)  # fmt: skip
            yield due

    def joint_machine(self, name: str, item: schema.Item) -> Machine:
        """Return how a joint is followed: whether its seal is asked for when it is closed."""
        seal = item.sealed_by or ""
        renewed = any(seal in self.done[verb] for verb in (Remove, Fit, Refit, ScrapFasteners))
        own = seal in self.front.items and renewed
        return machines.JOINT if own else machines.LEFT_SEALED

    def sealants_of(self, name: str, item: schema.Item) -> list[str]:
        """Return the sealants that are laid on an item, or that a joint is never closed without.

        What is laid on something that is no joint is followed only if a step puts that thing on.
        """
        laid = self.beads.get(name, [])
        if item.kind == "joint":
            return laid or [one for one in (item.sealed_by,) if one in self.front.sealants]
        return laid if any(name in self.done[verb] for verb in (Refit, Fit, Connect, Shut)) else []

    def bead_machine(self, name: str, item: schema.Item, sealants: list[str]) -> Machine:
        """Return how a bead is followed, by the method on its label."""
        must = item.kind == "joint" and item.sealed_by in self.front.sealants
        return machines.bead(self.front.sealants[sealants[0]].method, must)

    def of_bead(self, name: str, sealants: list[str], thing: Thing) -> Thing:
        """Return a bead with the groups and parts that move it and the circuits that it touches."""
        items = self.front.items
        groups, parts = self.relations.groups_of(name), self.relations.parts_of(name)
        own = self.relations.fluids_of(items[name])
        fluids = own or own.union(*(self.relations.fluids_of(items[part]) for part in parts))
        about = {f"fasteners:{one}" for one in groups} | {f"items:{one}" for one in parts}
        about |= {f"sealants:{one}" for one in sealants} | {f"fluids:{one}" for one in fluids}
        told = [self.front.sealants[one] for one in sealants]
        warm = fluids or {fluid for one in told for fluid in one.suits}
        marks = {f"method-{one.method}" for one in told}
        marks |= {f"warmed-{self.front.fluids[one].circuit}" for one in warm}
        if fluids:
            marks.add("touches")
        laying = [step for step, _, action in self.job.doing[name] if isinstance(action, Apply)]
        if all(any(wait.kind == "open-time" for wait in step.data.waits.values()) for step in laying):
            marks.add("clocked")
        return replace(thing, name=f"bead of {told[0].name} at the {items[name].name}",
                       about=thing.about | about, marks=thing.marks | marks)  # fmt: skip

    def connected(self, name: str) -> bool:
        """Return whether a connection is made or undone. One that is only made may be new on the vehicle."""
        if name in self.done[Disconnect]:
            return True
        new = name in self.done[Fit] or any(
            [name] == part.for_ or (name in part.for_ and KIT.search(part.name))
            for part in self.front.parts.values()
        )
        off = any(name in self.done[verb] for verb in (Remove, MoveAside, Refit, ScrapFasteners))
        return name in self.done[Connect] and not new and not off

    def moved(self, name: str) -> bool:
        """Return whether an action takes this item off or puts it on, or needs it off to reach behind it."""
        item = self.front.items.get(name)
        if item and item.kind in ("part", "guard", "drive", "load", "connection") and self.hides(item):
            return True
        return any(name in self.done[verb] for verb in (Remove, MoveAside, Refit, Fit, LeaveOff)) or (
            name in self.done[ScrapFasteners] and name in self.front.items
        )

    def hides(self, item: schema.Item) -> bool:
        """Return whether something is worked on that this item hides."""
        return not self.behind.isdisjoint(item.hides)

    def part_machine(self, name: str, item: schema.Item) -> tuple[Machine, State]:
        """Return how a part is followed, and whether it is there at the start."""
        taken = any(name in self.done[verb] for verb in (Remove, MoveAside, ScrapFasteners, LeaveOff, Refit))
        new = name in self.done[Fit] and not taken and not item.renew
        if new and (item.kind != "seal" or self.takes_place(name)):
            return machines.ADDED, "none"
        if item.kind == "seal":
            return (machines.SEAL, "fitted") if item.count == 1 else (machines.SEALS, 0)
        return (machines.PART, "fitted") if item.count == 1 else (machines.PARTS, 0)

    def takes_place(self, name: str) -> bool:
        """Return whether a seal is new on the vehicle: on a new part, or for another that stays off."""
        items = self.front.items
        sealed = [one for one in self.relations.sealed.get(name, ()) if items[one].kind == "part"]
        if sealed and all(self.part_machine(one, items[one])[0] is machines.ADDED for one in sealed):
            return True
        off = self.done[Remove] | self.done[ScrapFasteners]
        stay_off = off - self.done[Fit] - self.done[Refit]
        return any(one in items and items[one].kind == "seal" for one in stay_off)

    def of_group(self, name: str, group: schema.Fasteners) -> Iterator[Thing]:
        """Yield how tight a group is, and how many of it are out."""
        if not any(name in self.done[verb] for verb in (Undo, Loosen, StartByHand, Tighten, Turn)):
            return
        about = self.relations.about("fasteners", name)
        told = {
            "one-use": group.one_use,
            "angle": bool(group.angle),
            "snug": group.snug,
            "counted": name in self.done[StartByHand],
            "replaced": self.replaced(name, group),
            **self.what_it_holds(group),
        }
        marks = frozenset({f"joint-{group.joint}", *(mark for mark, is_so in told.items() if is_so)})
        held = any(one in self.done[verb] for verb in (Remove, Disconnect, MoveAside) for one in group.holds)
        others = {other for one in group.holds for other in self.relations.holding[one]} - {name}
        new = name not in self.done[Undo] | self.done[Loosen] and name in self.done[StartByHand]
        new = new and (not held or any(self.replaced(one, self.front.fasteners[one]) for one in others))
        machine = machines.group(group, name in self.done[Turn])
        yield Thing(f"group:{name}", machine, "fasteners", name, group.name, "out" if new else "tight", about,
                    marks, 1, group.when)  # fmt: skip
        if name in self.done[StartByHand]:
            total = group.total()
            out = total if new else 0
            yield Thing(f"out:{name}", machines.OUT, "fasteners", name, group.name, out, about, marks, total,
                        group.when)  # fmt: skip
        if group.one_use:
            yield Thing(f"due:renew-{name}", machines.DUE, "fasteners", name, group.name, "quiet", about,
                        marks | {"renew", "fasteners"}, 1, group.when)  # fmt: skip

    def what_it_holds(self, group: schema.Fasteners) -> dict[str, bool]:
        """Return marks of a group by what it holds; circuits only where it says no `joint`."""
        held = [self.front.items[one] for one in group.holds]
        circuits = {
            self.front.fluids[fluid].circuit
            for one in ([] if group.joint else group.holds)
            for fluid in self.relations.behind(one)
        }
        return {
            "holds-drive": any(item.kind in ("drive", "guard") for item in held),
            "holds-fuel": "fuel" in circuits,
            "holds-sealed": not circuits.isdisjoint(("cooling", "oil", "hydraulic", "steering")),
            "holds-brake": "brake" in circuits,
        }

    def replaced(self, name: str, group: schema.Fasteners) -> bool:
        """Return whether a group is thrown away for another one that holds the same things."""
        if name not in self.done[ScrapFasteners]:
            return False
        new = self.done[StartByHand] | self.done[Tighten]
        others = [set(self.relations.holding[one]) & new - {name} for one in group.holds]
        return name not in new and bool(others) and all(others)

    def of_fluids(self) -> Iterator[Thing]:
        """Yield level, air and pressure of each circuit."""
        for name, fluid in self.front.fluids.items():
            about = frozenset({f"fluids:{name}"})
            marks = frozenset({f"circuit-{fluid.circuit}"})
            full: State = "full" if name in self.front.opening.full else "unknown"
            for machine, start in (
                (machines.LEVEL, full),
                (machines.AIR, "none"),
                (machines.PRESSURE, "unknown"),
            ):
                yield Thing(
                    f"{machine.name}:{name}", machine, "fluids", name, fluid.name, start, about, marks
                )

    def of_machine(self) -> Iterator[Thing]:
        """Yield what there is one of: the engine's heat, the key, what the vehicle stands on."""
        opening = self.front.opening
        wheels: dict[str | None, State] = {"on-ground": "ground", "on-stands": "stands", "on-lift": "lift"}
        yield Thing("heat:engine", machines.HEAT, "", "engine", "the engine", opening.engine or "unknown")
        yield Thing("run:engine", machines.RUN, "", "engine", "the engine", "stopped")
        yield Thing("key:key", machines.KEY, "", "key", "the key", "unknown")
        yield Thing(
            "raised:vehicle",
            machines.RAISED,
            "",
            "vehicle",
            "the vehicle",
            wheels.get(opening.wheels, "unknown"),
            marks=frozenset({"came-raised"} if opening.wheels in ("on-stands", "on-lift") else ()),
        )
        lifted = self.done[Raise] <= {"lift"}
        yield Thing("chocks:wheels", machines.CHOCKS, "", "wheels", "the vehicle", "off",
                    marks=frozenset({"lifted"} if lifted else ()))  # fmt: skip
        yield Thing(
            "bay:air", machines.BAY, "", "air", "the air in the bay", "aired" if opening.air else "unknown"
        )
        if not any(item.kind == "earth-lead" for item in self.front.items.values()):
            earth = opening.earth or "unknown"
            yield Thing("earth:battery", machines.EARTH, "", "battery", "the battery's earth lead", earth,
                        marks=frozenset({"undeclared"}))  # fmt: skip
            able = "earth off" if earth == "off" else "able"
            yield Thing("able:battery", machines.ABLE, "", "battery", "the engine", able)
        for look in LOOKS:
            yield Thing(f"look:{look}", machines.LOOK, "", look, NAMES[look], "quiet",
                        marks=frozenset({look}) | self.follow_ups)  # fmt: skip
        for what in ("battery", "throttle"):
            yield Thing(f"settings:{what}", machines.SETTINGS, "", "settings", NAMES["settings"], "quiet",
                        marks=self.follow_ups | {what})  # fmt: skip
        for proof in PROOFS:
            yield Thing(
                f"due:{proof}", machines.DUE, "", proof, NAMES[proof], "quiet", marks=frozenset({proof})
            )


def build(job: Job, rules: Iterable[Rule]) -> Model:
    """Return the model of a job: its things, what moves them, and what the rules need of them."""
    things = list(Things(job).all())
    events = happenings(job)
    moves: dict[str, list[Happening]] = defaultdict(list)
    moments: dict[tuple[str, str], list[Happening]] = defaultdict(list)
    for one in events:
        if isinstance(one.what, Change):
            moves[one.what.variable].append(one)
        else:
            moments[one.what.name, ""].append(one)
            for concern in one.what.concerns:
                moments[one.what.name, concern].append(one)
    rows = defaultdict(list)
    for rule in rules:
        for row in rule.rows:
            rows[row.machine].append((rule.code, row))
    variables = (variable(thing, moves, moments, rows[thing.machine.name]) for thing in things)
    return Model(tuple(variables), gates(events))


GATES = {
    "starts": "start",
    "fills": "fill",
    "lowers": "lower",
    "moves": "move",
    "stops-safely": "stop",
}
"""Moments that the phone asks a permit for. A crank, whatever it is for, is a start."""


def gates(events: Iterable[Happening]) -> dict[str, tuple[str, ...]]:
    """Return which steps have a moment that needs a permit, in order."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for step, _, what in events:
        if isinstance(what, Moment):
            gate = "start" if what.name.startswith("cranks-") else GATES.get(what.name)
            if gate:
                found[gate][step] = None
    return {gate: tuple(steps) for gate, steps in found.items()}


def needs_of(code: str, row: Row, thing: Thing, places: Iterable[tuple[str, int]]) -> Iterator[Need]:
    """Yield a row as the need of each of these places."""
    allowed = row.allowed or thing.machine.states - row.barred
    if ALL in allowed:
        allowed = allowed - {ALL} | {thing.total}
    if SOME in allowed:
        allowed = allowed - {SOME} | set(range(1, thing.total + 1))
    what = agreeing(row.what, thing.name)
    for step, at in places:
        yield Need(step, at, row.moment, allowed, code, row.severity, what, row.write, row.do)


def agreeing(text: str, name: str) -> str:
    """Return a sentence whose verb agrees with the name that will be put in: bolts are, a bolt is.

    >>> agreeing("{name} is {state}", "bolts of the cover")
    '{name} are {state}'
    """
    head = re.split(r" (?:of|for|with|in|at|on|over|to|from|under|behind|beside|between) ", name, maxsplit=1)[
        0
    ]
    if not re.search(r"[^siu]s$", head):
        return text
    return text.replace("{name} is ", "{name} are ").replace("{name}, is ", "{name}, are ")


def variable(
    thing: Thing,
    moves: Mapping[str, list[Happening]],
    moments: Mapping[tuple[str, str], list[Happening]],
    rows: Iterable[tuple[str, Row]],
) -> Variable:
    """Return a thing with its moves and needs."""
    machine = thing.machine
    own = []
    for step, at, change in moves.get(thing.id, ()):
        if not isinstance(change, Change):
            continue
        table = machine.moves.get(change.move)
        if table is None:
            continue
        found = table * change.pieces if isinstance(table, int) else table
        if change.move == "out-if-in":
            found = {count: max(count - change.pieces, 0) for count in range(thing.total + 1)}
        rule = machine.rules.get(change.move, machine.rule)
        refused = agreeing(machine.refused.get(change.move, REFUSED), thing.name)
        cures = machine.cures.get(change.move, "")
        own.append(Move(step, at, change.move, found, rule, refused, cures, change.wait))
    needs: list[Need] = []
    for code, row in rows:
        if row.unless & thing.marks or (row.only and not row.only & thing.marks):
            continue
        keys = [""] if row.anywhere else sorted(thing.about)
        places = dict.fromkeys(
            (step, at) for key in keys for step, at, _ in moments.get((row.moment, key), ())
        )
        if row.moment in ("stops-safely", "laid-down"):  # laid down: asked of the phone alone
            places[ANYWHERE, FINISH] = None
        if places:
            needs += needs_of(code, row, thing, places)
    return Variable(
        thing.id,
        machine.name,
        thing.object,
        thing.table,
        thing.name,
        thing.start,
        machine.rest,
        machine.words,
        thing.total,
        dict(thing.when or {}),
        tuple(own),
        tuple(needs),
    )
