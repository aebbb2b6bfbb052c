"""R08–R20 and R40: stored energy, and what can hurt whoever works on it.

Here stand heat, weight, licensed work, chemicals and brakes; the battery, fuel and the start have rooms of
their own.
"""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Bleed, Disconnect, Drain, Fill, Open, Remove

from ..job import Job
from ..relations import Relations
from ..rule import Found, Row, Rule, Spot
from . import electric, fuel, permit

COLD = frozenset({"cold"})
COOL = frozenset({"cold", "warm"})
STANDS = frozenset({"ground", "stands", "lift", "ramps"})
NOT_JACK = STANDS | {"unknown"}
ANY_BUT_UP = frozenset({"swollen", "down", "shown", "unknown"})  # what swells with heat, the heat tells
SAFE = frozenset({"made safe"})
HELD = frozenset({"held", "held loose"})
SEEN = frozenset({"quiet", "seen"})
REACHES = frozenset({"reaches"})
REFRIGERANT = frozenset({"refrigerant"})

COOL_DOWN = "a wait of kind cool-down that the step is `after`, or a reading that `proves: cold` before it"
ON_STANDS = "“- raise: stands” before it"
HAND_OVER = "“- hand-over” to who may do it, before this, with “{object}” in what it `covers`"

R13 = Rule(
    "R13",
    "Hot system not opened",
    "Hot coolant under pressure turns to steam the moment it is let go. Hot oil sticks to the skin, and a "
    "hot exhaust burns it.",
    "error",
    "Before the cooling system is let down, drained or opened, the engine is cold: measured (cap below 50 "
    "°C, common practice, no source), or waited for. Before oil is let out it is known to be cold or warm. A "
    "filler of the oil may be opened at any heat. After a start the engine is hot: its exhaust stays on, and "
    "no sealed joint of the cooling circuit is slackened. What was pumped up cold is let down before it is "
    "opened.",
    rows=(
        *(
            Row("heat", moment, COLD, "{name} is {state} at “{moment}”", COOL_DOWN,
                do="Wait until a bare hand can rest on the cap.")
            for moment in ("opens-cooling", "relieves-cooling")
        ),
        *(
            Row("pressure", moment, ANY_BUT_UP, "{name} is {state} at “{moment}”",
                "“- relieve: {object}” before it", only=frozenset({"circuit-cooling"}), anywhere=False,
                do="Let the pressure of the {name} down first.")
            for moment in ("opens", "unplugs")
        ),
        Row("heat", "lets-oil-out", COOL, "{name} is {state} at “{moment}”",
            COOL_DOWN + ", or `engine: warm` under `opening`", do="Let the oil cool first."),
        Row("heat", "hot-metal", COOL | {"unknown"}, "{name} is {state} at “{moment}”, and its exhaust burns",
            COOL_DOWN, do="Let the exhaust cool first."),
    ),
)  # fmt: skip

R14 = Rule(
    "R14",
    "Held before anyone goes under",
    "A jack sinks, and nobody lifts a vehicle off a chest.",
    "error; warning without chocks",
    "Steps under the vehicle (those with the hazard falling-vehicle) need it on stands, a lift, ramps or "
    "the ground. No work while the jack alone holds it, and no wheel comes off but on stands, a lift or "
    "ramps. The wheels that stay down are chocked before it is raised, but on a lift. It is not driven off "
    "stands, not let down on a wheel without its nuts, not left on the jack, and down at the end, unless "
    "it came on stands or a lift.",
    rows=(
        Row("raised", "under", STANDS, "{name} is {state} when somebody goes under it in “{step}”", ON_STANDS,
            do="Set the vehicle on stands. Shake it."),
        Row("raised", "hand-work", NOT_JACK, "{name} is {state} alone at “{moment}”", ON_STANDS,
            do="Set the vehicle on stands. Shake it."),
        Row("raised", "wheel-off", frozenset({"stands", "lift", "ramps"}),
            "{name} is {state} at “{moment}”, and a wheel comes off", ON_STANDS,
            do="Set the vehicle on stands. Shake it."),
        Row("chocks", "raises-on-its-wheels", frozenset({"chocked"}),
            "the wheels are {state} when the vehicle is raised", "“- chock: wheels” before it", "warning",
            do="Chock the wheels that stay on the ground."),
        Row("chocks", "lowers", frozenset({"chocked"}), "the wheels are {state} when the vehicle comes down",
            "“- unchock: wheels” after it", "warning", unless=frozenset({"lifted"}),
            do="Chock the wheels that are on the ground."),
        Row("group", "lowers", frozenset(), "{name}: {state} at “{moment}”, and the vehicle rests on them",
            "“- start-by-hand” or “- tighten: {object}” before it", only=frozenset({"joint-wheel"}),
            unless=frozenset({"replaced"}),
            barred=frozenset({"out"}), do="Put the wheel on, and {name} in."),
        Row("raised", "moves", frozenset({"ground", "unknown"}), "{name} is {state} when it is driven",
            "“- lower: vehicle” before it", do="Lower the vehicle."),
        Row("raised", "end", frozenset({"ground", "unknown"}), "{name} is {state} at the end of the job",
            "“- lower: vehicle”", unless=frozenset({"came-raised"}), do="Lower the vehicle."),
        Row("raised", "stops-safely", NOT_JACK, "{name} is {state}, and the work may be laid down here",
            ON_STANDS + ", or “- lower: vehicle”", do="Set the vehicle on stands, or lower it."),
    ),
)  # fmt: skip

