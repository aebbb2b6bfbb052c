"""R30–R36: faces, seals, beads and their clocks.

Where a bead is in its life the machine `bead` says; whether a joint is closed in time is a sum, made here. A
wait counts for a bead only if it begins once the bead is laid, and only for the steps that are `after` it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice

from webapp.pack import schema
from webapp.pack.actions import Apply, Clean, Connect, Disconnect, Fit, Join, Refit, Remove, Shut, Verb
from webapp.pack.check import seconds
from webapp.pack.compiled import holds

from ..job import MOST_ANSWERS, Job, JobStep
from ..relations import Relations
from ..rule import Found, Row, Rule, Spot
from .drying import wet_faces

GREASE = re.compile(r"grease|vaseline|petroleum jelly|lubricant", re.IGNORECASE)
OILS = ("oil", "gear", "hydraulic", "steering")
OPEN = frozenset({"none", "wet", "tacky"})
"""States of a bead before its joint is closed. A joint that is never closed is R31, whatever follows."""

CURED = OPEN | {"cured"}
CURE_WRITE = (
    "a `full-cure` wait with the sealant on the step that closes the joint, and `after:` that wait in "
    "“{step}” or in a step that it `needs`"
)
CLOSE_NOW = "The {name} is {state}. Close the joint now, or wipe the bead off and lay it anew later."
WARMED = frozenset(f"warmed-{one}" for one in ("cooling", "oil", "fuel", "steering", "hydraulic"))
"""Circuits that get warm or come under pressure as soon as the engine runs."""

TAPER = re.compile(r"\b(NPT|NPTF|BSPT|R ?\d|Rc ?\d|R[pc]?\b.*\d/\d)", re.IGNORECASE)
SILICONE = re.compile(r"(?<!fluoro)(?<!fluoro-)silicone", re.IGNORECASE)
THREAD_SEAL = re.compile(r"\b(tape|sealant|sealer|paste|ptfe|hemp)\b", re.IGNORECASE)


# --- R30: a gasket that goes on a face which nothing has cleaned, where no joint is declared


def gaskets(job: Job) -> Iterator[Found]:
    """Yield each gasket that is renewed on faces that no step cleans, when they are no joint of their own."""
    relations = Relations(job.front)
    cleaned = [step for step, action in actions(job) if isinstance(action, Clean)]
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Fit):
                continue
            item = job.front.items[action.fit]
            beside = relations.sealed.get(action.fit, [])
            parts = [one for one in beside if job.front.items[one].kind != "opening"]
            if item.form != "gasket" or not parts or any(one in relations.joints for one in beside):
                continue
            off = [
                one
                for one, done in actions(job)
                if isinstance(done, Remove | Disconnect) and done.target() in (action.fit, *parts)
            ]
            if off and not any(
                (one is step or job.must_precede(one.id, step.id))
                and not all(job.must_precede(one.id, earlier.id) for earlier in off)
                for one in cleaned
            ):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"a new {item.name} goes on the {job.front.items[parts[0]].name}, and no face is "
                    "cleaned since the old one came off",
                    f"“- clean: {parts[0]}” before it, and once more for the other face",
                    also=Spot(off[0].id),
                )


# --- R31: closed while the bead is live


def closings(job: Job, joint: str) -> list[tuple[JobStep, int]]:
    """Return where a joint is closed on its bead: by `join`, or else by what puts its part on."""
    joins: list[tuple[JobStep, int]] = []
    puts: list[tuple[JobStep, int]] = []
    for name in {joint, *job.relations.parts_of(joint)}:
        for step, at, action in job.doing.get(name, ()):
            if isinstance(action, Join) and name == joint:
                joins.append((step, at))
            elif isinstance(action, Refit | Fit | Connect | Shut):
                puts.append((step, at))
    return sorted(joins or puts, key=lambda one: (one[0].index, one[1]))


def live_beads(job: Job) -> Iterator[Found]:
    """Yield each joint that is closed after its bead may have skinned over."""
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Apply):
                continue
            sealant = job.front.sealants[action.apply]
            if sealant.method == "close-tacky" or sealant.open_time is None:
                continue
            ends = [
                (end, place)
                for end, place in closings(job, action.to)
                if (end.index, place) > (step.index, at) and together(step, end)
            ]
            if ends and ends[0][0] is not step:
                yield from late(job, step, at, action, ends[0][0])


def together(*steps: JobStep) -> bool:
    """Return whether one vehicle can have all these steps."""
    allowed: dict[str, set[str]] = {}
    for step in steps:
        for question, answers in step.data.when.items():
            allowed[question] = allowed.get(question, set(answers)) & set(answers)
    return all(allowed.values())


def late(job: Job, laid: JobStep, at: int, action: Apply, closed: JobStep) -> Iterator[Found]:
    """Yield what makes the time from a bead to its joint too long: a wait, or too many minutes."""
    sealant = job.front.sealants[action.apply]
    name = job.front.items[action.to].name
    live = sealant.open_time
    if live is None:
        return
    between = [
        one
        for one in job.steps[laid.index + 1 : closed.index]
        if not job.must_precede(one.id, laid.id) and together(laid, one, closed)
    ]
    here = Spot(closed.id)
    for one in (*between, closed):
        for wait in one.data.after:
            begun = job.waits[wait][0] if wait in job.waits else None
            if begun is None or begun not in (laid, *between) or job.waits[wait][1].attended:
                continue
            if job.waits[wait][1].kind == "open-time":
                continue
            yield Found(
                Spot(one.id, ("after",)),
                f"the bead at the {name} lies open while “{job.waits[wait][1].name}” runs",
                f"close the joint first, within {live.text}, and wait after that",
                Spot(laid.id, ("actions", at)),
            )
            return
    most = seconds(live, "least") / 60
    minutes = worst(job, between) + watched(laid)
    if minutes > most:
        yield Found(
            here,
            f"between the bead and closing the {name} lie {minutes:g} min of work, and the bead stays live "
            f"{live.text}",
            f"lay the bead last: the joint is closed within {live.text}",
            Spot(laid.id, ("actions", at)),
        )
        return
    if any(wait.kind == "open-time" for wait in laid.data.waits.values()):
        return
    free = [
        one
        for one in job.steps
        if one not in (laid, closed, *between)
        and not job.must_precede(one.id, laid.id)
        and not job.must_precede(closed.id, one.id)
        and together(laid, one, closed)
    ]
    if free and minutes + worst(job, free) > most:
        yield Found(
            here,
            f"`needs` lets other work come between the bead and closing the {name}, such as "
            f"“{free[0].id}”, and no clock runs for the {live.text} that the bead stays live",
            f"a wait of kind `open-time` with “sealant: {action.apply}” in “{laid.id}”, so that the phone "
            "keeps the clock; or `needs` that leave nothing between",
            Spot(laid.id, ("actions", at)),
        )


def watched(step: JobStep) -> float:
    """Return the minutes that somebody stands at a step's attended waits."""
    waits = [wait for wait in step.data.waits.values() if wait.attended and wait.kind != "open-time"]
    return sum(seconds(wait.least) / 60 for wait in waits if wait.least)


