"""What each action does to the machine, and which moments it makes: the one place that reads verbs.

A move goes to one variable, named machine:object. A moment is a name with the things it concerns, each as
table:id; a moment that concerns everything names nothing.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from webapp.pack import schema
from webapp.pack.actions import (
    Apply,
    Bleed,
    Chock,
    Clean,
    ClearChips,
    Compare,
    Connect,
    Cover,
    Crank,
    Disconnect,
    Drain,
    Drill,
    Fill,
    Fit,
    HandOverTo,
    Isolate,
    Join,
    Key,
    LeaveOff,
    Loosen,
    Lower,
    MoveAside,
    Open,
    Place,
    PressureTest,
    Raise,
    Refit,
    Release,
    Relieve,
    Remove,
    Restore,
    RoadTest,
    ScrapFasteners,
    Shut,
    Start,
    StartByHand,
    Stop,
    Support,
    TakeOut,
    Tap,
    Tension,
    Tighten,
    Turn,
    TurnOver,
    Unchock,
    Uncover,
    Undo,
    Ventilate,
    Verb,
)  # fmt: skip
from webapp.pack.model import BEGIN, END, FINISH

from .job import Job, JobStep
from .relations import Relations, is_filler

AT_BEGIN = frozenset({"cold", "no-pressure", "level", "measured-twice"})
"""Readings that are taken before the step's actions; the others tell what came of them."""

HAND_WORK = (
    Disconnect, Connect, Remove, MoveAside, Refit, Fit, Cover, Uncover, Place, TakeOut, Clean, Tension,
    Loosen, Undo, StartByHand, Tighten, Turn, Drill, Tap, Apply, Join,
)  # fmt: skip
"""Verbs that bring hands or tools to the machine."""

BEHIND = (
    Disconnect, Connect, Remove, MoveAside, Refit, Fit, Open, Clean, Tension,
    Loosen, Undo, StartByHand, Tighten, Turn,
)  # fmt: skip
"""Verbs that cannot be done to what lies behind something. An opening is shut by what closes it, and what
is taken out of one is R01."""

RUNNING = frozenset({"cooling", "oil", "fuel", "hydraulic", "steering"})
"""Circuits that stand under pressure only once the engine runs."""

BATTERY_FED = ("fan", "auto-start")
SELF_STARTING = ("auto-start", "fan", "standby", "mains", "heater")
FUSED = ("fan", "heater", "auto-start")
"""Energy whose plug is dead once its fuse is out."""
LICENSED = ("high-voltage", "restraint")
OPENS = re.compile(r"thermostat|(top|upper|outlet|radiator) hose.{0,30}\bhot", re.IGNORECASE)
"""How a pack says what is seen when the thermostat opens."""
BLED = ("cooling", "fuel", "brake", "clutch", "hydraulic", "steering")
PEDAL = ("brake",)
BRAKES = ("firm-pedal", "brake-level", "slow-stop", "dry")
"""What has to be seen once a brake circuit was open."""


GRITTY = re.compile(r"scrap|brush|abras|emery|sand|file|disc|wire|blow|air|pad\b", re.IGNORECASE)
THROTTLE = re.compile(
    r"\b(throttle (body|valve)|idle (air|control|speed) (control )?(valve|motor))", re.IGNORECASE
)
"""What the idle is learned with, by its name."""
SPARKS = re.compile(
    r"\b(grinder|cut-?off|welder|welding (set|torch|machine)|solder\w*|heat gun|hot[- ]air|blow ?lamp"
    r"|(blow|gas) ?torch)",
    re.IGNORECASE,
)
"""Tools that throw sparks or are hot, by their names."""
HOT_METAL = re.compile(r"\b(exhaust|turbocharger|catalyst|catalytic|downpipe)\b", re.IGNORECASE)
"""What stays hot the longest, by its name."""
GENTLE = re.compile(r"cloth|wipe|swab|vacuum|towel|sponge|solvent|magnet", re.IGNORECASE)
"""What is cleaned with, by its name. A tool that says neither is taken for one that scrapes."""


def is_belt(item: schema.Item) -> bool:
    """Return whether a drive is a belt, with ribs or teeth that must be seen in their grooves: no chain."""
    return item.kind == "drive" and "chain" not in item.name.lower()


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


class Happening(NamedTuple):
    """A change or a moment with its place in the job."""

    step: str
    at: int
    what: Change | Moment


def happenings(job: Job) -> list[Happening]:
    """Return all changes and moments of a job in the printed order, and its end."""
    relations = job.relations
    reader = Reader(job, relations)
    found: list[Happening] = []
    for step in job.steps:
        found += (Happening(step.id, BEGIN, what) for what in reader.begins(step))
        for at, action in enumerate(step.actions):
            found += (Happening(step.id, at, what) for what in reader.does(step, action))
        found += (Happening(step.id, FINISH - 1, what) for what in reader.waited(step))
        found += (Happening(step.id, FINISH, what) for what in reader.finishes(step))
    found.append(Happening(END, FINISH, Moment("end")))
    return found


