"""What a sheet says: a compiled pack under its answers, gathered into the tables that are printed. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from webapp.drawing import Tightening, tightening
from webapp.pack import schema
from webapp.pack.actions import Cover, Drain, Fill, Verb
from webapp.pack.amounts import Amount
from webapp.pack.check import CURES, seconds
from webapp.pack.compiled import CompiledPack, Phase, Reading, Step, Wait, holds
from webapp.plan.kit import Kit, kit
from webapp.plan.time import Times, duration, times
from webapp.proof.explain import explanations
from webapp.trade.passes import staged
from webapp.trade.units import Figure

MOST_UNDRAWN = 2  # so few bolts need no drawing, unless the maker prints an order
SIGNAL_WORDS = ("danger", "warning", "caution", "notice")  # gravest first


@dataclass(frozen=True, slots=True)
class Asked:
    """A question of the pack, with the words of its answer, or None while it is open."""

    question: schema.Question
    answer: str | None


@dataclass(frozen=True, slots=True)
class Danger:
    """A hazard and the numbers of the steps it belongs to."""

    id: str
    hazard: schema.Hazard
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass of a tightening: its share if it was written as one, and its figure."""

    share: Figure | None
    figure: Figure | None


@dataclass(frozen=True, slots=True)
class Torque:
    """A line of the torque table: fasteners of one group, or of one length that has its own figure."""

    group: schema.Fasteners
    count: int
    length: str
    full: Figure | None
    passes: tuple[Pass, ...]
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drawing of a group's tightening order."""

    group: schema.Fasteners
    tightening: Tightening