def worst(job: Job, steps: list[JobStep]) -> float:
    """Return the most minutes that these steps take under any answers."""
    always = sum(minutes(step) for step in steps if not step.data.when)
    hanging = [step for step in steps if step.data.when]
    questions = {question for step in hanging for question in step.data.when}
    return always + max(
        (
            sum(minutes(step) for step in hanging if holds(step.data.when, answers))
            for answers in islice(job.combinations(questions), MOST_ANSWERS)
        ),
        default=0.0,
    )


def minutes(step: JobStep) -> float:
    """Return the minutes that a step takes at least, with the waits that somebody stays at."""
    return seconds(step.data.hands_on) / 60 + watched(step)


# --- R35: the sealant suits what is behind the joint, and what is beside it


def unsuited(job: Job) -> Iterator[Found]:
    """Yield each sealant that does not stand up to a fluid behind its joint, or eats what is near it."""
    relations = Relations(job.front)
    told: set[tuple[str, str]] = set()
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Apply) or (action.apply, action.to) in told:
                continue
            told.add((action.apply, action.to))
            sealant = job.front.sealants[action.apply]
            joint = job.front.items[action.to]
            spot = Spot(step.id, ("actions", at))
            for fluid in sorted(fluids_behind(job, relations, action.to) - set(sealant.suits)):
                yield Found(
                    spot,
                    f"{job.front.fluids[fluid].name} is behind the {joint.name}, and nothing says that "
                    f"{sealant.name} stands up to it",
                    f"a sealant whose label names it, with “suits: [{fluid}]”",
                    Spot(None, ("sealants", action.apply)),
                )
            fuel = [one for one in sealant.suits if job.front.fluids[one].circuit == "fuel"]
            if fuel and SILICONE.search(sealant.name):
                yield Found(
                    spot,
                    f"{sealant.name} goes where {job.front.fluids[fuel[0]].name} is, and silicone swells "
                    "in it",
                    "a sealant that is made for fuel: no silicone but fluorosilicone",
                    Spot(None, ("sealants", action.apply)),
                )
            near = sensor_near(job, relations, step, action) if sealant.acid_curing else None
            if near:
                yield Found(
                    spot,
                    f"{sealant.name} gives off acid as it cures, and the {job.front.items[near].name} is "
                    f"near the {joint.name}",
                    "a neutral-curing sealant",
                    Spot(None, ("items", near)),
                    "warning",
                )