class Ports:
    """The openings that are left bare at the end of the step that opens them, and who works past them."""

    def __init__(self, job: Job, relations: Relations) -> None:
        self.touched: dict[str, set[str]] = {}  # step → the openings that it opens, covers or shuts
        left: set[str] = set()
        for step in job.steps:
            bare: set[str] = set()
            touched = self.touched.setdefault(step.id, set())
            for action in step.actions:
                name = (action.in_ or "") if isinstance(action, Place) else action.target()
                if isinstance(action, Open | Cover | Uncover | Shut | Place):
                    touched.add(name)
                    bare.discard(name)
                if isinstance(action, Open):
                    bare.add(name)
            left |= bare
        items = relations.front.items
        ports = sorted(one for one in left if items[one].way in (None, "port"))
        self.own = {port: self.near(port, relations) for port in ports}

    def near(self, port: str, relations: Relations) -> set[str]:
        """Return what is handled to close a port: what covers it, its seals, and what holds them."""
        items = relations.front.items
        parts = {port, *relations.hiders.get(port, ())}
        seals = {seal for part in parts if (seal := items[part].sealed_by)}
        parts |= {one for seal in seals for one in relations.sealed.get(seal, ())} | seals
        groups = {group for part in parts for group in relations.holding.get(part, ())}
        return parts | seals | groups | set(relations.plugs.get(port, ()))

    def passed(self, step: JobStep) -> frozenset[str]:
        """Return the ports beside which a step does other work. Cleaning is other work at any port."""
        if not self.own:
            return frozenset()
        work = {one.target() for one in step.actions if isinstance(one, HAND_WORK)}
        cleaned = {one.target() for one in step.actions if isinstance(one, Clean)}
        return frozenset(
            f"items:{port}"
            for port, own in self.own.items()
            if port not in self.touched[step.id] and (work - own or cleaned)
        )


