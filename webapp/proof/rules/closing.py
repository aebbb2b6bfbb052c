"""R48–R54: looks, follow-ups, pictures, and a pack that hangs together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import islice
from typing import Any, NamedTuple

from webapp.pack.actions import Connect, Disconnect, Fit, Refit, Remove, Tighten, Verb
from webapp.pack.compiled import holds

from ..job import MOST_ANSWERS, Job, JobStep
from ..rule import SOME, Found, Row, Rule, Spot
from ..shown import is_drawn, is_photographed, stems
from .in_turn import tested_elsewhere, unmade, watched_too_briefly
from .waited import unwaited

LOOKED = frozenset({"quiet", "worked", "seen"})
ALIKE = 3
"""Connections that carry the same and are open at once are mixed up from this many on."""

GENERIC = stems("connections hoses plugs lines pipes leads wires cables connectors tubes loom routing")
"""What captions call connections of any kind."""


# --- R49


def wheels(job: Job) -> Iterator[Found]:
    """Yield each group of wheel fasteners that is tightened, and that no follow-up looks at again."""
    if any("wheel-fasteners" in one.checks for one in job.front.follow_ups.values()):
        return
    last: dict[str, Spot] = {}
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Tighten) and job.front.fasteners[action.tighten].joint == "wheel":
                last[action.tighten] = Spot(step.id, ("actions", at))
    for name, spot in last.items():
        yield Found(
            spot,
            f"no follow-up looks at the {job.front.fasteners[name].name} again",
            "under `follow-ups`: “wheels: {name: Wheel fasteners, distance: 100 km, checks: wheel-fasteners, "
            "what: Tighten them to their figure again.}”",
            severity="warning",
        )


# --- R50


class Undone(NamedTuple):
    """A connection that is undone or made."""

    step: JobStep
    at: int
    name: str
    opens: bool
    known: bool  # labelled, drawn or photographed


def alike(job: Job) -> Iterator[Found]:
    """Yield each lot of connections that carry the same, are open at once, and cannot be told apart."""
    lots: dict[str, list[Undone]] = defaultdict(list)
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Disconnect | Remove | Connect | Refit | Fit):
                continue
            name = action.target()
            item = job.front.items[name]
            if item.kind == "connection" and item.carries:
                known = isinstance(action, Disconnect) and bool(action.label)
                opens = isinstance(action, Disconnect | Remove)
                lots[item.carries].append(Undone(step, at, name, opens, known))
    for carries, lot in lots.items():
        if sum(job.front.items[name].count for name in {one.name for one in lot if one.opens}) >= ALIKE:
            yield from mixed_up(job, carries, lot)


def mixed_up(job: Job, carries: str, lot: list[Undone]) -> Iterator[Found]:
    """Yield the first connection of a lot that makes it one to be mixed up."""
    pictured: dict[tuple[str, int], bool] = {}

    def known(one: Undone) -> bool:
        key = one.step.id, one.at
        if key not in pictured:
            names = stems(job.front.items[one.name].name) | stems(carries) | GENERIC
            pictured[key] = one.known or is_drawn(job, names) or is_photographed(job, one.step, names)
        return pictured[key]

    questions = {question for one in lot for question in one.step.data.when}
    for answers in islice(job.combinations(questions), MOST_ANSWERS):
        is_open: dict[str, Undone] = {}
        for one in lot:
            if not holds(one.step.data.when, answers):
                continue
            if not one.opens:
                is_open.pop(one.name, None)
                continue
            is_open.setdefault(one.name, one)  # what is disconnected and then taken out has its label
            unknown = [other for other in is_open.values() if not known(other)]
            counted = [
                sum(job.front.items[two.name].count for two in lot) for lot in (is_open.values(), unknown)
            ]
            if counted[0] >= ALIKE and counted[1] > 1:  # a single one is told by the others' labels
                last = unknown[-1]
                names = " and ".join(job.front.items[two.name].name for two in unknown[-2:])
                yield Found(
                    Spot(last.step.id, ("actions", last.at)),
                    f"{counted[0]} connections that carry {carries.replace('-', ' ')} are open at once, "
                    f"and nothing tells {names} apart",
                    "“label: …” beside each `disconnect`, or a `photo` of them in this step or in one before "
                    "it",
                    also=Spot(unknown[-2].step.id, ("actions", unknown[-2].at)) if unknown[1:] else None,
                    severity="warning",
                    answers=told(answers),
                )
                return


# --- R52 and R53


def told(answers: dict[str, str]) -> tuple[str, ...]:
    """Return answers as a finding names them."""
    return tuple(f"{question} = {answer}" for question, answer in answers.items())


def named_in(job: Job, action: Verb) -> Iterator[tuple[str, str, Any]]:
    """Yield what an action names that only some vehicles may have: table, id and what is declared."""
    names = [str(getattr(action, key, None) or "") for key in ("with_", "in_", "to")]
    table, thing = job.front.object_of(action)
    if table in ("items", "fasteners"):
        yield table, action.target(), thing
    for name in names:
        if name in job.front.items:
            yield "items", name, job.front.items[name]


def missing(job: Job, *, asked: bool) -> Iterator[Found]:
    """Yield each thing that is worked on at a vehicle that does not have it.

    asked: of steps that ask the questions that the thing hangs on; else of steps that leave one out.
    """
    tables = (job.front.items, job.front.fasteners)
    if not any(one.when for table in tables for one in table.values()):
        return
    seen: set[tuple[str, str]] = set()
    for step in job.steps:
        when = step.data.when
        for at, action in enumerate(step.actions):
            for table, name, thing in named_in(job, action):
                left_out = thing.when.keys() - when.keys()
                if not thing.when or (step.id, name) in seen or bool(left_out) == asked:
                    continue
                lacks = without(job, when, thing.when)
                if lacks is None:
                    continue
                seen.add((step.id, name))
                condition = ", ".join(f"{one}: {' or '.join(thing.when[one])}" for one in thing.when)
                if asked:
                    what = f"this step is shown to vehicles that have no {thing.name}"
                else:
                    what = f"only some vehicles have the {thing.name}, and this step does not ask which"
                yield Found(
                    Spot(step.id, ("actions", at)),
                    what,
                    f"“when: {{{condition}}}” in this step, or a step of its own for the {thing.name}",
                    also=Spot(None, (table, name)),
                    answers=told(lacks),
                )


def without(job: Job, when: dict[str, list[str]], has: dict[str, list[str]]) -> dict[str, str] | None:
    """Return answers that select a step of a vehicle which does not have a thing, or None."""
    for answers in islice(job.combinations({*when, *has}), MOST_ANSWERS):
        if holds(when, answers) and not holds(has, answers):
            return answers
    return None


def not_there(job: Job) -> Iterator[Found]:
    """Yield what a step that asks works on although the vehicle does not have it."""
    return missing(job, asked=True)


def not_asked(job: Job) -> Iterator[Found]:
    """Yield what a step works on without asking whether the vehicle has it."""
    return missing(job, asked=False)


def never_met(job: Job) -> Iterator[Found]:
    """Yield each condition of a step, a question or a thing that no vehicle meets."""
    asked = list(job.front.questions)
    if any(
        asked.index(earlier) > at
        for at, one in enumerate(job.front.questions.values())
        for earlier in one.when
    ):
        return  # R53 asks for the questions to be put in order first
    owners = [(Spot(step.id, ("when",)), f"the step “{step.id}”", step.data.when) for step in job.steps]
    for table in ("questions", "items", "fasteners"):
        entries: dict[str, Any] = getattr(job.front, table)
        owners += [
            (Spot(None, (table, name, "when")), f"“{name}”", entry.when) for name, entry in entries.items()
        ]
    judged: dict[str, bool] = {}
    for spot, owner, when in owners:
        if len(when) < 2 and not any(job.front.questions[one].when for one in when):
            continue
        key = repr(sorted(when.items()))
        if key not in judged:
            judged[key] = can_be_met(job, when)
        if not judged[key]:
            yield Found(
                spot,
                f"no vehicle gives all the answers that {owner} asks for",
                "the answers under which the questions in its `when` are asked at all",
            )


def can_be_met(job: Job, when: dict[str, list[str]]) -> bool:
    """Return whether some answers ask all these questions and meet the condition."""
    walked = 0
    for answers in islice(job.combinations(set(when)), MOST_ANSWERS):
        walked += 1
        if when.keys() <= answers.keys() and holds(when, answers):
            return True
    return walked == MOST_ANSWERS  # not all were looked at


BEHIND_WHAT = "{name} is {state}, and “{moment}” is behind it"
BEHIND_WRITE = "take it off before this, and put it on after it; or take this out of its `hides`"
OFF = frozenset({"off", "aside", "scrapped", "left off"})

RULES: tuple[Rule, ...] = (
    Rule(
        "R48",
        "Looked at in the first minute, hot, and cold",
        "Most leaks show in the first minute, when it is hot, or as a low level the next morning.",
        "warning",
        "After work on a cooling, oil, fuel, steering or hydraulic circuit, the first start is followed by "
        "readings that prove `first-minute` and `hot-look`; after work on the cooling circuit also "
        "`cold-level`, or a follow-up that checks the level. A start that comes before the work asks for "
        "nothing. A cold level is read once the engine has cooled since it ran.",
        rows=(
            Row(
                "look",
                "end",
                LOOKED,
                "the engine runs after the work, and {name} is {state}",
                "a reading with `proves: {object}` after the start",
                "warning",
                only=frozenset({"first-minute", "hot-look"}),
                do="Make {name}.",
            ),
            Row(
                "look",
                "end",
                LOOKED,
                "the engine runs after the work, and nobody reads {name}",
                "a reading with `proves: cold-level` after the engine has cooled, or a follow-up with "
                "“checks: level”",
                "warning",
                only=frozenset({"cold-level"}),
                unless=frozenset({"follow-up-level"}),
                do="Read the level once the engine is cold.",
            ),
            Row(
                "heat",
                "reads-cold-level",
                frozenset({"unknown", "warm", "cold"}),
                "{name} is {state} when its cold level is read",
                "a wait of kind `cool-down` after the engine stops, and `after:` that wait in “{step}”; or a "
                "reading with `proves: cold` before it",
                "warning",
                do="Wait until the engine is cold.",
            ),
        ),
    ),
    Rule(
        "R49",
        "Follow-ups and relearns set",
        "What settles, stretches or has to be learned again shows days later, when nobody thinks of it.",
        "warning",
        "A follow-up checks the level after the cooling circuit was opened and run, a new belt that was "
        "tensioned, and wheel fasteners (`joint: wheel`). After the earth lead or the throttle was off and "
        "the engine runs again, a reading that proves `settings` or a follow-up that checks `settings` or "
        "`idle` looks after what the battery forgot.",
        rows=(
            Row(
                "look",
                "end",
                frozenset({"quiet", "worked", "due", "due, worked on"}),
                "the cooling circuit was opened, and no follow-up looks at its level again",
                "under `follow-ups`: “level: {{name: Cold level, after: 1 day, checks: level, what: Read the "
                "level cold.}}”",
                "warning",
                only=frozenset({"cold-level"}),
                unless=frozenset({"follow-up-level"}),
            ),
            Row(
                "belt",
                "end",
                frozenset({"slack", "run in"}),  # R42 asks for what these need
                "no follow-up looks at the new {name} again",
                "under `follow-ups`: “belt: {{name: Belt, heat-cycles: 3, checks: belt, what: Press the belt "
                "and look at its edges.}}”",
                "warning",
                unless=frozenset({"follow-up-belt", "timed"}),
                only=frozenset({"new-drive"}),
            ),
            Row(
                "settings",
                "end",
                frozenset({"quiet", "lost", "seen"}),
                "the battery was off its lead, and nobody looks after idle, clock and windows",
                "a reading with `proves: settings` after the earth lead is on, or a follow-up with “checks: "
                "[settings, idle]”",
                "warning",
                unless=frozenset({"follow-up-settings", "follow-up-idle"}),
                only=frozenset({"battery"}),
                do="Set clock and windows, and let the idle settle.",
            ),
            Row(
                "settings",
                "end",
                frozenset({"quiet", "lost", "seen"}),
                "the throttle was off, and nobody looks whether the idle has settled",
                "a reading with `proves: settings` after the start, or a follow-up with “checks: "
                "[settings, idle]”",
                "warning",
                unless=frozenset({"follow-up-settings", "follow-up-idle"}),
                only=frozenset({"throttle"}),
                do="Let the idle settle.",
            ),
        ),
        judges=(wheels,),
    ),
    Rule(
        "R50",
        "Picture before undoing",
        "Two swapped vacuum lines look right, and cost a day of looking for the fault.",
        "warning",
        "Where three or more connections that carry the same are open at once, all but one have a label, a "
        "drawing, or a photo in the same step or in one before it. The path of a belt is R42. How a hose end "
        "is turned cannot be seen from the data.",
        judges=(alike,),
    ),
    Rule(
        "R51",
        "Every wait has a number",
        "“Let it cure” alone can neither be timed nor checked.",
        "error",
        "A wait has a time, a condition to see, or a sealant whose label gives the time; a follow-up says "
        "when. The compiler checks this before the rules are walked. A wait that nobody stays with has a "
        "later step that is `after` it.",
        judges=(unwaited,),
    ),
    Rule(
        "R52",
        "The pack hangs together",
        "A step that cannot be done as it stands leaves a person under the car with a wrong list.",
        "error",
        "Nothing is undone, opened or taken off twice, or used before it is there. What a part hides "
        "(`hides`) is worked on only while the part is off. A part comes off, or aside, and a line or a "
        "lead off, only after each group that `holds` it is out or loose; a line may stay on its "
        "bracket. A drive is tensioned only while what holds it is not tight. "
        "A step that asks what a vehicle has works on nothing that it lacks. Every condition can be met. "
        "A temporary item goes in after the step that uses up what is `for` it. A tester sits in an opening "
        "of the circuit that is tested, and its clock runs as long as the test. "
        "Unknown names are the compiler's own findings.",
        rows=(
            *(
                Row(
                    machine,
                    "behind",
                    allowed,
                    BEHIND_WHAT,
                    BEHIND_WRITE,
                    unless=frozenset(unless),
                    anywhere=False,
                    do="{name} is in the way: take it off first.",
                )
                for machine, allowed, unless in (
                    ("part", OFF, {"disconnected"}),
                    ("parts", frozenset({SOME}), ()),
                    ("added", frozenset({"none", "off"}), ()),
                    ("connection", frozenset({"undone"}), ()),
                )
            ),
            *(
                Row(
                    "group",
                    moment,
                    frozenset({"out", "loose"}),
                    "“{moment}”, and what holds it, {name}, is {state}",
                    "“- undo: {object}” before it, or “- loosen: {object}” where that is enough",
                    unless=frozenset(unless),
                    anywhere=False,
                    do="Take out {name} first.",
                )
                for moment, unless in (
                    ("removes", ()),
                    ("moves-aside", ()),
                    ("disconnects", {"joint-bracket"}),  # a line comes off its union, and its bracket stays
                    ("earth-off", ()),
                )
            ),
            Row(
                "group",
                "tensions",
                frozenset(),
                "“{moment}”, and what holds it, {name}, is {state}",
                "“- loosen: {object}” before it",
                anywhere=False,
                barred=frozenset({"tight", "torqued"}),
                do="Loosen {name} first.",
            ),
        ),
        judges=(not_there, never_met, unmade, tested_elsewhere, watched_too_briefly),
    ),
    Rule(
        "R53",
        "A variant is asked before it matters",
        "A person who is told to take off what this vehicle does not have looks for it for an hour.",
        "error",
        "A step that works on what only some vehicles have (`when` of an item or a group) names each of "
        "those questions in its own `when`. The compiler checks that a question stands above those that hang "
        "on it.",
        judges=(not_asked,),
    ),
    Rule(
        "R54",
        "Figures have a source",
        "A figure that nobody can look up cannot be argued with.",
        "warning",
        "Torques, angles from touch and the times of sealants name a source, which may be “common practice, "
        "no source”. The compiler checks this before the rules are walked.",
    ),
)