def fluids_behind(job: Job, relations: Relations, name: str) -> set[str]:
    """Return the fluids that a bead keeps in: those of the joint, or else those of its parts."""
    items = job.front.items
    own = relations.fluids_of(items[name])
    return own or set().union(*(relations.fluids_of(items[part]) for part in relations.parts_of(name)))


def electric(item: schema.Item) -> bool:
    """Return whether an item is a sensor or carries current."""
    return item.carries in ("signal", "live") or item.earths


def sensor_near(job: Job, relations: Relations, laid: JobStep, action: Apply) -> str | None:
    """Return a sensor or an electrical connection near a joint.

    Near is what sits in the joint's part, is hidden by it or held with it, is in the same fluid, or is
    unplugged before that part comes off and plugged in once it is closed again.
    """
    items = job.front.items
    parts = {action.to, *relations.parts_of(action.to)}
    fluids = fluids_behind(job, relations, action.to)
    groups = {group for part in parts for group in relations.holding.get(part, ())}
    near = parts | {one for part in parts for one in items[part].hides}
    near |= {one for group in groups for one in job.front.fasteners[group].holds}
    near |= {name for name, item in items.items() if parts & {*item.into, *item.hides}}
    off = [step for step, one in actions(job) if isinstance(one, Remove) and one.remove in parts]
    for name, item in items.items():
        if not electric(item):
            continue
        if name in near or (item.fluid and item.fluid in fluids):
            return name
        undone = [
            step for step, one in actions(job) if isinstance(one, Disconnect) and one.disconnect == name
        ]
        made = [step for step, one in actions(job) if isinstance(one, Connect) and one.connect == name]
        before = any(step is part or job.must_precede(step.id, part.id) for step in undone for part in off)
        if before and any(job.must_precede(laid.id, step.id) for step in made):
            return name
    return None


def actions(job: Job) -> Iterator[tuple[JobStep, Verb]]:
    """Yield every action with its step."""
    for step in job.steps:
        for action in step.actions:
            yield step, action


# --- R36: threads and rings


def earthing_threads(job: Job) -> Iterator[Found]:
    """Yield each tape or sealant on the thread of something that earths through it."""
    items, relations = job.front.items, Relations(job.front)
    earthed = {name for name, item in items.items() if item.earths}
    groups = {group: name for name in sorted(earthed) for group in relations.holding.get(name, ())}
    for name, what in groups.items():
        threads = job.front.fasteners[name].threads
        if threads in ("sealant", "threadlocker"):
            yield insulated(Spot(None, ("fasteners", name, "threads")), items[what].name, str(threads))
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Apply) and action.to in earthed:
                spot = Spot(step.id, ("actions", at))
                yield insulated(spot, items[action.to].name, job.front.sealants[action.apply].name)
    for name, used in job.front.consumables.items():
        for target in used.for_:
            thing = target if target in earthed else groups.get(target)
            if thing and THREAD_SEAL.search(used.name):
                yield insulated(Spot(None, ("consumables", name)), items[thing].name, used.name)


def insulated(spot: Spot, name: str, what: str) -> Found:
    """Return the finding of what lies between a thread and its earth."""
    return Found(
        spot,
        f"the {name} earths through its thread, and {what} goes on it",
        "leave it bare; a sensor whose thread has to seal has a washer or a taper for that",
        severity="warning",
    )


