"""R11 and R12: fuel under pressure, and fuel that is open near heat and sparks."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Disconnect, Open, Remove

from ..job import Job
from ..relations import Relations
from ..rule import Found, Row, Rule, Spot

FUEL = frozenset({"circuit-fuel"})
BY_ITS_ENDS = frozenset({"by-its-ends"})
CLOSED = frozenset({"shut", "covered"})
JOINED = frozenset({"made", "capped"})
ON = frozenset({"fitted", "aside", "left off"})
COOL = frozenset({"cold", "warm"})

SPARK = "{name} is {state} when “{moment}” can make a spark"
CAP = "a plug in it before (“- place: … in: {object}”), or this at another time: with the fuel shut"
CLOSE = "“- cover: {object}” or “- shut: {object}” before it"
LAID_DOWN = "{name} is {state}, and the work may be laid down here"


def undeclared(job: Job) -> Iterator[Found]:
    """Yield the first fuel joint that opens in a pack that declares no fuel to let the pressure down of."""
    relations = Relations(job.front)
    if any(fluid.circuit == "fuel" for fluid in job.front.fluids.values()):
        return
    for step in job.steps:
        for at, action in enumerate(step.actions):
            item = job.front.items.get(action.target())
            if (
                isinstance(action, Disconnect | Remove | Open)
                and item
                and "fuel" in relations.circuits_of(item)
            ):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"{item.name} opens, and nothing says that the fuel is without pressure",
                    "the fuel under `fluids:` with `circuit: fuel`; “- relieve” of it before; and a reading "
                    "that `proves: no-pressure`",
                    also=Spot(None, ("items", action.target())),
                )
                return


R11 = Rule(
    "R11",
    "Fuel pressure let down first",
    "Fuel sprays onto a hot exhaust and burns. At high pressure it enters the skin.",
    "error",
    "Before any fuel joint opens or a group that holds it is slackened, the pressure is let down and a "
    "reading shows it: one that `proves: no-pressure`, in the step that lets it down, in the one that "
    "opens, or between. The key on, a crank or a start brings the pressure back.",
    rows=(
        *(
            Row("pressure", moment, frozenset({"shown"}), "{name} is {state} at “{moment}”",
                "“- relieve: {object}” before it, and a reading that `proves: no-pressure`", only=FUEL,
                anywhere=False, do="Let the pressure of the {name} down. Read the gauge.")
            for moment in ("opens", "slackens")
        ),
    ),
    judges=(undeclared,),
)  # fmt: skip

R12 = Rule(
    "R12",
    "No heat or spark while fuel is open",
    "Fuel vapour travels along the floor to the nearest spark.",
    "error",
    "While a fuel line, opening, joint or part is open and not plugged: no battery lead on or off, no "
    "crank, no start, no drilling, no grinder, gas torch or heat gun among the tools of a step; and no key "
    "on with a line off. The engine is not hot when fuel opens. A crank that is declared `to-bleed` may "
    "have unions slack and bleed screws open, but no line off. A job is not left for the night with fuel "
    "open.",
    rows=(
        Row("opening", "spark", CLOSED, SPARK, CLOSE, only=FUEL, do="Cover {name} first."),
        Row("connection", "spark", JOINED, SPARK, CAP, only=FUEL, unless=BY_ITS_ENDS,
            do="Plug {name}, or connect it."),
        Row("connection", "key-on", JOINED, "{name} is {state} at “{moment}”, which runs the fuel pump", CAP,
            only=FUEL, unless=BY_ITS_ENDS, do="Plug {name}, or connect it."),
        Row("connection", "cranks-to-bleed", JOINED, "{name} is {state} when the engine is cranked to bleed",
            "“- connect: {object}” before it; its union may be slack", only=FUEL, unless=BY_ITS_ENDS,
            do="Connect {name}. Leave its union slack."),
        *(
            Row("part", moment, ON, words, "“- refit: {object}” or a cover over what it leaves open, before",
                only=FUEL, unless=BY_ITS_ENDS, do="Close what {name} left open.")
            for moment, words in (
                ("spark", SPARK),
                ("cranks-to-bleed", "{name} is {state} when the engine is cranked to bleed"),
                ("stops-safely", LAID_DOWN),
            )
        ),
        *(
            Row("parts", moment, frozenset({0}), words, "“- refit: {object}” before it", only=FUEL,
                unless=BY_ITS_ENDS, do="Close what {name} left open.")
            for moment, words in (
                ("spark", "{name}: {state} when “{moment}” can make a spark"),
                ("stops-safely", "{name}: {state}, and the work may be laid down here"),
            )
        ),
        *(
            Row("joint", moment, frozenset({"closed", "wiped", "joined"}), words,
                "the joint closed before it, or this at another time", only=FUEL, unless=BY_ITS_ENDS,
                do="Close {name} first.")
            for moment, words in (("spark", SPARK), ("stops-safely", LAID_DOWN))
        ),
        Row("heat", "opens-fuel", COOL, "{name} is {state} when “{moment}” opens fuel beside it",
            "a wait of kind cool-down that the step is `after`, or a reading that `proves: cold` before it",
            do="Let the engine cool first."),
        Row("opening", "stops-safely", CLOSED, LAID_DOWN, CLOSE, only=FUEL, do="Cover {name}."),
        Row("connection", "stops-safely", JOINED, LAID_DOWN, CAP, only=FUEL, unless=BY_ITS_ENDS,
            do="Plug {name}, or connect it."),
    ),
)  # fmt: skip

RULES: tuple[Rule, ...] = (R11, R12)