R15 = Rule(
    "R15",
    "Sprung, heavy or hung loads held",
    "Crushed fingers and torn hoses.",
    "warning",
    "What is `sprung`, of kind load, or heavier than one person lifts alone (23 kg, from US Army TM "
    "5-2420-222-34) is supported before its bolts or it are let go, and before it goes on. A spring that "
    "is released while its bolts are loose is let out, and has no force until they are tight. Two people "
    "may lift what is heavy. A load does not hang on its support where the job can be left for the night, "
    "when the vehicle comes down, or at the end; and its support is not taken away while its bolts are "
    "out. Energy of kind spring or pressure is let out or pinned (`isolate`) before hands come into what "
    "it `reaches`.",
    rows=(
        *(
            Row("support", moment, allowed, "{name} is {state} when “{moment}” lets it go",
                "“- support: {object}” before it, and “- release: {object}” after", "warning", anywhere=False,
                do="Support {name} first.")
            for moment, allowed in (("lets-go", HELD | {"let out"}), ("lifts", HELD))
        ),
        Row("support", "lowers", frozenset({"free"}), "{name} is {state} when the vehicle comes down",
            "“- release: {object}” before it", "warning", only=frozenset({"load"}),
            do="See that nothing on the floor holds {name} up."),
        Row("support", "stops-safely", frozenset({"free"}),
            "{name} is {state}, and the work may be laid down here", "“- release: {object}” before it",
            "warning", only=frozenset({"load"}), do="Set {name} down."),
        Row("support", "end", frozenset({"free"}), "{name} is {state} at the end of the job",
            "“- release: {object}” once its bolts hold it", "warning", do="Take the support of {name} away."),
        Row("group", "releases", frozenset(), "{name}: {state} at “{moment}”, and the load hangs on them",
            "“- release” after its bolts hold it, or after it is off", "warning",
            unless=frozenset({"replaced"}), barred=frozenset({"out"}), do="First put in {name}.",
            anywhere=False),
        Row("energy", "reach", frozenset({"locked", "locked and dead"}),
            "{name} is {state} at “{moment}”, which brings hands into its reach",
            "“- isolate: {object}” before it, with how it is let out or pinned in `lock`", "warning",
            only=frozenset({"spring", "pressure"}), unless=frozenset({"held"}), anywhere=False,
            do="Let {name} out, or pin it."),
    ),
)  # fmt: skip

R19 = Rule(
    "R19",
    "Licensed work handed over",
    "High voltage and airbag charges kill, and the law asks for a licence to open refrigerant and gas.",
    "error",
    "Before the refrigerant circuit or one of gas fuel is opened, let down or drained, and before hands "
    "reach high voltage or a restraint charge, a `hand-over` makes it safe: one that `covers` it, or one "
    "without `covers`. What else a hand-over `covers` is opened or taken off only after it. An energy of "
    "these kinds that says no `reaches` is near all that is live.",
    rows=(
        *(
            Row("licensed", moment, SAFE, "{name} is {state} at “{moment}”", HAND_OVER, only=REFRIGERANT,
                do="Stop. A licensed person makes it safe first.")
            for moment in ("opens-refrigerant", "relieves-refrigerant")
        ),
        *(
            Row("licensed", moment, SAFE, "{name} is {state} at “{moment}”", HAND_OVER, only=only,
                anywhere=False, do="Stop. A licensed person makes it safe first.")
            for moments, only in (
                (("opens", "slackens", "relieves-fuel"), frozenset({"gas"})),
                (("disconnects", "removes", "moves-aside", "opens", "slackens"), frozenset({"covered"})),
            )
            for moment in moments
        ),
        Row("licensed", "reach", SAFE, "{name} is {state} at “{moment}”", HAND_OVER, unless=REFRIGERANT,
            anywhere=False, do="Stop. A licensed person makes it safe first."),
        *(
            Row("licensed", moment, SAFE, "{name} is {state} when “{moment}” works on what is live",
                HAND_OVER, unless=REFRIGERANT | REACHES | {"gas", "covered"},
                do="Stop. A licensed person makes it safe first.")
            for moment in ("live-work", "live-lead", "live-lead-by-maker")
        ),
    ),
)  # fmt: skip