def washered_threads(job: Job) -> Iterator[Found]:
    """Yield each straight thread that has a washer or a ring to seal it and gets sealant too."""
    items = job.front.items
    for name, group in job.front.fasteners.items():
        used = [
            used.name
            for used in job.front.consumables.values()
            if {name, *group.holds} & set(used.for_) and THREAD_SEAL.search(used.name)
        ]
        what = next(iter(used), "sealant" if group.threads == "sealant" else "")
        if not what or TAPER.search(group.thread):
            continue
        held = [items[one] for one in group.holds]
        seals = held + [items[one.sealed_by] for one in held if one.sealed_by in items]
        washer = next((one for one in seals if one.form in ("crush-washer", "o-ring")), None)
        if washer:
            yield Found(
                Spot(None, ("fasteners", name)),
                f"{group.name}: {what} goes on a straight thread that the {washer.name} seals",
                "threads: dry, or what the figure is given for; the washer seals alone",
                severity="warning",
            )


def dry_rings(job: Job) -> Iterator[Found]:
    """Yield each O-ring that goes in dry: nothing that is used with it wets it."""
    items, relations = job.front.items, Relations(job.front)
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Fit) or items[action.fit].form != "o-ring":
                continue
            beside = relations.sealed.get(action.fit, [])
            fluids = relations.fluids_of(items[action.fit]).union(
                *(relations.fluids_of(items[one]) for one in beside)
            )
            wets = {action.fit, *beside, *fluids}
            places = [step, *(one for name in beside for one in puts_on(job, name))]
            used = {name for one in places for name in one.data.consumables}
            if not any(wetting(job, job.front.consumables[name], wets) for name in used):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"nothing that this step uses wets the {items[action.fit].name}",
                    "a grease that its rubber accepts, or clean oil, under `consumables` with “for: "
                    f"[{action.fit}]”, and in this step's `consumables`",
                    severity="warning",
                )


def wetting(job: Job, used: schema.Consumable, wets: set[str]) -> bool:
    """Return whether something wets a ring: what is for it, a circuit's oil, a grease for nothing else."""
    if wets & set(used.for_) or (not used.for_ and GREASE.search(used.name)):
        return True
    fluids = [job.front.fluids[one] for one in used.for_ if one in job.front.fluids]
    return any(one.circuit in OILS for one in fluids)


def puts_on(job: Job, name: str) -> list[JobStep]:
    """Return the steps that put an item on."""
    return [step for step, _, one in job.doing.get(name, ()) if isinstance(one, Fit | Refit | Connect)]