@dataclass(frozen=True, slots=True)
class Balance:
    """A fluid that goes out or in: how much, and at which steps. None: the pack does not say."""

    fluid: schema.Fluid
    expected: Figure | None
    goes_in: Figure | None
    mix: Figure | None
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Temporary:
    """Something that is put in for a while, with the steps that put it in and take it out."""

    item: schema.Item
    placed: tuple[int, ...]
    taken_out: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding that the author accepts: the rule in words, where it is, and why it may stand."""

    code: str
    title: str
    place: str
    reason: str


@dataclass(frozen=True)
class Contents:
    """Everything that one sheet says. answers: those that count, as `webapp.plan.answers` gives them."""

    pack: CompiledPack
    answers: dict[str, str]

    # Front ---------------------------------------------------------------------------------------

    @property
    def front(self) -> schema.FrontMatter:
        """Return what the author declared."""
        return self.pack.front

    @cached_property
    def steps(self) -> list[Step]:
        """Return the steps that the answers select."""
        return self.pack.selected(self.answers)

    @cached_property
    def phases(self) -> list[tuple[Phase, list[Step]]]:
        """Return the phases that have a step, with their steps."""
        found = [
            (phase, [step for step in self.steps if step.phase == phase.id]) for phase in self.pack.phases
        ]
        return [(phase, steps) for phase, steps in found if steps]

    @cached_property
    def asked(self) -> list[Asked]:
        """Return the questions that arise under the answers."""
        return [
            Asked(question, question.answers.get(self.answers.get(name, "")))
            for name, question in self.front.questions.items()
            if holds(question.when, self.answers)
        ]

    @cached_property
    def dangers(self) -> list[Danger]:
        """Return the hazards of the selected steps, gravest first."""
        found = [
            Danger(name, hazard, tuple(step.number for step in self.steps if name in step.hazards))
            for name, hazard in self.pack.hazards.items()
        ]
        return sorted(
            (danger for danger in found if danger.steps),
            key=lambda danger: (SIGNAL_WORDS.index(danger.hazard.word), danger.steps[0]),
        )

    @cached_property
    def kit(self) -> Kit:
        """Return what is bought and laid out."""
        return kit(self.pack, self.answers)

    @cached_property
    def times(self) -> Times:
        """Return how long the job takes."""
        return times(self.steps)

    @cached_property
    def crew(self) -> dict[int, tuple[int, ...]]:
        """Return how many people are needed, more than one, with the numbers of the steps that need them."""
        counts = sorted({step.people for step in self.steps if step.people > 1})
        return {
            people: tuple(step.number for step in self.steps if step.people == people) for people in counts
        }

    # Steps ---------------------------------------------------------------------------------------

    def only_if(self, step: Step) -> list[str]:
        """Return the open questions that a step depends on, each with the answers that want it."""
        questions = self.front.questions
        return [
            f"{questions[name].ask} {' or '.join(questions[name].answers[one] for one in wanted)}"
            for name, wanted in step.when.items()
            if name not in self.answers
        ]

    @cached_property
    def wait_names(self) -> dict[str, str]:
        """Return the name of each wait of the whole pack by its id."""
        return {wait.id: wait.name for step in self.pack.steps for wait in step.waits}

    def first_time(self, hazard: str, step: Step) -> bool:
        """Return whether a hazard has not stood at an earlier selected step."""
        return next(danger.steps[0] for danger in self.dangers if danger.id == hazard) == step.number

    def in_hand(self, step: Step) -> list[str]:
        """Return the names of what a step needs in the hand, that the answers leave in the kit."""
        tables = (
            (step.tools, self.kit.tools),
            (step.parts, self.kit.parts),
            (step.consumables, self.kit.consumables),
        )
        return [table[name].name for names, table in tables for name in names if name in table]

    # Records -------------------------------------------------------------------------------------

    def actions(self, *verbs: str) -> Iterator[tuple[Step, Verb]]:
        """Yield the actions of these verbs with their steps, in order."""
        for step in self.steps:
            for action in step.actions:
                if action.verb() in verbs:
                    yield step, action

    def steps_with(self, target: str, *verbs: str) -> tuple[int, ...]:
        """Return the numbers of the steps that do one of these verbs to a target."""
        found = (step.number for step, action in self.actions(*verbs) if action.target() == target)
        return tuple(dict.fromkeys(found))

    @cached_property
    def torques(self) -> list[Torque]:
        """Return the torque table: every group that a selected step tightens or turns."""
        found = []
        for name, group in self.front.fasteners.items():
            steps = tuple(
                dict.fromkeys(
                    step.number
                    for step, action in self.actions("tighten", "turn")
                    if action.target() == name and getattr(action, "to", "") != "finger-tight"
                )
            )
            own = [part for part in group.lengths if part.torque]
            rest = group.total() - sum(part.count for part in own)
            lines = [(part.count, part.length.text, part.torque) for part in own]
            if rest or not own:
                lines.insert(0, (rest, "", group.torque))
            if steps:
                found += [
                    Torque(group, count, length, torque, passes(group, torque), steps)
                    for count, length, torque in lines
                ]
        return found

    @cached_property
    def drawings(self) -> list[Drawn]:
        """Return the drawings of the groups on the torque table whose pattern the author told."""
        groups = {id(torque.group): torque.group for torque in self.torques}.values()
        found = ((group, tightening(group)) for group in groups)
        return [
            Drawn(group, drawn)
            for group, drawn in found
            if drawn and (drawn.by_maker or len(drawn.order) > MOST_UNDRAWN)
        ]

    @cached_property
    def clocks(self) -> list[tuple[Step, Wait]]:
        """Return every wait with the step that begins it."""
        return [(step, wait) for step in self.steps for wait in step.waits]

    def label_time(self, wait: Wait) -> Amount | None:
        """Return what the label of its sealant says of a clock; None for a clock without a label."""
        sealant = self.front.sealants.get(wait.sealant or "")
        found: Amount | None = getattr(sealant, CURES.get(wait.kind, ""), None)
        return found

    def clock_time(self, step: Step, wait: Wait) -> str:
        """Return the time of a clock as its author wrote it; nothing when something is only seen."""
        said = [one for one in (*step.amounts, self.label_time(wait)) if one and one.kind == "duration"]
        written = {seconds(one): one.text for one in reversed(said) if one.form == "figure"}
        least, most = (
            None if time is None else written.get(time, duration(time)) for time in (wait.least, wait.most)
        )
        if least and most and least != most:
            return f"{least} to {most}"
        return least or (f"at most {most}" if most else "")

    def by_label(self, wait: Wait) -> bool:
        """Return whether a clock lasts just as long as the label of its sealant says."""
        label = self.label_time(wait)
        if label is None:
            return False
        return (
            wait.most == seconds(label) if wait.kind == "open-time" else wait.least == seconds(label, "most")
        )

    @cached_property
    def compared(self) -> list[tuple[Step, Reading, Step, Reading]]:
        """Return the readings that are set against an earlier one: before and after, each with its step."""
        taken = {reading.id: (step, reading) for step in self.steps for reading in step.readings}
        return [
            (*taken[after.before], step, after)
            for step in self.steps
            for after in step.readings
            if after.before in taken
        ]

    @cached_property
    def fluids(self) -> list[Balance]:
        """Return the fluids that a selected step drains, rinses or fills."""
        found = []
        for name, fluid in self.front.fluids.items():
            steps = self.steps_with(name, "drain", "rinse", "fill")
            here = [action for _, action in self.actions("drain", "fill") if action.target() == name]
            expected = next((a.expect for a in here if isinstance(a, Drain) and a.expect), fluid.drains)
            volume = next((a.volume for a in here if isinstance(a, Fill) and a.volume), fluid.capacity)
            mix = next((a.mix for a in here if isinstance(a, Fill) and a.mix), fluid.mix)
            if steps:
                found.append(Balance(fluid, expected, volume, mix, steps))
        return found

    @cached_property
    def temporaries(self) -> list[Temporary]:
        """Return what is put in for a while; what covers an opening comes out when that is uncovered."""
        found = []
        for name, item in self.front.items.items():
            covers = [(s, a) for s, a in self.actions("cover") if isinstance(a, Cover) and a.with_ == name]
            openings = {action.target() for _, action in covers}
            placed = {*self.steps_with(name, "place"), *(step.number for step, _ in covers)}
            out = {
                *self.steps_with(name, "take-out"),
                *(number for opening in openings for number in self.steps_with(opening, "uncover")),
            }
            if placed:
                found.append(Temporary(item, tuple(sorted(placed)), tuple(sorted(out))))
        return found

    @cached_property
    def cuts(self) -> list[tuple[schema.Cut, tuple[int, ...]]]:
        """Return the holes and threads that are cut, with their steps."""
        found = ((cut, self.steps_with(name, "drill", "tap")) for name, cut in self.front.cuts.items())
        return [(cut, steps) for cut, steps in found if steps]

    @cached_property
    def handed_over(self) -> list[tuple[schema.HandOver, tuple[int, ...]]]:
        """Return the work that goes to a licensed person, with its steps."""
        found = ((work, self.steps_with(name, "hand-over")) for name, work in self.front.hand_overs.items())
        return [(work, steps) for work, steps in found if steps]

    @cached_property
    def photos(self) -> list[tuple[Step, str]]:
        """Return the photos to take, with their steps."""
        return [(step, photo) for step in self.steps for photo in step.photos]

    @cached_property
    def safe_stops(self) -> list[Step]:
        """Return the steps after which the job can be left overnight."""
        return [step for step in self.steps if step.safe_stop]

    @cached_property
    def accepted(self) -> list[Accepted]:
        """Return what the author accepts. What concerns only other vehicles is told too."""
        known = explanations()
        return [
            Accepted(
                one.code,
                known[one.code].title if one.code in known else "",
                self.place_of(one.at),
                one.reason,
            )
            for one in self.front.accept
        ]

    def place_of(self, name: str) -> str:
        """Return a step or a declared thing in words: “step 4, Tighten the cover”, “cover bolts”."""
        step = next((step for step in self.pack.steps if step.id == name), None)
        if step:
            return f"step {step.number}, {step.title}"
        tables = (getattr(self.front, key) for key in type(self.front).model_fields)
        entry = next((table[name] for table in tables if isinstance(table, dict) and name in table), None)
        return getattr(entry, "name", name)


def passes(group: schema.Fasteners, torque: Figure | None) -> tuple[Pass, ...]:
    """Return the passes of a group with the figure of each; the last, or only, one is the full figure."""
    found = []
    for one in group.passes[:-1]:
        share = one.nominal / 100 if one.kind == "share" and one.nominal else None
        found.append(Pass(one, staged(torque, share)) if share and torque else Pass(None, one))
    last = next((one for one in group.passes[-1:] if one.kind == "share"), None)
    return (*found, Pass(last, torque))


def numbers(steps: tuple[int, ...]) -> str:
    """Return step numbers as they are read: “step 4”, “steps 4, 7 and 9”."""
    *first, last = map(str, steps)
    return f"steps {', '.join(first)} and {last}" if first else f"step {last}"
