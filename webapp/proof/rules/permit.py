"""R16 and R17: what must hold before the engine is started or cranked."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Crank, Disconnect, Isolate, Lower, Raise, Shut, Start, Stop

from ..job import Job, JobStep
from ..relations import Relations
from ..rule import Found, Row, Rule, Spot

ON_POST = frozenset({"on", "unknown"})  # without its battery no engine starts: unknown hurts nobody
UNDECLARED = frozenset({"undeclared"})
AIRED = frozenset({"aired"})
MADE = frozenset({"made"})
FITTED = frozenset({"fitted", "left off"})
ADDED = frozenset({"fitted", "none"})
TIGHT = frozenset({"tight", "left off"})
SNUG = frozenset({"snug"})
TENSIONED = frozenset({"set", "new", "used"})
FIRM = frozenset({"unknown", "ground", "stands", "lift", "ramps"})
GUARDS = frozenset({"drive", "guard"})
WAYS = frozenset({"fluid", "carries-air"})

BACK = "“- refit: {object}” or “- fit: {object}” before it, or “- leave-off: {object}” with its reason"
FULL = "“- fill: {object}” before it, a reading that `proves: level`, or `{object}` in `full` under `opening`"
TIGHTEN = "“- tighten: {object}” to its end before it"


def permit(
    moment: str, when: str, circuits: frozenset[str], ways: frozenset[str], joints: str
) -> tuple[Row, ...]:
    """Return what the starter waits for.

    circuits: the marks of what must be full. ways: the marks of what must be joined. joints: the words of the
    groups that must be tight.
    """
    groups = frozenset(f"{how}-{joint}" for joint in joints.split() for how in ("joint", "holds"))
    groups |= {"holds-drive"} if "rotating" in joints else frozenset()
    return (
        Row("earth", moment, ON_POST, "{name} is {state} " + when, "“- connect: {object}” before it",
            unless=UNDECLARED, do="Put {name} on."),
        Row("earth", moment, ON_POST, "{name} is {state} " + when,
            "an item of kind earth-lead, and “- connect” of it before", only=UNDECLARED, do="Put {name} on."),
        Row("level", moment, frozenset({"full"}), "{name} is {state} " + when, FULL, only=circuits,
            do="Look at the level of the {name}. Fill it."),
        Row("connection", moment, MADE, "{name} is {state} " + when, "“- connect: {object}” before it",
            only=ways | {"carries-earth"}, do="Connect {name}."),
        Row("part", moment, FITTED | {"aside"}, "{name} is {state} " + when, BACK, only=ways, unless=GUARDS,
            do="Put {name} back."),
        Row("part", moment, FITTED, "{name} is {state} " + when, BACK, only=GUARDS, do="Put {name} back."),
        Row("parts", moment, frozenset({0}), "{name}: {state} " + when, BACK, only=ways | GUARDS,
            do="Put {name} back."),
        Row("added", moment, ADDED, "{name} is {state} " + when, BACK, only=ways | GUARDS,
            do="Put {name} back."),
        Row("group", moment, TIGHT, "{name}: {state} " + when, TIGHTEN, only=groups,
            unless=SNUG | {"replaced"}, do="Tighten {name}."),
        Row("group", moment, TIGHT | SNUG, "{name}: {state} " + when, TIGHTEN, only=groups,
            unless=frozenset({"replaced"}), do="Tighten {name}."),
        Row("belt", moment, TENSIONED, "{name} is {state} " + when, "“- tension: {object}” before it",
            do="Set the tension of {name}."),
        Row("raised", moment, FIRM, "{name} is {state} " + when,
            "“- raise: stands” or “- lower: vehicle” before it",
            do="Set the vehicle on stands or on its wheels."),
    )  # fmt: skip


def covers(early: JobStep, late: JobStep) -> bool:
    """Return whether every vehicle that has the later step has the earlier one."""
    return all(
        set(late.data.when.get(question, ())) <= set(answers) and question in late.data.when
        for question, answers in early.data.when.items()
    )


def extinguisher(job: Job) -> Iterator[Found]:
    """Yield the first start or crank that has no fire extinguisher to hand."""
    named = {name for name, tool in job.front.tools.items() if "extinguisher" in tool.name.lower()}
    there = [step for step in job.steps if named & set(step.data.tools)]
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Start | Crank):
                continue
            if any(one is step or (job.must_precede(one.id, step.id) and covers(one, step)) for one in there):
                continue
            how = "started" if isinstance(action, Start) else "cranked"
            yield Found(
                Spot(step.id, ("actions", at)),
                f"no fire extinguisher is to hand when the engine is {how}",
                "a tool whose name says fire extinguisher, in the `tools` of this step or of one that always "
                "comes before it",
            )
            return


def fuel_off(job: Job) -> Iterator[Found]:
    """Yield dry cranks of a pack with a fuel circuit that never turns the fuel off before."""
    if not any(fluid.circuit == "fuel" for fluid in job.front.fluids.values()):
        return
    if any(source.kind == "fuel-pump" for source in job.front.energy.values()):
        return  # the state of the pump tells
    items, relations = job.front.items, Relations(job.front)
    leads = {
        name
        for name, item in items.items()
        if item.carries in ("live", "signal") or "fuel" in relations.circuits_of(item)
    }
    off = [
        step
        for step in job.steps
        if any(
            isinstance(one, Isolate)
            or (isinstance(one, Disconnect) and one.disconnect in leads)
            or (isinstance(one, Shut) and items[one.shut].way == "valve" and one.shut in leads)
            for one in step.actions
        )
    ]
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Crank) or action.crank != "dry":
                continue
            if not any(one is step or job.must_precede(one.id, step.id) for one in off):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    "the engine is cranked dry, and nothing turns its fuel off",
                    "under `energy:` what brings the fuel, with `kind: fuel-pump`, and “- isolate” of it "
                    "before",
                )


def under_it(job: Job) -> Iterator[Found]:
    """Yield starts and cranks in steps in which somebody is under the vehicle.

    A step that stops the engine again goes under it after that.
    """
    for step in job.steps:
        if "falling-vehicle" not in step.data.hazards or any(
            isinstance(one, Raise | Lower) for one in step.actions
        ):
            continue
        stops = [at for at, one in enumerate(step.actions) if isinstance(one, Stop)]
        for at, action in enumerate(step.actions):
            if isinstance(action, Start | Crank) and not any(stop > at for stop in stops):
                how = "started" if isinstance(action, Start) else "cranked"
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"the engine is {how} in a step that has somebody under the vehicle",
                    "a step of its own for it, without the hazard falling-vehicle",
                    Spot(step.id, ("hazards",)),
                )


R16 = Rule(
    "R16",
    "Fresh air before running",
    "Exhaust gas kills without a smell. Boats and pits collect it.",
    "error",
    "The air is made fit to run an engine in before every start: by `ventilate`, or `opening: {air: "
    "ventilated}`.",
    rows=(
        Row("bay", "starts", AIRED, "{name} is {state} when the engine is started",
            "“- ventilate: doors-open”, “extraction” or “outdoors” before it",
            do="Open the doors wide, or fit the extraction hose."),
    ),
)  # fmt: skip

STARTED, CRANKED = "when the engine is started", "when the engine is cranked"
OIL = frozenset({"circuit-oil"})
WET = OIL | {"circuit-cooling"}

R17 = Rule(
    "R17",
    "Start permit",
    "Most ruined repairs are ruined in the first ten seconds.",
    "error",
    "Before a start: battery on, oil and coolant known to be in, lines and ducts joined, drives, guards "
    "and parts of the circuits on, all groups on sealed, rotating, fuel and brake parts tight (by their "
    "`joint`, or by what they hold), belts set, not on the jack, nobody under it, an extinguisher to hand. "
    "Taps in lines (`way: valve`) are open. A dry crank may have no coolant, but its fuel is off. A crank to "
    "bleed may have fuel unions slack.",
    rows=(
        *permit("starts", STARTED, WET, WAYS, "rotating fuel brake sealed"),
        *permit("cranks-dry", CRANKED, OIL, OIL, "rotating"),
        *permit("cranks-to-bleed", CRANKED, WET, WET | {"carries-air"}, "rotating brake sealed"),
        Row("valve", "starts", frozenset({"open"}), "{name} is {state} when the engine is started",
            "“- open: {object}” before it", do="Open {name}."),
        Row("energy", "cranks-dry", frozenset({"locked"}), "{name} is {state} when the engine is cranked dry",
            "“- isolate: {object}” before it", only=frozenset({"fuel-pump"}), do="Turn {name} off."),
    ),
    judges=(extinguisher, fuel_off, under_it),
)  # fmt: skip

RULES: tuple[Rule, ...] = (R16, R17)