RULES: tuple[Rule, ...] = (
    Rule(
        "R30",
        "Old seal out, face clean",
        "Dirt or solvent under a seal is a leak path, and an old ring left under a new one empties the sump.",
        "error; warning for solvent that has no time to dry",
        "Before a new gasket or a bead goes on a joint, the joint is parted, the old seal is out and a "
        "step cleans the face. A new seal goes in once for each that came out. A joint whose seal came out "
        "is not closed without one, and `join` closes it once. When one sealant closes several joints, "
        "each says with `between` which parts are its own. What was cleaned with a solvent is dry before the "
        "seal or the bead: a wait, ten minutes of other work, or a look at the dry face. This is a warning.",
        rows=(
            Row(
                "joint",
                "end",
                frozenset({"closed", "wiped", "joined", "dirty", "clean"}),
                "{name} has a new seal at the end of the job, and no step closes it",
                "“- join: {object}” where its part goes on",
                unless=frozenset({"beaded"}),
                do="Close {name}.",
            ),
        ),
        judges=(gaskets, wet_faces),
    ),
    Rule(
        "R31",
        "Closed while the bead is live",
        "A bead that has skinned over does not stick to the other face: it is a leak path.",
        "error",
        "From laying the bead to `join` no more than the open time on the label, and no wait between; with "
        "a sealant that is closed tacky, not before. Counted are the hands-on minutes and attended waits "
        "of the steps between, also of those that `needs` would allow there, unless an `open-time` wait in "
        "the step that lays the bead lets the phone keep the clock. A joint that is sealed by a sealant is "
        "not closed without a bead, and no bead is left open. A bead on something that is no joint is "
        "closed by putting that on.",
        rows=(
            Row(
                "bead",
                "end",
                frozenset({"none", "closed", "set", "cured"}),
                "the joint is never closed: the {name} is {state} at the end of the job",
                "“- join: {object}” after it is laid",
                do="Close the joint, or wipe the {name} off.",
            ),
            Row(
                "bead",
                "stops-safely",
                frozenset({"none", "closed", "set", "cured"}),
                "the {name} is {state} where the job may be left",
                "close the joint before the work may be laid down",
                do=CLOSE_NOW,
                unless=frozenset({"clocked"}),
            ),
            Row(
                "bead",
                "laid-down",
                frozenset({"none", "closed", "set", "cured"}),
                "the {name} is {state}, and the job is left",
                "",
                do=CLOSE_NOW,
                only=frozenset({"clocked"}),
            ),
        ),
        judges=(live_beads,),
    ),
    Rule(
        "R32",
        "Set time before final tightening",
        "Tightened too early, all the sealant is squeezed out of the joint.",
        "error",
        "With the method `finger-tight-then-torque` the groups that hold the joint stay finger-tight until "
        "a `set` wait of that sealant is over: the step that tightens further is `after` it, or follows "
        "one that is.",
        rows=(
            Row(
                "bead",
                "squeezes",
                CURED | {"set"},
                "{moment}: the {name} is {state}",
                "“after:” the `set` wait of the sealant in “{step}”, and only “to: finger-tight” before it",
                only=frozenset({"method-finger-tight-then-torque"}),
                do="Leave it finger-tight until the sealant has set.",
                anywhere=False,
            ),
        ),
    ),
    Rule(
        "R33",
        "No fluid before cure",
        "What has not cured washes out, and ends in a radiator or an oil pump.",
        "error",
        "A circuit that a bead touches is not filled or put under pressure, and the engine not started, "
        "before a `full-cure` wait of that sealant is over: the step is `after` it, or follows one that "
        "is. Heat counts too. Nor does the job end before: its last step is `after` the cure. No other wait "
        "is a cure, however long.",
        rows=(
            *(
                Row(
                    "bead",
                    moment,
                    CURED,
                    "{moment}: the {name} is {state}",
                    CURE_WRITE,
                    do="Wait for the cure: {name} is {state}.",
                    anywhere=False,
                )
                for moment in ("fills", "presses")
            ),
            Row(
                "bead",
                "starts",
                CURED,
                "the engine starts, and the {name} is {state}",
                CURE_WRITE,
                do="Wait for the cure: {name} is {state}.",
                only=WARMED,
            ),
            Row(
                "bead",
                "moves",
                CURED,
                "the vehicle is driven, and the {name} is {state}",
                CURE_WRITE,
                do="Wait for the cure: {name} is {state}.",
                only=frozenset({"touches"}),
            ),
            Row(
                "bead",
                "end",
                CURED,
                "the job ends, and the {name} is {state}",
                "a `full-cure` wait with the sealant on the step that closes the joint, and a last step that "
                "is `after` it",
                do="Wait for the cure: {name} is {state}.",
                only=frozenset({"touches"}),
            ),
        ),
    ),
    Rule(
        "R34",
        "Curing joint left alone",
        "A skin that is broken while it cures never joins again.",
        "error",
        "While a bead cures, no part of its joint is taken off or moved aside, no group that holds it is "
        "loosened, and no later step cleans at it.",
        rows=(
            Row(
                "bead",
                "disturbs",
                CURED,
                "{moment}: the {name} is {state}",
                "this step before the bead is laid, or `after` its full cure",
                do="Leave the joint alone until the sealant has cured.",
                anywhere=False,
            ),
        ),
    ),
    Rule(
        "R35",
        "Sealant suits fluid and neighbours",
        "A sealant that its fluid dissolves leaks within days. The vapour of an acid-curing one eats "
        "contacts.",
        "error; warning for an acid-curing sealant near sensors and electrics",
        "`suits` of the sealant names the fluid behind the joint. Silicone is none for fuel, whatever it "
        "says (scope of MIL-A-46106). An acid-curing sealant is not used where a sensor or a plug is near: "
        "in the part, hidden by it, held with it, in the same fluid, or unplugged to get the part off.",
        judges=(unsuited,),
    ),
    Rule(
        "R36",
        "Thread and ring seals done right",
        "Tape cuts a sensor off from its earth, and a dry O-ring rolls and tears.",
        "warning",
        "No tape and no sealant on the thread of an item that `earths` through it, and no sealant on a "
        "straight thread that a washer or a ring seals. An item of the form `o-ring` is fitted with a "
        "consumable that is `for` it, for what it seals, or is the fluid it will stand in. Where tape "
        "starts and which way it is wound is for the prose: one or two threads back, in the tightening "
        "direction (US Army TM 9-2815-226-34-1).",
        judges=(earthing_threads, washered_threads, dry_rings),
    ),
)