class Reader:
    """Reads the steps of one job."""

    def __init__(self, job: Job, relations: Relations) -> None:
        self.job, self.front, self.relations = job, job.front, relations
        self.beads: dict[str, dict[str, list[str]]] = {}  # sealant → what it is laid on → in which steps
        self.joined: set[str] = set()  # joints that a step says it closes
        self.drained: set[str] = set()
        self.filled: set[str] = set()
        self.covers: dict[str, dict[str, int]] = {}  # opening → what covers it, how many, as printed so far
        self.bared: set[str] = set()  # openings whose cover is out again, as printed so far
        self.removed: set[str] = set()
        self.moved_aside: set[str] = set()
        self.away: set[str] = set()  # what is off or aside, as printed so far
        self.turns = any(item.kind == "drive" for item in self.front.items.values()) or any(
            energy.kind == "fan" for energy in self.front.energy.values()
        )  # else what rotates is a wheel
        self.scrapped: Counter[str] = Counter()  # how many of a group are thrown away in all
        self.left_off: set[str] = set()
        self.out: dict[str, int] = {}  # group → how many are out that no start by hand has counted in yet
        self.ports = Ports(job, relations)
        earths = [name for name, item in self.front.items.items() if item.kind == "earth-lead"]
        self.leads = earths or ["battery"]
        self.earth_turns: set[type[Verb]] = set()  # Disconnect, Connect: done to an earth lead
        for step in job.steps:
            for action in step.actions:
                if isinstance(action, Disconnect | Connect) and action.target() in earths:
                    self.earth_turns.add(type(action))
                if isinstance(action, Apply):
                    laid = self.beads.setdefault(action.apply, {})
                    laid.setdefault(action.to, []).append(step.id)
                elif isinstance(action, Join):
                    self.joined.add(action.join)
                elif isinstance(action, Drain):
                    self.drained.add(action.drain)
                elif isinstance(action, Fill):
                    self.filled.add(action.fill)
                elif isinstance(action, Remove):
                    self.removed.add(action.remove)
                elif isinstance(action, MoveAside):
                    self.moved_aside.add(action.move_aside)
                elif isinstance(action, ScrapFasteners) and action.scrap in self.front.fasteners:
                    total = self.front.fasteners[action.scrap].total()
                    self.scrapped[action.scrap] += action.count or total
                elif isinstance(action, LeaveOff):
                    self.left_off.add(action.leave_off)

    # --- before and after the actions

    def begins(self, step: JobStep) -> Iterator[Change | Moment]:
        """Yield what holds when a step is begun: the waits it is after, and what is read first."""
        for name in step.data.after:
            if name not in self.job.waits:
                continue
            begun, wait = self.job.waits[name]
            over = [*self.hardens(begun, wait, step), *(self.cooled() if wait.kind == "cool-down" else ())]
            yield from (change._replace(wait=name) for change in over)
        yield from self.read(step, first=True)
        if any(SPARKS.search(self.front.tools[tool].name) for tool in step.data.tools):
            yield Moment("spark")
        passed = self.ports.passed(step)
        if passed:
            yield Moment("works-past", passed)
        if "falling-vehicle" in step.data.hazards and not any(
            isinstance(action, Raise | Lower) for action in step.actions
        ):
            yield Moment("under")

    def waited(self, step: JobStep) -> Iterator[Change | Moment]:
        """Yield what a step's own waits tell, which are over before its readings are taken."""
        for wait in step.data.waits.values():
            if wait.attended and wait.kind == "cool-down":
                yield from self.cooled()
            if wait.attended:
                yield from self.hardens(step, wait, step)
            if wait.kind in ("bleed", "warm-up") and any(OPENS.search(text) for text in wait.until):
                yield Change("due:thermostat-open", "seen")

    def finishes(self, step: JobStep) -> Iterator[Change | Moment]:
        """Yield what a step's readings tell when it is ticked."""
        yield from self.read(step, first=False)
        if step.data.safe_stop:
            yield Moment("stops-safely")

    def hardens(self, begun: JobStep, wait: schema.Wait, over: JobStep) -> Iterator[Change]:
        """Yield what a wait makes of the beads that were laid when it began, and not laid anew since."""
        move = {"tacky": "tacky", "set": "set", "full-cure": "cure"}.get(wait.kind)
        for name, laid in sorted(self.beads.get(wait.sealant or "", {}).items()) if move else ():
            before = [step for step in laid if step == begun.id or self.job.must_precede(step, begun.id)]
            anew = [
                step
                for step in laid
                if self.job.must_precede(begun.id, step)
                and (step == over.id or self.job.must_precede(step, over.id))
            ]
            if before and not anew:
                yield Change(f"bead:{name}", str(move))

    def closes(self, name: str) -> Iterator[Change]:
        """Yield that a part which is put on closes its own bead; its joint is asked for, not closed by it."""
        yield Change(f"bead:{name}", "join")
        for joint in self.relations.joints_of(name):
            if joint not in self.joined and self.relations.parts_of(joint) == [name]:
                yield Change(f"bead:{joint}", "put-on")
                yield Change(f"joint:{joint}", "put-on")

    def parts(self, name: str) -> Iterator[Change]:
        """Yield that a joint is parted by the part that comes off, or stripped of its seal."""
        for joint in self.relations.joints_of(name):
            sealing = name == self.front.items[joint].sealed_by
            yield Change(f"joint:{joint}", "strip" if sealing else "part")
            if not sealing:
                yield Change(f"bead:{joint}", "part")
        yield Change(f"bead:{name}", "part")

    def cooled(self) -> Iterator[Change]:
        """Yield what a cool-down changes."""
        yield Change("heat:engine", "cool")
        for name, fluid in self.front.fluids.items():
            if fluid.circuit == "cooling":
                yield Change(f"pressure:{name}", "cool")

    def read(self, step: JobStep, *, first: bool) -> Iterator[Change | Moment]:
        """Yield what the readings of a step prove, and when a level is read as a cold one."""
        drives = any(isinstance(action, RoadTest) for action in step.actions)
        for reading in step.data.readings.values():
            for proof in reading.proves:
                if proof == "level" and self.is_brake(reading.of):
                    yield Change("due:brake-level", "seen")  # before what is done, and after a bleed
                if first and drives and proof in ("firm-pedal", "dry"):
                    yield Change(f"due:{proof}", "seen")  # the pedal is tried before the wheels turn
                if (proof in AT_BEGIN) != first:
                    continue
                if proof == "cold":
                    yield from self.cooled()
                elif proof == "no-pressure":
                    for name in [reading.of] if reading.of else self.front.fluids:
                        yield Change(f"pressure:{name}", "shown")
                elif proof == "level":
                    for name in [reading.of] if reading.of else self.front.fluids:
                        yield Change(f"level:{name}", "seen")
                elif proof == "measured-twice":
                    for name in self.front.cuts:
                        yield Change(f"measured:{name}", "measure")
                elif proof == "settings":
                    yield Change("settings:battery", "seen")
                    yield Change("settings:throttle", "seen")
                elif proof == "cold-level":
                    yield Moment("reads-cold-level")
                yield Change(f"due:{proof}", "seen")
                yield Change(f"look:{proof}", "seen")

    def is_brake(self, of: str | None) -> bool:
        """Return whether a reading of this fluid, or of any, is one of a brake circuit."""
        fluid = self.front.fluids.get(of or "")
        return of is None or (fluid is not None and fluid.circuit in PEDAL)

    # --- actions

    def does(self, step: JobStep, action: Verb) -> Iterator[Change | Moment]:
        """Yield the moments of an action, which come before what it changes, then its changes."""
        if isinstance(action, HAND_WORK):
            yield from self.works(step, action)
        elif isinstance(action, Open | Shut | Drain):
            yield Moment("hand-work")
        if isinstance(action, BEHIND):
            yield from self.reaches_behind(action)
        yield from self.acts(step, action)

    def works(self, step: JobStep, action: Verb) -> Iterator[Moment]:
        """Yield the moments of a hand or a tool at the machine."""
        name = action.target()
        yield Moment("hand-work")
        items = self.touched(action)
        groups = [name] if isinstance(action, Loosen | Undo | StartByHand | Tighten | Turn) else []
        if isinstance(action, Disconnect | Remove | MoveAside | Undo) and any(
            item.kind in ("part", "connection") and not item.carries and HOT_METAL.search(item.name)
            for item in items
        ):
            yield Moment("hot-metal")
        live = any(item.carries == "live" and item.kind != "earth-lead" for item in items)
        if live and not self.fused(action):
            yield Moment(self.live_work(step, action))
        rotating = self.turns and any(self.front.fasteners[group].joint == "rotating" for group in groups)
        if rotating or any(item.kind in ("drive", "guard") for item in items):
            yield Moment("zone")
        for energy, source in self.front.energy.items():
            own = name in source.reaches or any(
                held in source.reaches for group in groups for held in self.front.fasteners[group].holds
            )
            if own:
                yield Moment("reach", frozenset({f"energy:{energy}"}))
                if source.kind == "restraint":
                    yield Moment("airbag")

    def live_work(self, step: JobStep, action: Verb) -> str:
        """Return the moment of work on what is live. A lead may follow its maker's order, with the source.

        The maker's order counts only where the earth lead has its turn in the job too.
        """
        if not isinstance(action, Disconnect | Connect):
            return "live-work"
        source = self.front.sources.get(step.data.source or "")
        makers = source is not None and source.kind in ("manual", "standard")
        return "live-lead-by-maker" if makers and type(action) in self.earth_turns else "live-lead"

    def fused(self, action: Verb) -> bool:
        """Return whether a plug is pulled by hand that is dead once its own energy is locked off (R10)."""
        name = action.target()
        if not isinstance(action, Disconnect | Connect) or self.relations.holding.get(name):
            return False
        return any(one.kind in FUSED and name in one.reaches for one in self.front.energy.values())

    def touched(self, action: Verb) -> list[schema.Item]:
        """Return the items that an action works on: its own, or those that its group holds."""
        table, thing = self.front.object_of(action)
        if table == "items":
            return [thing]
        if table == "fasteners":
            return [self.front.items[held] for held in thing.holds]
        return []

    def reaches_behind(self, action: Verb) -> Iterator[Moment]:
        """Yield the moment at which something is worked on that other things hide."""
        table, _ = self.front.object_of(action)
        name = action.target()
        if table == ("items" if name in self.front.items else "fasteners"):
            for hider in self.relations.hiders.get(name, ()):
                yield Moment("behind", frozenset({f"items:{hider}"}))

    def works_on(self, circuits: set[str]) -> Iterator[Change]:
        """Yield that circuits were worked on, so that they are looked at once the engine runs."""
        if not RUNNING.isdisjoint(circuits):
            yield Change("look:first-minute", "work")
            yield Change("look:hot-look", "work")
        if "cooling" in circuits:
            yield Change("look:cold-level", "work")

    def circuits_at(self, name: str) -> set[str]:
        """Return the circuits that an item keeps in: its own, and those of the joints it closes."""
        joints = [name, *self.relations.joints_of(name)]
        return {one for joint in joints for one in self.relations.circuits_of(self.front.items[joint])}

    def battery_fed(self, move: str) -> Iterator[Change]:
        """Yield what an earth lead does to what the battery feeds. One of two leads does nothing."""
        leads = sum(item.kind == "earth-lead" for item in self.front.items.values())
        for name, energy in self.front.energy.items():
            if energy.kind in BATTERY_FED and leads == 1:
                yield Change(f"energy:{name}", move)

    def opens(self, name: str, item: schema.Item, *, lets_air_in: bool) -> Iterator[Change | Moment]:
        """Yield what it means to open a circuit at an item."""
        for circuit in sorted(self.circuits_at(name)):
            yield Moment(f"opens-{circuit}", frozenset({f"items:{name}"}))
            own = circuit in self.relations.circuits_of(item)  # else it keeps oil in only at its joint
            if circuit == "oil" and own and not (item.kind == "opening" and item.way in ("filler", "bleed")):
                yield Moment("lets-oil-out")
        for fluid in sorted(self.relations.behind(name)):
            yield Moment("opens", frozenset({f"fluids:{fluid}"}))
            if lets_air_in and fluid in self.relations.fluids_of(item):
                yield from self.air_in(fluid)

    def slackens(self, group: str) -> Iterator[Change | Moment]:
        """Yield what follows from slackening a group that holds fuel in or brakes together."""
        joint = self.front.fasteners[group].joint
        held = self.front.fasteners[group].holds if joint in (None, "sealed") else []
        circuits = {circuit for one in held for circuit in self.circuits_at(one)}
        if joint == "sealed":
            for circuit in sorted(circuits & {"cooling"}):
                yield Moment(f"opens-{circuit}", frozenset(f"items:{one}" for one in held))
        if joint == "fuel" or "fuel" in circuits:
            fuels = (name for name, fluid in self.front.fluids.items() if fluid.circuit == "fuel")
            yield Moment("slackens", frozenset(f"fluids:{name}" for name in fuels))
        if joint == "brake" or "brake" in circuits:
            for proof in ("firm-pedal", "slow-stop"):
                yield Change(f"due:{proof}", "arises")

    def unplugs(self, name: str) -> Moment:
        """Return the moment at which what closed an opening comes out: a plug, a tester under pressure."""
        fluids = self.relations.fluids_of(self.front.items[name])
        return Moment("unplugs", frozenset(f"fluids:{one}" for one in fluids))

    def air_in(self, fluid: str) -> Iterator[Change]:
        """Yield that air got into a circuit."""
        circuit = self.front.fluids[fluid].circuit
        if circuit in BLED:
            yield Change(f"air:{fluid}", "lets-in")
        if circuit == "cooling":
            yield Change("due:thermostat-open", "arises")
        if circuit in PEDAL:
            for proof in BRAKES:
                yield Change(f"due:{proof}", "arises")

    def shuts_air_in(self, name: str, item: schema.Item) -> Iterator[Change]:
        """Yield that a circuit has air in it where it is closed again: it is bled after that."""
        if item.kind not in ("seal", "temporary") and not is_filler(item):
            for fluid in sorted(self.relations.fluids_of(item)):
                yield from self.air_in(fluid)

    def all_out(self, group: schema.Fasteners) -> Iterator[Change | Moment]:
        """Yield what follows when all of a group are out: a wheel comes off, a union parts its line."""
        if group.joint == "wheel":
            yield Moment("wheel-off")
        if group.joint in (None, "sealed", "fuel", "brake"):
            lines = [item for one in group.holds if (item := self.front.items[one]).kind == "connection"]
            for fluid in sorted({one for item in lines for one in self.relations.fluids_of(item)}):
                yield from self.air_in(fluid)

    def disturbs(self, name: str) -> Moment:
        """Return the moment at which a joint is moved, by the item or the group that is moved."""
        return Moment("disturbs", frozenset({f"items:{name}", f"fasteners:{name}"}))

    def off(self, name: str, item: schema.Item) -> Iterator[Change | Moment]:
        """Yield what follows from taking an item off, besides that it is off."""
        yield self.disturbs(name)
        yield from self.works_on(self.circuits_at(name))
        yield from self.parts(name)
        if THROTTLE.search(item.name):
            yield Change("settings:throttle", "lose")
        if item.sealed_by in self.front.items:
            yield Change(f"due:renew-{item.sealed_by}", "arises")
        if item.kind == "drive":
            yield Change(f"belt:{name}", "off")
        if item.timed and item.kind == "drive":
            yield Moment("untimes", frozenset({f"items:{name}"}))

    def lets_go(
        self, step: JobStep, name: str, item: schema.Item, *, on: bool = False
    ) -> Iterator[Change | Moment]:
        """Yield the moment at which something that needs holding is let go, or is put on."""
        alone = self.relations.heavy(item) and step.data.people < 2
        if item.kind == "load" or item.sprung or alone:
            yield Moment("lifts" if on else "lets-go", frozenset({f"items:{name}"}))
        yield Change(f"support:{name}", "fast" if on else "loose")

    def hides(self, name: str) -> Moment:
        """Return the moment at which what lies behind an item cannot be reached any more."""
        hidden = self.front.items[name].hides
        return Moment(
            "hides",
            frozenset(
                {f"items:{name}"}
                | {f"{'items' if one in self.front.items else 'fasteners'}:{one}" for one in hidden}
            ),
        )

    def buries(self, name: str, *own: str) -> Moment:
        """Return the moment at which an item comes to lie over what it hides."""
        hidden = self.front.items[name].hides
        tables = (f"{'items' if one in self.front.items else 'fasteners'}:{one}" for one in hidden)
        return Moment("buries", frozenset({*own, *tables}))

    def makes_grit(self, action: Clean) -> bool:
        """Return whether a cleaning scrapes, brushes or blows. A cloth with solvent does not."""
        tool = self.front.tools.get(action.with_ or "")
        used = tool or self.front.consumables.get(action.with_ or "")
        words = used.name if used else ""
        return bool(GRITTY.search(words)) or (tool is not None and not GENTLE.search(words))

    def openings_at(self, name: str) -> frozenset[str]:
        """Return the openings that lie bare beside a face or under a part."""
        parts = {name, *(self.relations.parts_of(name) if name in self.front.items else ())}
        hidden = {one for part in parts for one in self.front.items[part].hides} - {name}
        return frozenset(f"items:{one}" for one in hidden)

    def covered(self, opening: str, cover: str, count: int) -> None:
        """Note what covers an opening. A cover that came out before is forgotten."""
        if opening in self.bared:
            self.bared.discard(opening)
            self.covers[opening] = {}
        covers = self.covers.setdefault(opening, {})
        covers[cover] = covers.get(cover, 0) + count

    def how_many(self, action: Verb, name: str) -> int:
        """Return how many pieces an action takes or puts."""
        return int(getattr(action, "count", None) or self.front.items[name].count)

    def moves_item(self, action: Verb, name: str, move: str) -> Iterator[Change]:
        """Yield a move of a part, a seal or a guard, under whichever machine it has."""
        yield Change(f"part:{name}", move, self.how_many(action, name))

    def acts(self, step: JobStep, action: Verb) -> Iterator[Change | Moment]:
        """Yield the moments and changes of one action. One branch a verb."""
        name = action.target()
        item = self.front.items.get(name)
        match action:
            # Items
            case Disconnect() if item:
                if item.kind == "earth-lead":
                    yield Moment("spark")
                    yield Moment("earth-off", frozenset({f"items:{name}"}))
                    yield Change(f"earth:{name}", "disconnect")
                    yield Change(f"able:{name}", "earth-off")
                    yield from self.battery_fed("earth-off")
                    yield Change("settings:battery", "lose")
                    return
                yield Moment("disconnects", frozenset({f"items:{name}"}))
                yield from self.opens(name, item, lets_air_in=True)
                yield from self.off(name, item)
                yield Change(f"connection:{name}", "disconnect")
            case Connect() if item:
                if item.kind == "earth-lead":
                    yield Moment("spark")
                    yield Moment("earth-on", frozenset({f"items:{name}"}))
                    yield Change(f"earth:{name}", "connect")
                    yield Change(f"able:{name}", "earth-on")
                    yield from self.battery_fed("earth-on")
                    return
                yield Moment("connects", frozenset({f"items:{name}"}))
                yield from self.shuts_air_in(name, item)
                yield from self.closes(name)
                yield Change(f"connection:{name}", "connect")
            case Remove() | MoveAside() if item:
                if isinstance(action, Remove):
                    yield from self.opens(name, item, lets_air_in=True)
                    yield from self.off(name, item)
                    yield Change(f"due:renew-{name}", "arises")
                    yield Moment("removes", frozenset({f"items:{name}"}))
                else:
                    yield self.disturbs(name)
                    yield from self.parts(name)
                    yield Moment("moves-aside", frozenset({f"items:{name}"}))
                yield from self.lets_go(step, name, item)
                self.away.add(name)
                yield from self.moves_item(action, name, action.verb())
            case Refit() | Fit() if item:
                yield from self.lets_go(step, name, item, on=True)
                yield self.buries(name)
                self.away.discard(name)
                if name in self.removed - self.moved_aside:
                    yield from self.shuts_air_in(name, item)
                if item.kind == "seal":
                    how = "seal" if isinstance(action, Fit) else "seal-again"
                    for joint in self.relations.sealed.get(name, ()):
                        yield Change(f"joint:{joint}", how)
                else:
                    yield from self.closes(name)
                if isinstance(action, Fit):
                    if item.compare or item.renew:
                        yield Moment("commits", frozenset({f"items:{name}"}))
                    if item.kind == "seal":
                        yield Moment("seals", frozenset({f"items:{name}"}))
                    yield Change(f"due:renew-{name}", "seen")
                else:
                    yield Moment("goes-back", frozenset({f"items:{name}"}))
                yield self.hides(name)
                if is_belt(item):
                    yield Change("due:belt-seen", "arises")
                yield from self.moves_item(action, name, action.verb())
            case LeaveOff() if item:
                yield Change(f"due:renew-{name}", "seen")
                yield from self.moves_item(action, name, "leave-off")
                for group in self.relations.holding.get(name, ()):
                    if set(self.front.fasteners[group].holds) <= self.left_off:
                        yield Change(f"group:{group}", "leave-off")
                        yield from self.counted_in(group)
            case Open() | Shut() if item and item.way == "valve":
                yield Change(f"valve:{name}", action.verb())
            case Open() if item:
                yield self.disturbs(name)
                yield from self.opens(name, item, lets_air_in=False)
                if item.way == "drain" and item.fluid and not self.relations.circuits_of(item) & {"fuel"}:
                    yield Change(f"level:{item.fluid}", "drain")
                if item.sealed_by in self.front.items:
                    yield Change(f"due:renew-{item.sealed_by}", "arises")
                yield Change(f"opening:{name}", "open")
                yield Change(f"bead:{name}", "part")
            case Shut() if item:
                yield self.hides(name)
                yield self.buries(name, f"items:{name}")
                yield Change(f"opening:{name}", "shut")
                yield Change(f"bead:{name}", "join")
            case Cover() if item:
                count = self.how_many(action, action.with_)
                self.covered(name, action.with_, count)
                yield Moment("covers", frozenset({f"items:{name}", f"items:{action.with_}"}))
                yield Change(f"opening:{name}", "cover-some" if count < item.count else "cover")
                yield Change(f"temporary:{action.with_}", "in", count)
            case Uncover() if item:
                yield self.unplugs(name)
                some = (action.count or item.count) < item.count
                yield Change(f"opening:{name}", "uncover-some" if some else "uncover")
                caps = self.covers.get(name, {})
                self.bared.add(name)
                for cover, count in caps.items():  # one of several, by the answers: whichever is in
                    move = "out" if len(caps) == 1 else "out-if-in"
                    yield Change(f"temporary:{cover}", move, action.count or count)
            case Place() if item:
                count = self.how_many(action, name)
                yield Change(f"temporary:{name}", "in", count)
                if action.in_ and self.front.items[action.in_].kind in ("opening", "connection"):
                    yield Change(f"opening:{action.in_}", "cover")
                    yield Change(f"connection:{action.in_}", "cap")
                    self.covered(action.in_, name, count)
            case TakeOut() if item:
                yield Change(f"temporary:{name}", "out", self.how_many(action, name))
                for opening in [one for one, covers in self.covers.items() if name in covers]:
                    yield self.unplugs(opening)
                    yield Change(f"opening:{opening}", "uncover-if-covered")
                    if opening not in self.bared:
                        yield Change(f"connection:{opening}", "uncap")
                    self.bared.add(opening)
            case Compare():
                yield Change(f"compared:{name}", "compare")
            case Clean():
                if action.with_ in self.front.consumables:
                    yield Moment("solvent", frozenset({f"items:{name}"}))
                if self.makes_grit(action):
                    yield Moment("dirties", self.openings_at(name))
                wiped = any(isinstance(one, Join) and one.join == name for one in step.actions)
                if item and item.kind == "joint" and not wiped:
                    yield self.disturbs(name)
                yield Change(f"joint:{name}", "clean")
                yield Change(f"bead:{name}", "wipe")
                for joint in self.relations.joints_of(name):
                    yield Change(f"joint:{joint}", "clean-part")
            case Support():
                yield self.disturbs(name)
                yield Change(f"support:{name}", "support")
            case Release():
                if name not in self.away:
                    yield Moment("releases", frozenset({f"items:{name}"}))
                yield Change(f"support:{name}", "release")
            case Tension():
                how = f"tension-{action.as_}" if action.as_ else "tension"
                yield Moment("tensions", frozenset({f"items:{name}"}))
                if action.as_ == "used":
                    yield Moment("tensions-used", frozenset({f"items:{name}"}))
                yield Change(f"belt:{name}", how)
            # Fasteners
            case Loosen():
                yield self.disturbs(name)
                yield from self.slackens(name)
                yield from self.freed(step, name)
                yield Change(f"group:{name}", "loosen")
                yield Change(f"due:renew-{name}", "disturbed")
            case Undo():
                yield self.disturbs(name)
                yield from self.slackens(name)
                yield from self.freed(step, name)
                total = self.front.fasteners[name].total()
                count = action.count or total
                if count == total:
                    yield from self.all_out(self.front.fasteners[name])
                self.out[name] = min(total, self.out.get(name, 0) + count)
                yield Change(f"group:{name}", "undo" if count == total else "undo-some")
                yield Change(f"out:{name}", "undo", count)
                if self.front.fasteners[name].one_use:
                    yield Change(f"due:renew-{name}", "arises")
            case ScrapFasteners():
                if name in self.front.fasteners:
                    if self.scrapped[name] >= self.front.fasteners[name].total():
                        yield Change(f"due:renew-{name}", "seen")
                elif item:
                    yield Change(f"due:renew-{name}", "seen")
                    yield Moment("scraps", frozenset({f"items:{name}"}))
                    if item.count == 1 or name not in self.removed:  # several that were counted out lie there
                        yield from self.moves_item(action, name, "scrap")
            case StartByHand():
                count = action.count or self.front.fasteners[name].total()
                yield Moment("starts-by-hand", frozenset({f"fasteners:{name}"}))
                self.out.pop(name, None)
                yield Change(f"group:{name}", "start-by-hand")
                yield Change(f"out:{name}", "in", count)
            case Tighten():
                yield from self.tightens(action, name)
            case Turn():
                yield Moment("tightens", frozenset({f"fasteners:{name}"}))
                yield Moment("squeezes", frozenset({f"fasteners:{name}"}))
                yield Change(f"group:{name}", f"turn {action.stage}" if action.stage else "turn")
            # Fluids and sealants
            case Relieve():
                circuit = self.front.fluids[name].circuit
                yield Moment(f"relieves-{circuit}", frozenset({f"fluids:{name}"}))
                yield Change(f"pressure:{name}", "relieve")
                for reading in step.data.readings.values():
                    if "no-pressure" in reading.proves and reading.of in (None, name):
                        yield Change(f"pressure:{name}", "shown")
            case Drain():
                circuit = self.front.fluids[name].circuit
                yield Moment(f"opens-{circuit}", frozenset({f"fluids:{name}"}))
                if circuit == "oil":
                    yield Moment("lets-oil-out")
                yield Moment("opens", frozenset({f"fluids:{name}"}))
                yield Change(f"level:{name}", "drain")
                yield from self.works_on({circuit})
                yield from self.air_in(name)
            case Fill():
                yield Moment("fills", frozenset({f"fluids:{name}"}))
                yield Change(f"level:{name}", "fill")
                for other in self.replaced_by(name):
                    yield Change(f"level:{other}", "fill")
                if self.is_brake(name):
                    yield Change("due:brake-level", "seen")
            case Bleed():
                circuit = self.front.fluids[name].circuit
                yield Moment(f"bleeds-{circuit}", frozenset({f"fluids:{name}"}))
                yield Change(f"air:{name}", "bleed")
                if circuit == "cooling":
                    yield Change("due:thermostat-open", "disturbed")
                elif circuit == "fuel":
                    yield Change(f"pressure:{name}", "press")
                elif circuit in PEDAL:
                    for proof in BRAKES:
                        yield Change(f"due:{proof}", "arises")
            case PressureTest():
                yield Moment("presses", frozenset({f"fluids:{name}"}))
                yield Change(f"pressure:{name}", "press")
            case Apply():
                yield Moment("seals", frozenset({f"items:{action.to}", f"sealants:{name}"}))
                yield Change(f"joint:{action.to}", "seal")
                yield Change(f"bead:{action.to}", "apply")
            case Join():
                yield Moment("joins", frozenset({f"items:{name}"}))
                yield self.hides(name)
                yield Change(f"bead:{name}", "join")
                yield Change(f"joint:{name}", "join")
            # The machine
            case Isolate() | Restore():
                if self.front.energy[name].kind in LICENSED:
                    yield Moment("reach", frozenset({f"energy:{name}"}))
                yield Change(f"energy:{name}", action.verb())
            case Ventilate():
                yield Change("bay:air", "ventilate")
            case Raise():
                yield Moment("raises")
                if action.raise_ != "lift":
                    yield Moment("raises-on-its-wheels")
                yield Change("raised:vehicle", action.raise_)
            case Lower():
                yield Moment("lowers")
                yield Change("raised:vehicle", "lower")
            case Chock() | Unchock():
                yield Change("chocks:wheels", action.verb())
            case Key():
                if action.key == "on":
                    yield Moment("key-on")
                    yield from self.pressed_fuel()
                yield Change("key:key", action.key)
                yield from self.keyed("out" if action.key == "out" else "in")
            case Crank():
                yield Moment("turns")
                if action.crank == "dry":
                    yield Moment("spark")
                yield Moment(f"cranks-{action.crank}")
                yield from self.keyed("in")
                yield from self.pressed_fuel()
            case Start():
                yield Moment("turns")
                yield Moment("spark")
                yield Moment("starts")
                yield from self.keyed("in")
                yield Change("run:engine", "start")
                yield Change("heat:engine", "start")
                yield from self.pressed_fuel()
                for fluid, one in self.front.fluids.items():
                    if one.circuit == "cooling":
                        yield Change(f"pressure:{fluid}", "swell")
                for look in ("first-minute", "hot-look", "cold-level"):
                    yield Change(f"look:{look}", "start")
                yield Change("settings:battery", "start")
                yield Change("settings:throttle", "start")
                for name, item in self.front.items.items():
                    if item.kind == "drive":
                        yield Change(f"belt:{name}", "run")
            case Stop():
                yield Change("run:engine", "stop")
                yield Change("key:key", "stop")
            case TurnOver():
                yield Moment("turns")
                yield Moment("turns-over")
            case RoadTest():
                yield Moment("moves")
            # Metal and licensed work
            case Drill() | Tap():
                near = self.front.cuts[name].near
                yield Moment("cuts", frozenset({f"cuts:{name}", *(f"items:{one}" for one in near)}))
                yield Moment("spark")
                yield Change(f"chips:{name}", "cut")
            case ClearChips():
                yield Change(f"chips:{name}", "clear")
            case HandOverTo():
                yield Change(f"handed:{name}", "hand-over")
                covers = set(self.front.hand_overs[name].covers)
                for energy, source in self.front.energy.items():
                    if source.kind in LICENSED and (not covers or energy in covers):
                        yield Change(f"licensed:{energy}", "hand-over")
                for what, own in (
                    ("refrigerant", self.relations.refrigerant),
                    ("gas", self.relations.gas),
                ):
                    if not covers or covers & own:
                        yield Change(f"licensed:{what}", "hand-over")
                for covered in sorted(covers):
                    yield Change(f"licensed:covered-{covered}", "hand-over")

    def freed(self, step: JobStep, group: str) -> Iterator[Change | Moment]:
        """Yield what is let go when the last of a group comes loose."""
        for held in self.front.fasteners[group].holds:
            yield from self.works_on(self.circuits_at(held))
            yield from self.lets_go(step, held, self.front.items[held])

    def tightens(self, action: Tighten, name: str) -> Iterator[Change | Moment]:
        """Yield what a tightening does, by how far it goes."""
        group = self.front.fasteners[name]
        concerns = frozenset({f"fasteners:{name}", *(f"items:{held}" for held in group.holds)})
        yield Moment("tightens", concerns)
        if action.to != "finger-tight":
            yield Moment("squeezes", concerns)
        yield from self.counted_in(name)
        yield from (Change(f"support:{held}", "fast") for held in group.holds)
        if action.pass_ and action.pass_ <= len(group.passes):
            if action.pass_ == len(group.passes):
                yield Moment("tightens-fully", concerns)
            yield Change(f"group:{name}", f"pass {action.pass_}")
            return
        if action.to in ("final", "check"):
            yield Moment("tightens-fully", concerns)
        yield Change(f"group:{name}", action.to)

    def replaced_by(self, name: str) -> list[str]:
        """Return the fluids that were drained so that this one, never drained itself, takes their place."""
        circuit = self.front.fluids[name].circuit
        if name in self.drained:
            return []
        alike = [one for one in sorted(self.drained - self.filled) if one != name]
        return [one for one in alike if self.front.fluids[one].circuit == circuit]

    def counted_in(self, group: str) -> Iterator[Change]:
        """Yield that what is out of a group goes back, when no start by hand has counted it."""
        count = self.out.pop(group, 0)
        if count:
            yield Change(f"out:{group}", "in", count)

    def keyed(self, where: str) -> Iterator[Change]:
        """Yield what the key does to whether the engine can start."""
        for lead in self.leads:
            yield Change(f"able:{lead}", f"key-{where}")

    def pressed_fuel(self) -> Iterator[Change]:
        """Yield that the fuel pump ran."""
        for fluid, one in self.front.fluids.items():
            if one.circuit == "fuel":
                yield Change(f"pressure:{fluid}", "press")
