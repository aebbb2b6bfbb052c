"""Jobs that are right by construction, written as packs: what is undone is done up again, inside out.

A job is grown from pieces: a plug, a cover on bolts, a port, a drained gearbox. A piece has a step that
undoes and steps that do up; what lies inside it comes between. Pieces beside each other are free of each
other, so `needs` form a random order that keeps only what must be kept. Vehicle and figures are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from hypothesis import strategies as st

HEAD = """\
---
format: 1
title: Take some things off and put them back
vehicle: Marrowby Linnet 10 carrier, invented
invented: true
summary: What is in the way comes off, is looked at, and goes back.
for: A hands-on repairer with a torque wrench.
not-for: Any real vehicle.
units: si
opening: {engine: cold, earth: on, wheels: on-ground, full: [engine-oil]}
sources: {sheet: {kind: invented, title: Figures made up for this test}}
"""

FIXED = {
    "tools": {
        "wrench": "{name: torque wrench, wrench: {range: 5–50 N·m, graduation: 0.5 N·m}}",
        "pan": "{name: drain pan with a lid, holds: 8 L}",
        "scraper": "{name: plastic scraper}",
        "extinguisher": "{name: fire extinguisher}",
    },
    "fluids": {"engine-oil": "{name: engine oil, circuit: oil}"},
}


@dataclass
class Step:
    """A step. redo: the places of its actions without which something stays undone."""

    id: str
    actions: list[str] = field(default_factory=list)
    redo: set[int] = field(default_factory=set)
    tools: set[str] = field(default_factory=set)
    lines: list[str] = field(default_factory=list)
    needs: set[str] = field(default_factory=set)

    def again(self, *actions: str) -> Step:
        """Add actions that do up what was undone, and return the step."""
        self.redo |= set(range(len(self.actions), len(self.actions) + len(actions)))
        self.actions += actions
        return self

    def text(self, title: str) -> str:
        """Return the step as it is written."""
        lines = ["hands-on: 5 min", f"needs: [{', '.join(sorted(self.needs))}]"]
        lines += [f"tools: [{', '.join(sorted(self.tools))}]"] if self.tools else []
        lines += ["actions:", *(f"  - {action}" for action in self.actions)] if self.actions else []
        block = "\n".join([*lines, *self.lines])
        return f"\n## {title} {{#{self.id}}}\n\n```step\n{block}\n```\n\nTake your time.\n"


@dataclass
class Piece:
    """A piece of a job: the step that undoes it, those that do it up in their order, and its item."""

    undo: Step
    redo: list[Step]
    item: str


@dataclass
class Job:
    """A job that grows. steps: in no order until they are printed."""

    draw: Callable[[st.SearchStrategy[Any]], Any]
    tables: dict[str, dict[str, str]] = field(
        default_factory=lambda: {table: dict(entries) for table, entries in FIXED.items()}
    )
    steps: list[Step] = field(default_factory=list)
    number: int = 0

    def declare(self, table: str, name: str, entry: str) -> str:
        """Declare something, and return its id."""
        self.tables.setdefault(table, {})[name] = entry
        return name

    def group(self, name: str, held: str, *, sealed: bool) -> tuple[str, list[str]]:
        """Declare bolts that hold an item, and return what undoes them and what does them up."""
        count = self.draw(st.sampled_from([4, 6] if sealed else [1, 2]))
        figure = self.draw(st.sampled_from(["torque", "passes", "snug"])) if not sealed else "passes"
        entry = f"name: bolts {name}, count: {count}, thread: M8x1.25, class: 8.8, into: steel, holds: {held}"
        entry += ", threads: dry, figure-for: dry, torque: 20 N·m, source: sheet" if figure != "snug" else ""
        entry += {"passes": ", passes: [50 %, 100 %]", "snug": ", snug: true", "torque": ""}[figure]
        entry += f", pattern: {{circle: {count}}}" if count > 2 else ""
        entry += f", joint: {'sealed' if sealed else 'bracket'}"
        self.declare("fasteners", name, f"{{{entry}}}")
        to = ", to: snug" if figure == "snug" else ""
        up = [f"{{tighten: {name}{to}}}"]
        if figure == "passes" and self.draw(st.booleans()):
            up = [f"{{tighten: {name}, pass: {number}}}" for number in (1, 2)]
        return f"{{undo: {name}, count: {count}}}", [f"{{start-by-hand: {name}, count: {count}}}", *up]

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        """Let Hypothesis show a job as its pack."""
        printer.text(self.text())

    # --- pieces: n is a number of their own, fluid the circuit that is drained round them, if any

    def plug(self, n: int, fluid: str) -> Piece:
        """A plug that is pulled, and pushed on again."""
        name = self.declare("items", f"plug-{n}", f"{{kind: connection, name: plug {n}, carries: signal}}")
        return Piece(
            Step(f"unplug-{n}", [f"{{disconnect: {name}, label: P{n}}}"], lines=[f"photo: Plug {n}"]),
            [Step(f"plug-{n}-in").again(f"connect: {name}")],
            name,
        )

    def bracket(self, n: int, fluid: str) -> Piece:
        """A part on bolts, taken off or tied aside."""
        aside = self.draw(st.booleans())
        name = self.declare("items", f"bracket-{n}", f"{{kind: part, name: bracket {n}}}")
        undo, (by_hand, *up) = self.group(f"bracket-bolts-{n}", name, sealed=False)
        step = Step(f"bracket-{n}-on").again(f"refit: {name}")
        step.actions.append(by_hand)
        step.again(*up).tools.add("wrench")
        off = "move-aside" if aside else "remove"
        return Piece(Step(f"bracket-{n}-off", [undo, f"{off}: {name}"]), [step], name)

    def port(self, n: int, fluid: str) -> Piece:
        """A port that is opened and covered."""
        name = self.declare("items", f"port-{n}", f"{{kind: opening, name: port {n}, way: port}}")
        cap = self.declare("items", f"cap-{n}", f"{{kind: temporary, name: cap {n}, into: port-{n}}}")
        cover = [f"{{cover: {name}, with: {cap}}}"], [f"uncover: {name}"]
        placed = [f"{{place: {cap}, in: {name}}}"], [f"take-out: {cap}"]
        put, taken = self.draw(st.sampled_from([cover, placed]))
        return Piece(
            Step(f"port-{n}-open", [f"open: {name}", *put]),
            [Step(f"port-{n}-shut").again(*taken, f"shut: {name}")],
            name,
        )

    def pin(self, n: int, fluid: str) -> Piece:
        """Guide studs that are put in and taken out."""
        count = self.draw(st.integers(1, 3))
        name = self.declare("items", f"stud-{n}", f"{{kind: temporary, name: studs {n}, count: {count}}}")
        return Piece(
            Step(f"stud-{n}-in", [f"{{place: {name}, count: {count}}}"]),
            [Step(f"stud-{n}-out").again(f"{{take-out: {name}, count: {count}}}")],
            name,
        )

    def load(self, n: int, fluid: str) -> Piece:
        """A load that is held while something is done below it."""
        name = self.declare("items", f"load-{n}", f"{{kind: load, name: load {n}}}")
        return Piece(
            Step(f"load-{n}-held", [f"support: {name}"]),
            [Step(f"load-{n}-free", [f"release: {name}"])],  # what is still held is a warning
            name,
        )

    def gasketed(self, n: int, fluid: str) -> Piece:
        """A cover on a gasket that is renewed."""
        of = f", fluid: {fluid}" if fluid else ""
        new = "renew: true, one-use: true"
        entry = f"kind: seal, form: gasket, name: gasket {n}, {new}"
        gasket = self.declare("items", f"gasket-{n}", f"{{{entry}}}")
        self.declare("parts", f"new-gasket-{n}", f"{{name: gasket {n}, for: {gasket}}}")
        face = self.declare("items", f"face-{n}", f"{{kind: joint, name: face {n}, sealed-by: {gasket}{of}}}")
        name = self.declare("items", f"lid-{n}", f"{{kind: part, name: lid {n}, sealed-by: {gasket}{of}}}")
        undo, (by_hand, *up) = self.group(f"lid-bolts-{n}", name, sealed=True)
        off = Step(f"lid-{n}-off", [undo, f"remove: {name}", f"remove: {gasket}", f"scrap: {gasket}"])
        clean = Step(f"face-{n}-clean", tools={"scraper"}).again(f"{{clean: {face}, with: scraper}}")
        close = Step(f"lid-{n}-on", lines=[f"parts: [new-gasket-{n}]"])
        close.again(f"fit: {gasket}", f"refit: {name}", f"join: {face}").actions.append(by_hand)
        close.again(*up).tools.add("wrench")
        return Piece(off, [clean, close], name)

    def beaded(self, n: int, fluid: str) -> Piece:
        """A cover on a bead that cures."""
        of, suits = (f", fluid: {fluid}", f", suits: [{fluid}]") if fluid else ("", "")
        method = self.draw(st.sampled_from(["close-wet", "finger-tight-then-torque"]))
        label = f"method: {method}, source: sheet, bead: 3 mm, open-time: 10 min, to-fluid: 24 h, "
        label += "at: {temperature: 23 °C, humidity: 50 %}"
        label += ", to-torque: 60 min" if method != "close-wet" else ""
        bead = self.declare(
            "sealants",
            f"bead-{n}",
            f"{{name: silicone {n}, {label}{suits}}}",
        )
        self.declare("consumables", f"tube-{n}", f"{{name: tube {n}, amount: 10 mL, for: {bead}}}")
        face = self.declare("items", f"rim-{n}", f"{{kind: joint, name: rim {n}, sealed-by: {bead}{of}}}")
        name = self.declare("items", f"cover-{n}", f"{{kind: part, name: cover {n}, sealed-by: {bead}{of}}}")
        undo, (by_hand, *up) = self.group(f"cover-bolts-{n}", name, sealed=True)
        off = Step(f"cover-{n}-off", [undo, f"remove: {name}"])
        clean = Step(f"rim-{n}-clean", tools={"scraper"}).again(f"{{clean: {face}, with: scraper}}")
        close = Step(f"cover-{n}-on", lines=[f"consumables: [tube-{n}]", "waits:"])
        close.lines.append(f"  open-{n}: {{kind: open-time, name: Bead {n} is open, sealant: {bead}}}")
        close.again(f"{{apply: {bead}, to: {face}}}", f"refit: {name}", f"join: {face}").actions.append(
            by_hand
        )
        tight = close
        if method != "close-wet":
            close.actions.append(f"{{tighten: cover-bolts-{n}, to: finger-tight}}")
            close.lines.append(f"  set-{n}: {{kind: set, name: Bead {n} sets, sealant: {bead}}}")
            tight = Step(f"cover-{n}-tight", lines=[f"after: [set-{n}]", "waits:"])
        tight.again(*up).tools.add("wrench")
        tight.lines.append(f"  cured-{n}: {{kind: full-cure, name: Bead {n} cures, sealant: {bead}}}")
        look = Step(f"cover-{n}-cured", lines=[f"after: [cured-{n}]"])
        return Piece(off, [clean, close, *([tight] if tight is not close else []), look], name)

    def drained(self, n: int, fluid: str) -> Piece:
        """A gearbox that is drained and filled."""
        name = self.declare(
            "fluids", f"gear-oil-{n}",
            f"{{name: gear oil {n}, circuit: gear, capacity: 2 L, drains: 2 L, source: sheet}}",
        )  # fmt: skip
        self.declare("consumables", f"oil-can-{n}", f"{{name: gear oil {n}, amount: 2 L, for: {name}}}")
        drain, filler = (
            self.declare(
                "items", f"{way}-{n}", f"{{kind: opening, way: {way}, name: {way} {n}, fluid: {name}}}"
            )
            for way in ("drain", "filler")
        )
        out = Step(
            f"gearbox-{n}-drained", [f"open: {drain}", f"{{drain: {name}, into: pan, expect: 2 L}}"],
            tools={"pan"}, lines=["hazards: [waste]"],
        )  # fmt: skip
        refill = Step(f"gearbox-{n}-filled", lines=[f"consumables: [oil-can-{n}]"]).again(f"shut: {drain}")
        refill.actions.append(f"open: {filler}")
        refill.again(f"{{fill: {name}, volume: 2 L}}", f"shut: {filler}")
        collector = "expect: A named collector, if-outside: Keep it closed, proves: waste-named"
        refill.lines += [
            "readings:",
            f"  poured-{n}: {{ask: How much went in, unit: L}}",
            f"  waste-{n}: {{ask: Who takes the old oil, {collector}}}",
        ]
        return Piece(out, [refill], name)

    def line(self, n: int, fluid: str) -> Piece:
        """A hydraulic line that is parted, joined and bled."""
        fluid = self.declare("fluids", f"hydraulic-{n}", f"{{name: hydraulic oil {n}, circuit: hydraulic}}")
        name = self.declare("items", f"line-{n}", f"{{kind: connection, name: line {n}, fluid: {fluid}}}")
        cap = self.declare("items", f"cap-{n}", f"{{kind: temporary, name: cap {n}, into: line-{n}}}")
        off = Step(f"line-{n}-off", [f"relieve: {fluid}", f"{{disconnect: {name}, label: L{n}}}"])
        off.actions.append(f"{{place: {cap}, in: {name}}}")
        joined = Step(f"line-{n}-on").again(f"take-out: {cap}", f"connect: {name}")
        return Piece(off, [joined, Step(f"line-{n}-bled").again(f"bleed: {fluid}")], name)

    KINDS = (plug, bracket, port, pin, load, gasketed, beaded, drained, line)

    # --- what is done round a whole job

    def earth(self) -> tuple[Step, Step]:
        """The battery's earth lead is off: first off, last on."""
        name = self.declare("items", "earth", "{kind: earth-lead, name: battery earth lead, carries: earth}")
        self.declare(
            "follow-ups", "clock", "{name: Clock, after: 1 day, what: Is it right, checks: settings}"
        )
        back = Step("earth-on").again(f"connect: {name}")
        settings = "ask: Clock and radio, expect: Set again, if-outside: Set them, proves: settings"
        back.lines += ["readings:", f"  settings: {{{settings}}}"]
        return Step("earth-off", [f"disconnect: {name}"]), back

    def fan(self) -> tuple[Step, Step]:
        """A fan that could start by itself is locked off."""
        name = self.declare("energy", "fan", "{kind: fan, name: electric fan, lock: Unplug it and tag it}")
        return Step("fan-off", [f"isolate: {name}"]), Step("fan-on").again(f"restore: {name}")

    def stands(self) -> tuple[Step, Step]:
        """The vehicle stands on stands. It may stay chocked."""
        fall = ["hazards: [falling-vehicle]"]
        up = Step("up", ["chock: wheels", "raise: jack", "raise: stands"], lines=fall)
        down = Step("down", lines=fall).again("lower: vehicle")
        down.actions.append("unchock: wheels")
        return up, down

    ROUND = (earth, fan, stands)

    # --- growing

    def grow(self, above: Step | None, room: int, fluid: str) -> Step:
        """Grow a piece below a step that undoes what is in its way, and return its last step."""
        self.number += 1
        n = self.number
        piece: Piece = self.draw(st.sampled_from(self.KINDS))(self, n, fluid)
        inner = piece.item if piece.item in self.tables["fluids"] else fluid
        piece.undo.needs |= {above.id} if above else set()
        first = piece.redo[0]
        first.needs.add(piece.undo.id)
        for earlier, later in zip(piece.redo, piece.redo[1:], strict=False):
            later.needs.add(earlier.id)
        self.steps += [piece.undo, *piece.redo]
        for _ in range(self.draw(st.integers(0, min(2, room - n))) if n < room else 0):
            if self.number < room:
                first.needs.add(self.grow(piece.undo, room, inner).id)
        return piece.redo[-1]

    def runs(self, last: list[Step]) -> None:
        """Let the engine be run at the end, with everything that this needs."""
        lines = ["hazards: [exhaust-gas, moving-parts]", "readings:"]
        dipstick = "ask: How is the oil, expect: Between the marks, if-outside: Top it up"
        minute = "ask: What do you see, expect: Dry all over, if-outside: Stop"
        start = Step(
            "start", ["ventilate: doors-open", "key: \"on\"", "start: engine"], tools={"extinguisher"},
            lines=[
                *lines,
                f"  dipstick: {{{dipstick}, proves: level, of: engine-oil}}",
                f"  minute: {{{minute}, proves: first-minute}}",
            ],
            needs={step.id for step in last},
        )  # fmt: skip
        stop = Step("stop", needs={"start"}).again("stop: engine")
        stop.actions.append("key: out")
        stop.lines += ["hazards: [exhaust-gas, moving-parts, hot-metal]", "readings:"]
        stop.lines += [f"  hot: {{{minute}, proves: hot-look}}", "waits:"]
        stop.lines += ["  cools: {kind: cool-down, name: It cools, until: A hand can rest on it}"]
        cold = Step("cold-look", needs={"stop"}, lines=["after: [cools]", "readings:"])
        cold.lines += [f"  cold: {{{minute}, proves: cold-level}}"]
        self.declare(
            "follow-ups", "level", "{name: Level, after: 1 day, what: Read it, checks: [level, leak]}"
        )
        self.steps += [start, stop, cold]

    def printed(self) -> None:
        """Put the steps into one of the orders that they allow, and add some `needs` that it keeps."""
        left, done = list(self.steps), list[Step]()
        while left:
            ready = [step for step in left if step.needs <= {one.id for one in done}]
            step = self.draw(st.sampled_from(ready))
            if done and self.draw(st.integers(0, 3)) == 0:
                step.needs.add(self.draw(st.sampled_from(done)).id)
            left.remove(step)
            done.append(step)
        self.steps = done

    def text(self, without: tuple[str, int] | None = None) -> str:
        """Return the pack. without: a step and the place of the one action that is left out of it."""
        front = HEAD
        used = {tool for step in self.steps for tool in step.tools}
        for table, declared in self.tables.items():
            entries = {one: entry for one, entry in declared.items() if table != "tools" or one in used}
            if not entries:
                continue
            front += f"{table}:\n" + "".join(f"  {name}: {entry}\n" for name, entry in entries.items())
        body = ""
        for number, step in enumerate(self.steps):
            actions = [one for at, one in enumerate(step.actions) if (step.id, at) != without]
            whole = Step(step.id, actions, set(), step.tools, step.lines, step.needs)
            body += whole.text(f"Do number {number + 1}")
        return f"{front}---\n\n# The job\n{body}"

    def redone(self) -> list[tuple[str, int]]:
        """Return every action that does something up again."""
        return [(step.id, at) for step in self.steps for at in sorted(step.redo)]


@st.composite
def jobs(draw: Any) -> Job:
    """Draw a job of up to four pieces, sometimes with a run of the engine at its end."""
    job = Job(draw)
    room = draw(st.integers(1, 4))
    last: list[Step] = []
    rounds = [piece(job) for piece in Job.ROUND if draw(st.integers(0, 2)) == 0]
    for (outer, _), (inner, _) in pairwise(rounds):
        inner.needs.add(outer.id)
    while job.number < room:
        last.append(job.grow(rounds[-1][0] if rounds else None, room, ""))
    for undo, redo in reversed(rounds):
        redo.needs |= {undo.id, *(step.id for step in last)}
        job.steps += [undo, redo]
        last = [redo]
    if draw(st.booleans()):
        job.runs(last)
    job.printed()
    return job
