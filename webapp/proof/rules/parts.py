"""R42–R45: drives, timed parts, comparing and cutting."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Fit, MoveAside, Refit, Remove

from ..job import Job
from ..relations import is_belt
from ..rule import ALL, Found, Row, Rule, Spot
from ..shown import is_drawn, is_photographed, stems
from .in_turn import compared_too_soon

ON = frozenset({"fitted", "left off"})
CLEAR = frozenset({"none", "cleared"})
CHIPS_WRITE = "“- clear-chips: {object}” before it"
SEEN = frozenset({"quiet", "seen"})
RIBS_WRITE = (
    "a reading with `proves: belt-seen` after the belt is on: “ask: How does the belt sit?” with "
    "“expect: In all its grooves, on every pulley”"
)
TENSION_WRITE = "“- tension: {object}” after it goes on"
USED_WRITE = (
    "“- tension: {object}” with “as: used” once the engine has run 10 to 15 min, or a follow-up with "
    "“checks: belt” that sets it"
)


def belt_paths(job: Job) -> Iterator[Found]:
    """Yield each belt that comes off and goes on again although nothing shows how it ran."""
    back = {
        action.target() for step in job.steps for action in step.actions if isinstance(action, Fit | Refit)
    }
    told: set[str] = set()
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Remove | MoveAside):
                continue
            name = action.target()
            item = job.front.items[name]
            if not is_belt(item) or name in told or name not in back:
                continue
            told.add(name)
            names = stems(item.name) | {"belt"}
            if not (is_drawn(job, names) or is_photographed(job, step, names)):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"the {item.name} comes off, and no picture shows its path",
                    "a `photo` of the path in this step or in one before it, or a drawing of the path whose "
                    "words name the belt",
                    also=Spot(None, ("items", name)),
                    severity="warning",
                )


RULES: tuple[Rule, ...] = (
    Rule(
        "R42",
        "Belt path and tension proven",
        "A belt on the wrong side of a pulley, one rib off or slack is thrown, and takes hoses and cooling "
        "with it.",
        "warning",
        "A photo or a drawing shows the path of a belt before it comes off. A reading that proves "
        "`belt-seen` follows when a belt goes on, before the engine starts. A belt that the pack tensions is "
        "not slack at a start or at the end. One that was set as new is set again as used once it has run, "
        "here or by a follow-up that checks the belt. A belt that no step tensions tensions itself. A chain "
        "is no belt.",
        rows=(
            Row(
                "due",
                "starts",
                SEEN,
                "a belt goes on at “{since}”, and nobody has looked at its grooves when the engine starts",
                RIBS_WRITE,
                "warning",
                only=frozenset({"belt-seen"}),
                do="Look whether the belt sits in all its grooves, on every pulley.",
            ),
            Row(
                "due",
                "end",
                SEEN,
                "a belt goes on at “{since}”, and nobody looks whether it sits in all its grooves",
                RIBS_WRITE,
                "warning",
                only=frozenset({"belt-seen"}),
                do="Look whether the belt sits in all its grooves, on every pulley.",
            ),
            *(
                Row(
                    "belt",
                    moment,
                    frozenset({"set", "new", "run in", "used"}),
                    "{name} is {state} " + when,
                    TENSION_WRITE,
                    "warning",
                    do="Set the tension: {name} is slack.",
                )
                for moment, when in (("starts", "when the engine starts"), ("end", "at the end of the job"))
            ),
            Row(
                "belt",
                "end",
                frozenset({"set", "slack", "new", "used"}),
                "{name} is {state}, and is not set again as used",
                USED_WRITE,
                "warning",
                unless=frozenset({"follow-up-belt", "timed"}),
            ),
            Row(
                "belt",
                "tensions-used",
                frozenset({"set", "slack", "run in", "used"}),
                "{name} is set as used, and it has not run since it was set as new",
                "`start: engine` and 10 to 15 min of running before it; or “as: new” here",
                "warning",
                anywhere=False,
            ),
        ),
        judges=(belt_paths,),
    ),
    Rule(
        "R43",
        "Timed parts are not turned",
        "With the timing drive off, half a turn brings a valve onto a piston.",
        "error",
        "The engine is not started, cranked or turned by hand while a drive or a part that times it is off "
        "or aside. Locking pins that the pack has for a timed part are in, all of them, before a timed drive "
        "comes off. That they come out again is R01.",
        rows=(
            *(
                Row(
                    machine,
                    "turns",
                    allowed,
                    "{name} is {state} when the engine is turned (“{moment}”)",
                    "turn the engine before it comes off, or after it is on again",
                    only=frozenset({"timed"}),
                    do="Do not turn the engine: {name} is off.",
                )
                for machine, allowed in (
                    ("part", ON),
                    ("parts", frozenset({0})),
                    ("added", frozenset({"none", "fitted"})),
                    ("connection", frozenset({"made"})),
                )
            ),
            Row(
                "temporary",
                "untimes",
                frozenset({ALL}),
                "“{moment}” lets the timing go without the {name} in place ({state})",
                "“- place: {object}” before it",
                only=frozenset({"pins-timed"}),
                do="Put {name} in before the timing drive comes off.",
            ),
        ),
    ),
    Rule(
        "R44",
        "Compare before you commit",
        "A wrong part that is found at six in the evening, with the old one in the bin, costs a day.",
        "warning",
        "An item that says what to compare is compared before the new one goes in and before the old one is "
        "thrown away. An item that does not say so is not asked for it. A compare that is printed after the "
        "old one came off cannot come before that.",
        rows=(
            Row(
                "compared",
                "commits",
                frozenset({"compared"}),
                "a new {name} goes in, and nobody has laid it beside the old one",
                "“- compare: {object}” before it",
                "warning",
                anywhere=False,
                do="Lay the new {name} beside the old one.",
            ),
            Row(
                "compared",
                "scraps",
                frozenset({"compared"}),
                "the old {name} is thrown away, and nobody has laid the new one beside it",
                "“- compare: {object}” before it",
                "warning",
                anywhere=False,
                do="Keep the old {name}, and lay the new one beside it.",
            ),
        ),
        judges=(compared_too_soon,),
    ),
    Rule(
        "R45",
        "Ask before cutting, clear the chips",
        "A hole in the wrong place cannot be taken back. Chips cut bearings, rings and seals.",
        "warning for the ask; error for the chips",
        "Before a hole is drilled something asks: a reading that proves `measured-twice`, or a question that "
        "the step hangs on. The chips of a cut that is `near` something are cleared before that is hidden, "
        "joined, shut or filled, and before the engine is turned. A cut near nothing leaves its chips on the "
        "bench.",
        rows=(
            Row(
                "measured",
                "cuts",
                frozenset({"measured"}),
                "the {name} is cut, and nobody has measured its place twice",
                "a reading with `proves: measured-twice` in this step or in one before it, or a question in "
                "the step's `when`",
                "warning",
                unless=frozenset({"asked"}),
                anywhere=False,
                do="Measure the place of the {name} twice before you cut.",
            ),
            *(
                Row(
                    "chips",
                    moment,
                    CLEAR,
                    f"{{name}} are {{state}} when “{{moment}}” {does}",
                    CHIPS_WRITE,
                    only=frozenset({"near"}),
                    anywhere=anywhere,
                    do="Clear the chips first.",
                )
                for moment, does, anywhere in (
                    ("joins", "closes them in", False),
                    ("hides", "closes them in", False),
                    ("fills", "washes them in", False),
                    ("turns", "turns the engine", True),
                )
            ),
            Row(
                "chips",
                "end",
                CLEAR,
                "{name} are {state} at the end of the job",
                CHIPS_WRITE,
                only=frozenset({"near"}),
                do="Clear the chips.",
            ),
        ),
    ),
)
