"""R08–R10 and R18: the battery, what starts by itself, and hands where something can move."""

from __future__ import annotations

from ..rule import Row, Rule

OFF = frozenset({"off"})
LOCKED = frozenset({"locked", "locked and dead", "dead"})
NOT_LOCKED = frozenset({"armed", "dead"})
NOT_ABLE = frozenset({"key out", "earth off", "both"})
STOPPED = frozenset({"stopped"})
UNDECLARED = frozenset({"undeclared"})
REACHES = frozenset({"reaches"})
FORCE = frozenset({"spring", "pressure"})  # R15's
CAN_START = frozenset({"auto-start", "standby"})
CAN_TURN = frozenset({"auto-start", "standby", "fan"})

EARTH_OFF = "“- disconnect: {object}” before it"
DECLARE = (
    "an item of kind earth-lead, and “- disconnect” of it before; or `earth: off` under `opening`; for the "
    "plug of a fan or heater, its `energy` with `reaches` of the plug, isolated first"
)
LOCK = "“- isolate: {object}” before it, and “- restore: {object}” when the work is done"
KEY_OUT = "“- key: out” before it, or the battery's earth lead off"
STOP_IT = "“- stop: engine” before it"
GIVE_BACK = "“- restore: {object}” when the work is done"


def live(moment: str) -> Row:
    """Return that a battery whose lead the pack does not declare is off at a moment."""
    return Row(
        "earth",
        moment,
        OFF,
        "{name} is {state} when “{moment}” brings a tool to what is live",
        DECLARE,
        only=UNDECLARED,
        do="Take the earth lead off the battery first.",
    )


R08 = Rule(
    "R08",
    "Earth lead off before live work",
    "A spanner across a live terminal welds itself on, and the battery can burst.",
    "error",
    "Whatever `carries: live` is worked on, or what a group that holds it is worked on, only with the "
    "earth lead of every battery off; so is what a restraint charge `reaches`. Where the pack declares no "
    "earth lead, `opening` has to say that it is off. A plug that no group holds has no current when its "
    "fan or heater, whose `reaches` names it, is isolated.",
    rows=(
        Row(
            "earth",
            "live-work",
            OFF,
            "{name} is {state} when “{moment}” brings a tool to what is live",
            EARTH_OFF,
            unless=UNDECLARED,
            do="Take {name} off first.",
        ),
        Row(
            "earth",
            "airbag",
            OFF,
            "{name} is {state} at “{moment}”, which is part of the airbag circuit",
            EARTH_OFF,
            unless=UNDECLARED,
            do="Take {name} off first. Wait as long as the maker says.",
        ),
        *(live(moment) for moment in ("live-work", "live-lead", "live-lead-by-maker", "airbag")),
    ),
)

R09 = Rule(
    "R09",
    "Earth lead first off, last on",
    "With it still on, a slip at the live post arcs through the body.",
    "error",
    "Live leads and plugs come off after the earth lead of every battery, and go on before it. The earth "
    "lead is the one at the earthed post, whichever sign that has. A maker's own order passes when the step "
    "has a source of kind manual or standard.",
    rows=(
        Row(
            "earth",
            "live-lead",
            OFF,
            "{name} is {state} at “{moment}”",
            "“- disconnect: {object}” before it, and “- connect: {object}” after all live leads are on; or "
            "the maker's manual as the step's `source`",
            unless=UNDECLARED,
            do="Take {name} off first. It goes on last.",
        ),
    ),
)

R10 = Rule(
    "R10",
    "Self-starting plant locked off",
    "It starts while a hand is in it.",
    "error",
    "A fan that starts by itself, a standby set, stop-start and remote start are locked off while hands are "
    "at belts, guards and what rotates, or at what their `reaches` names; with the vehicle's one earth lead "
    "off, a fan and stop-start are as good as locked off. A charger on the mains is locked off for live "
    "work, a block heater before its coolant is let out. At the end all is back in service.",
    rows=(
        Row("energy", "zone", LOCKED, "{name} is {state} when “{moment}” brings hands near it", LOCK,
            only=CAN_TURN, unless=REACHES, do="Lock {name} off, and try it."),
        Row("energy", "reach", LOCKED, "{name} is {state} when “{moment}” brings hands into its reach", LOCK,
            unless=FORCE | {"fuel-pump"}, anywhere=False, do="Lock {name} off, and try it."),
        Row("energy", "turns-over", LOCKED, "{name} is {state} when the engine is turned by hand", LOCK,
            only=CAN_START, do="Lock {name} off, and try it."),
        *(
            Row("energy", moment, LOCKED, "{name} is {state} when “{moment}” opens what it keeps live", LOCK,
                only=frozenset({"mains"}), unless=REACHES, do="Lock {name} off.")
            for moment in ("live-work", "live-lead", "live-lead-by-maker")
        ),
        Row("energy", "opens-cooling", LOCKED, "{name} is {state} when “{moment}” lets its coolant out", LOCK,
            only=frozenset({"heater"}), unless=REACHES, do="Lock {name} off."),
        Row("energy", "end", NOT_LOCKED, "{name} is {state} at the end of the job", GIVE_BACK, unless=FORCE,
            do="Put {name} back in service."),
    ),
)  # fmt: skip

R18 = Rule(
    "R18",
    "Hands clear of what can move",
    "A belt or a fan takes a sleeve, and the arm in it.",
    "error",
    "No hand and no tool at a belt, a guard or what rotates while the engine runs or could be started: the "
    "key out, or the battery's earth lead off. The same before the engine is turned by hand. Where a job can "
    "be left for the night, and at its end, the engine stands.",
    rows=(
        Row("run", "zone", STOPPED, "{name} is {state} when “{moment}” brings hands to what turns", STOP_IT,
            do="Stop the engine."),
        Row("able", "zone", NOT_ABLE,
            "{name} is {state} when “{moment}” brings hands to what turns: its key is not known to be out, "
            "nor "
            "its battery to be off", KEY_OUT, do="Take the key out. Put it in your pocket."),
        Row("able", "turns-over", NOT_ABLE,
            "{name} is {state} when it is turned by hand: its key is not known to be out, nor its battery to "
            "be off", KEY_OUT, do="Take the key out. Put it in your pocket."),
        Row("run", "end", STOPPED, "{name} is {state} at the end of the job", STOP_IT, do="Stop the engine."),
        Row("run", "stops-safely", STOPPED, "{name} is {state}, and the work may be laid down here", STOP_IT,
            do="Stop the engine."),
    ),
)  # fmt: skip

RULES: tuple[Rule, ...] = (R08, R09, R10, R18)