PAINT = "paint"
"""The built-in hazard that warns of brake fluid on paint."""


def near_paint(job: Job) -> Iterator[Found]:
    """Yield the first step that has brake fluid about, when none warns of the paint till then."""
    relations = Relations(job.front)
    warned = [step for step in job.steps if PAINT in step.data.hazards]
    for step in job.steps:
        at = next((at for at, one in enumerate(step.actions) if spills(relations, one)), None)
        if at is None:
            continue
        if not any(one is step or job.must_precede(one.id, step.id) for one in warned):
            yield Found(
                Spot(step.id, ("actions", at)),
                f"brake fluid is about in “{step.id}”, and nothing says to keep it off the paint",
                f"{PAINT} among the `hazards` of this step",
                severity="warning",
            )
        return


def spills(relations: Relations, action: object) -> bool:
    """Return whether an action can spill brake fluid."""
    if isinstance(action, Fill | Drain | Bleed):
        return relations.front.fluids[action.target()].circuit == "brake"
    if isinstance(action, Disconnect | Remove | Open):
        return "brake" in relations.circuits_of(relations.front.items[action.target()])
    return False


R20 = Rule(
    "R20",
    "Chemicals kept apart from heat and each other",
    "Solvent on hot metal burns or gives off poison, and brake fluid strips paint.",
    "error; warning for brake fluid near paint",
    "No cleaning with a consumable while the engine is known to be hot. Where brake fluid is about, the "
    "hazard paint warns of it first. What else is in a can, the pack does not say.",
    rows=(
        Row("heat", "solvent", COOL | {"unknown"}, "{name} is {state} when “{moment}” brings solvent to it",
            COOL_DOWN, do="Let the engine cool first."),
    ),
    judges=(near_paint,),
)  # fmt: skip


def proved(moment: str, when: str, proof: str) -> Row:
    """Return that a proof of the brakes is there at a moment."""
    write = "a reading that `proves: " + (
        "level`, of the brake fluid," if proof == "brake-level" else f"{proof}`"
    )
    return Row(
        "due", moment, SEEN, "{name} is {state} " + when, write + " after the last work on the brakes",
        only=frozenset({proof}), do="Not yet: first {name}.",
    )  # fmt: skip


DRIVEN, HANDED_BACK = "when the vehicle is driven", "at the end of the job"

R40 = Rule(
    "R40",
    "Brakes proven before moving",
    "There is no second chance.",
    "error",
    "Once a brake circuit was opened, drained or bled: a firm pedal, the level and a look for leaks before "
    "the vehicle moves, each by a reading that `proves` it, and a stop from walking pace before it is "
    "handed back. Where a group with `joint: brake` was out or slack, or one that holds a part of the "
    "circuit and says no `joint`: the pedal and the stop. The lines and parts of the circuit are on when "
    "it is driven.",
    rows=(
        *(
            Row(
                machine,
                "moves",
                frozenset(allowed),
                state + " " + DRIVEN,
                write + " before it",
                only=frozenset({"circuit-brake"}),
                do=do,
            )
            for machine, allowed, state, write, do in (
                ("connection", ("made",), "{name} is {state}", "“- connect: {object}”", "Connect {name}."),
                (
                    "part",
                    ("fitted", "left off"),
                    "{name} is {state}",
                    "“- refit: {object}”",
                    "Put {name} back.",
                ),
                ("parts", (0,), "{name}: {state}", "“- refit: {object}”", "Put {name} back."),
            )
        ),
        *(proved("moves", DRIVEN, proof) for proof in ("firm-pedal", "brake-level", "dry")),
        *(proved("end", HANDED_BACK, proof) for proof in ("firm-pedal", "brake-level", "dry", "slow-stop")),
    ),
)

RULES: tuple[Rule, ...] = (*electric.RULES, *fuel.RULES, R13, R14, R15, *permit.RULES, R19, R20, R40)
