"""R37–R39 and R41: what comes out goes in, of the right kind, without air, and is caught.

Level and air are states of each fluid. Litres and strengths are sums, made here for each set of answers that
changes them, in the printed order. An amount that has no number is not judged.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from webapp.pack.actions import Bleed, Drain, Fill, Open, Rinse, Verb
from webapp.pack.amounts import Amount
from webapp.pack.compiled import holds
from webapp.trade.units import Kind, to_base

from ..job import MOST_ANSWERS, Job, JobStep
from ..rule import Found, Row, Rule, Spot

IN = frozenset({"full", "unknown"})
NO_AIR = frozenset({"none", "bled"})
BLED = ("cooling", "fuel", "brake", "clutch", "hydraulic", "steering")
FILL_WRITE = "“- fill: {object}” before it"
BLEED_WRITE = "“- bleed: {object}” after the circuit is closed and filled"
ENGINE = frozenset(f"circuit-{one}" for one in ("cooling", "oil", "fuel", "steering", "hydraulic"))
"""Circuits that run dry as soon as the engine runs. A gearbox and a brake work when the vehicle moves."""

UNEXPLAINED = 0.10  # of the litres: the trade's own figure
WEAK, STRONG = 40.0, 60.0  # % of glycol by volume; above 60 % more protects less (US Army TM 5-3895-382-24)
NEAR = 0.5  # % points that rounding in jugs may cost


def litres(amount: Amount) -> tuple[float, float]:
    """Return a volume in litres, its lower and its upper end."""
    low = amount.low if amount.low is not None else amount.high
    high = amount.high if amount.high is not None else amount.low
    return to_base(low or 0, amount.unit, "volume"), to_base(high or 0, amount.unit, "volume")


def middle(amount: Amount) -> float:
    """Return a volume in litres or a share in percent: the figure, or the middle of its range."""
    kind: Kind = "volume" if amount.kind == "volume" else "share"
    if amount.nominal is not None:
        return to_base(amount.nominal, amount.unit, kind)
    ends = [end for end in (amount.low, amount.high) if end is not None]
    return sum(to_base(end, amount.unit, kind) for end in ends) / len(ends)


@dataclass(frozen=True, slots=True)
class Pour:
    """An action on a fluid, with its place."""

    step: JobStep
    at: int
    action: Verb

    @property
    def spot(self) -> Spot:
        """Return the place of the action."""
        return Spot(self.step.id, ("actions", self.at))


def pours(job: Job) -> dict[str, list[Pour]]:
    """Return what is drained, rinsed and filled, by fluid, in the printed order."""
    found: dict[str, list[Pour]] = {}
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Drain | Rinse | Fill):
                found.setdefault(action.target(), []).append(Pour(step, at, action))
    return found


def vehicles(job: Job, done: list[Pour]) -> Iterator[tuple[tuple[str, ...], list[Pour]]]:
    """Yield for each set of answers that changes it, what is done to a fluid, and the answers in words."""
    questions = {question for pour in done for question in pour.step.data.when}
    for answers in islice(job.combinations(questions), MOST_ANSWERS):
        words = tuple(f"{question} = {answer}" for question, answer in answers.items())
        yield words, [pour for pour in done if holds(pour.step.data.when, answers)]


# --- R37: litres


BLED_THROUGH = ("brake", "clutch")
"""Circuits that are bled by pouring fluid through them: more goes in than was drained."""


def unbalanced(job: Job) -> Iterator[Found]:
    """Yield each fluid of which more than a tenth too much or too little goes in."""
    for name, every in pours(job).items():
        for said, done in vehicles(job, every):
            found = off_balance(job, name, done)
            if found:
                yield found._replace(answers=said)
                break


def off_balance(job: Job, name: str, done: list[Pour]) -> Found | None:
    """Return what is wrong with the litres of one fluid on one vehicle."""
    fluid = job.front.fluids[name]
    drains = [pour.action for pour in done if isinstance(pour.action, Drain)]
    fills = [(pour, pour.action) for pour in done if isinstance(pour.action, Fill)]
    out = [one.expect or fluid.drains for one in drains]
    volumes = [action.volume for _, action in fills]
    if not drains and fluid.drains and volumes and None not in volumes:
        return Found(
            fills[0][0].spot,
            f"{fluid.name} is filled in, {fluid.drains.text} are expected to come out, and no step drains it",
            f"“- drain: {name}” before it, or no `drains` for a fluid that is only topped up",
            Spot(None, ("fluids", name)),
            "warning",
        )
    if not drains or not fills or None in volumes:
        return None
    low = sum(litres(one)[0] for one in volumes if one)
    high = sum(litres(one)[1] for one in volumes if one)
    may_be: list[tuple[float, float]] = []
    if None not in out:
        ends = [litres(one) for one in out if one]
        may_be.append((sum(end[0] for end in ends), sum(end[1] for end in ends)))
    stays = fluid.stays_after_drain
    for pour in done:
        if isinstance(pour.action, Rinse) and pour.action.stays:
            stays = pour.action.stays
    if fluid.capacity and stays and len(drains) == 1:
        whole, left = litres(fluid.capacity), litres(stays)
        may_be.append((whole[0] - left[1], whole[1] - left[0]))
    if not may_be or any(
        low <= top * (1 + UNEXPLAINED) and high >= bottom * (1 - UNEXPLAINED) for bottom, top in may_be
    ):
        return None
    bottom, top = may_be[0]
    bled = any(isinstance(one, Bleed) for _, _, one in job.doing.get(name, ()))
    if low > top and bled and fluid.circuit in BLED_THROUGH:
        return None
    more = "more" if low > top else "less"
    return Found(
        fills[-1][0].spot,
        f"{said(low, high)} L of {fluid.name} go in and {said(bottom, top)} L come out, a difference of "
        "more than 10 %",
        f"a `volume` that agrees with what came out; or, if {more} is right here, `expect` on the `drain`, "
        "`capacity` and `stays-after-drain` that say why",
        next(pour.spot for pour in done if isinstance(pour.action, Drain)),
        "warning",
    )


def said(low: float, high: float) -> str:
    """Return litres in words."""
    return f"{low:.3g}" if abs(high - low) < 0.005 else f"{low:.3g}–{high:.3g}"


# --- R38: kind and strength

KINDS: tuple[tuple[tuple[str, ...], tuple[tuple[str, str], ...]], ...] = (
    (("cooling",), (
        ("ethylene glycol", r"\bethylene"), ("propylene glycol", r"\bpropylene"),
        ("waterless coolant", r"\bwaterless"))),
    (("cooling",), (
        ("coolant of organic acids (OAT)", r"(?<![-\w])(OAT|P-OAT|organic acid)"),
        ("coolant with silicate (IAT)", r"\b(IAT|conventional)\b"),
        ("hybrid coolant (HOAT)", r"\b(HOAT|Si-OAT|SOAT|hybrid)"))),
    (("brake", "clutch"), (
        ("glycol brake fluid", r"\bDOT ?(3|4|5\.1)(?![.\d])"),
        ("silicone brake fluid (DOT 5)", r"\bDOT ?5(?!\.1|\d)|\bsilicone"),
        ("mineral hydraulic fluid", r"\b(mineral|LHM)\b"))),
    (("fuel",), (
        ("diesel", r"\b(bio)?diesel"), ("gasoline", r"\b(gasoline|petrol)"),
        ("gas", r"\b(LPG|CNG|propane)\b"))),
    (("gear", "steering", "hydraulic", "oil"), (
        ("automatic transmission fluid", r"\b(ATF|automatic transmission)"), ("GL-4 gear oil", r"\bGL-?4\b"),
        ("GL-5 gear oil", r"\bGL-?5\b"), ("engine oil", r"\b(engine|motor) oil"),
        ("brake fluid", r"\bbrake fluid|\bDOT ?\d"))),
    (("refrigerant",), (
        ("R-134a", r"\bR-?134a"), ("R-1234yf", r"\bR-?1234yf"), ("R-12", r"\bR-?12\b"))),
)  # fmt: skip
"""Kinds that do not mix, by circuit, each with the words it is known by. Common practice, no source."""
VISCOSITY = re.compile(r"\b(\d{1,2}) ?W-? ?(\d{2,3})\b", re.IGNORECASE)


def kinds_of(circuit: str, text: str) -> list[tuple[int, str]]:
    """Return the kinds of fluid that a text names, each with the list it is on."""
    found = []
    for number, (circuits, kinds) in enumerate(KINDS):
        named = [name for name, words in kinds if re.search(words, text, re.IGNORECASE)]
        if circuit in circuits and len(named) == 1:
            found.append((number, named[0]))
    grade = VISCOSITY.search(text) if circuit in ("oil", "gear") else None
    if grade:
        found.append((-1, f"{int(grade[1])}W-{grade[2]}"))
    return found


def unlike(circuit: str, one: str, other: str) -> tuple[str, str] | None:
    """Return two kinds that do not mix, if the one text names the one and the other the other."""
    has = dict(kinds_of(circuit, one))
    for number, kind in kinds_of(circuit, other):
        if number in has and has[number] != kind:
            return has[number], kind
    return None


def wrong_kinds(job: Job) -> Iterator[Found]:
    """Yield each fluid that is poured on one of another kind, or from a can or into a neck of another."""
    every = pours(job)
    front = job.front
    drained = {name for name, done in every.items() if any(isinstance(one.action, Drain) for one in done)}
    filled = {name for name, done in every.items() if any(isinstance(one.action, Fill) for one in done)}
    for name, done in every.items():
        fluid = front.fluids[name]
        fills = [pour for pour in done if isinstance(pour.action, Fill)]
        for pour in fills:
            yield from from_the_can(job, name, pour)
            yield from wrong_neck(job, name, pour)
        if not fills or name in drained:
            continue
        for old in sorted(drained - filled):
            before = front.fluids[old]
            rinsed = any(isinstance(one.action, Rinse) for one in (*every[old], *done))
            kinds = unlike(fluid.circuit, before.base or before.name, fluid.base or fluid.name)
            if before.circuit == fluid.circuit and kinds and not rinsed:
                yield Found(
                    fills[0].spot,
                    f"{fluid.name} goes in where {before.name} came out: {kinds[1]} on what stays of "
                    f"{kinds[0]}",
                    f"the kind that was in it; or “- rinse: {old}” first, if the maker allows the change",
                    Spot(None, ("fluids", old)),
                )


def from_the_can(job: Job, name: str, pour: Pour) -> Iterator[Found]:
    """Yield a can that the step pours from, when it holds another kind than the circuit does."""
    fluid = job.front.fluids[name]
    for used in pour.step.data.consumables:
        can = job.front.consumables[used]
        kinds = unlike(fluid.circuit, fluid.base or fluid.name, can.name)
        if name in can.for_ and kinds:
            yield Found(
                pour.spot,
                f"{fluid.name} is {kinds[0]}, and {can.name} is {kinds[1]}",
                f"a consumable that is {kinds[0]}; or another `base`, if that is what is in it",
                Spot(None, ("consumables", used)),
            )


def wrong_neck(job: Job, name: str, pour: Pour) -> Iterator[Found]:
    """Yield a filler that is opened for a fill, when it is the filler of another fluid and there is no "
    "other."""
    opened = [action.open for action in pour.step.actions[: pour.at] if isinstance(action, Open)]
    items = job.front.items
    fillers = [one for one in opened if items[one].way == "filler" and items[one].fluid]
    circuit = job.front.fluids[name].circuit
    if any(items[one].fluid == name for one in opened) or not fillers:
        return
    other = items[fillers[-1]].fluid or ""
    if job.front.fluids[other].circuit != circuit:
        yield Found(
            pour.spot,
            f"{job.front.fluids[name].name} is poured in at the {items[fillers[-1]].name}, which is for "
            f"{job.front.fluids[other].name}",
            f"the filler of {job.front.fluids[name].name}: “- open:” an opening with “fluid: {name}”",
            Spot(None, ("items", fillers[-1])),
        )


def strengths(job: Job) -> Iterator[Found]:
    """Yield each coolant whose strength, with what stayed behind, is outside 40–60 % or cannot be told."""
    for name, every in pours(job).items():
        fluid = job.front.fluids[name]
        if fluid.circuit != "cooling" or re.search("waterless", fluid.base or "", re.IGNORECASE):
            continue
        for words, done in vehicles(job, every):
            found = mixed(job, name, done)
            if found:
                yield found._replace(answers=words)
                break


@dataclass
class System:
    """A cooling system as it is emptied and filled. litres: None when the pack does not say."""

    litres: float | None
    strength: float | None  # %; None when the pack does not say
    diluted: bool = False  # by an amount of water that the pack does not say


def mixed(job: Job, name: str, done: list[Pour]) -> Found | None:
    """Return what is wrong with the strength on one vehicle: glycol in = glycol out "
    "(webapp/trade/fill.py)."""
    fluid = job.front.fluids[name]
    usual = middle(fluid.mix) if fluid.mix else None
    stays = middle(fluid.stays_after_drain) if fluid.stays_after_drain else None
    holds = middle(fluid.capacity) if fluid.capacity else None
    system = System(holds, usual)
    last: Pour | None = None
    for pour in done:
        action = pour.action
        if isinstance(action, Drain):
            came = action.expect or fluid.drains
            if stays is None and system.litres is not None and came:
                system.litres = max(system.litres - middle(came), 0.0)
            else:
                system.litres = stays
        elif isinstance(action, Rinse):
            left = middle(action.stays) if action.stays else stays
            system = System(left, 0.0, diluted=left is None)
        elif isinstance(action, Fill):
            mix = middle(action.mix) if action.mix else usual
            if mix is None:
                return None
            last = pour
            if system.litres is None or system.strength is None or action.volume is None:
                system = thinned(system, mix)
                continue
            volume = middle(action.volume)
            both = system.litres + volume
            glycol = system.litres * system.strength + volume * mix
            system = System(both, glycol / both if both else mix, system.diluted)
    if last is None or not any(isinstance(pour.action, Drain | Rinse) for pour in done):
        return None
    if system.diluted:
        return Found(
            last.spot,
            f"{fluid.name} is poured on water, and nothing says how much of it stayed",
            "`stays` on the `rinse`, or `stays-after-drain` of the fluid, and a `mix` that counts it",
            Spot(None, ("fluids", name)),
            "warning",
        )
    strength = system.strength
    if strength is None or WEAK - NEAR <= strength <= STRONG + NEAR:
        return None
    return Found(
        last.spot,
        f"with what stayed behind, {fluid.name} is {strength:.0f} % strong in the end",
        "`mix` and `volume` that give 40–60 %: the figure “what to pour on what stayed” reckons it",
        Spot(None, ("fluids", name)),
        "warning",
    )


def thinned(system: System, mix: float) -> System:
    """Return a system of unknown litres after a fill: what stayed counts only if it is of another "
    "strength."""
    if system.strength is None or abs(system.strength - mix) <= NEAR:
        return System(system.litres, mix, system.diluted)
    return System(None, None if not system.diluted else 0.0, system.diluted or system.strength < WEAK - NEAR)


# --- R41: caught and named


def uncaught(job: Job) -> Iterator[Found]:
    """Yield each drain that nothing catches, that a smaller pan catches, or whose waste nobody names."""
    last_named = max(
        (
            step.index
            for step in job.steps
            if "waste" in step.data.hazards
            or any("waste-named" in reading.proves for reading in step.data.readings.values())
        ),
        default=-1,
    )
    for name, done in pours(job).items():
        fluid = job.front.fluids[name]
        if fluid.circuit == "refrigerant":
            continue
        drains = [pour for pour in done if isinstance(pour.action, Drain)]
        for pour in drains:
            yield from overflows(job, name, pour)
        back = {pour.action.from_ for pour in done if isinstance(pour.action, Fill)} - {None}
        drains = [pour for pour in drains if getattr(pour.action, "into", None) not in back]
        if drains and last_named < drains[0].step.index:
            yield Found(
                drains[0].spot,
                f"nothing says where the old {fluid.name} goes",
                "“hazards: [waste]” on this step or a later one, and a reading with “proves: waste-named” "
                "that asks who takes it",
                severity="warning",
            )


def overflows(job: Job, name: str, pour: Pour) -> Iterator[Found]:
    """Yield what is wrong with the pan below a drain."""
    action, fluid = pour.action, job.front.fluids[name]
    if not isinstance(action, Drain):
        return
    into = action.into
    pans = [one for one in pour.step.data.tools if job.front.tools[one].holds]
    if into is None and pans:
        into = max(pans, key=lambda one: sum(litres(hold)) if (hold := job.front.tools[one].holds) else 0.0)
    come = action.expect or fluid.drains
    if into is None:
        yield Found(
            pour.spot,
            f"{fluid.name} is drained, and nothing catches it",
            "“into:” a pan under `tools`, with what it `holds`",
            severity="warning",
        )
        return
    pan = job.front.tools[into]
    if come is None:
        return
    if pan.holds is None:
        yield Found(
            pour.spot,
            f"{come.text} of {fluid.name} run into the {pan.name}, and nothing says what it holds",
            f"“holds:” what it takes, at least {come.text}",
            Spot(None, ("tools", into)),
            "warning",
        )
    elif litres(pan.holds)[0] * pan.count < litres(come)[0]:
        yield Found(
            pour.spot,
            f"{come.text} of {fluid.name} run into the {pan.name}, which holds {pan.holds.text}",
            f"a pan that holds at least {come.text}",
            Spot(None, ("tools", into)),
            "warning",
        )


RULES: tuple[Rule, ...] = (
    Rule(
        "R37",
        "Drained means filled",
        "A gearbox that is run dry is scrap in a minute, and one that is filled twice bursts its seals.",
        "error; warning when the litres in and out differ by more than 10 %",
        "What is drained is filled before the engine starts, before the vehicle moves and before the end. "
        "The litres of all fills agree with those that came out, or with the capacity less what stays "
        "behind. Amounts without a number are not judged.",
        rows=(
            Row("level", "starts", IN, "the engine starts, and {name} is {state}", FILL_WRITE,
                only=ENGINE, do="Fill {name} first."),
            Row("level", "moves", IN, "the vehicle is driven, and {name} is {state}", FILL_WRITE,
                unless=frozenset({"circuit-refrigerant"}), do="Fill {name} first."),
            Row("level", "end", IN, "{name} is {state} at the end of the job", "“- fill: {object}” after it",
                unless=frozenset({"circuit-refrigerant"}), do="Fill {name}."),
        ),
        judges=(unbalanced,),
    ),
    Rule(
        "R38",
        "Right fluid, right strength",
        "Too weak it freezes, too strong it boils, and two kinds in one circuit turn to gel or eat its "
        "seals.",
        "error for an unlike kind; warning for the strength",
        "A can that a step pours from, `for` the fluid, does not name another kind than the fluid's "
        "`base`; nor does what goes in where another fluid came out. A filler that is opened for a fill is "
        "the filler of that fluid. The final strength of a coolant, with what stayed behind, lies between "
        "40 and 60 %.",
        judges=(wrong_kinds, strengths),
    ),
    Rule(
        "R39",
        "Bled before it works",
        "An air pocket reads cool and melts the head. Air in a brake is a pedal that goes to the floor.",
        "error; warning when the thermostat is not seen open",
        "A circuit of coolant, fuel, brake, clutch, hydraulics or steering that was opened is bled after "
        "it was closed and filled, before the vehicle moves and before the end. A coolant bleed goes on "
        "until the thermostat is seen open: a reading that proves `thermostat-open`, or a wait whose "
        "`until` says so.",
        rows=(
            Row("air", "moves", NO_AIR, "the vehicle is driven, and {name} is {state}", BLEED_WRITE,
                do="Bleed {name} first."),
            Row("air", "end", NO_AIR, "{name} is {state} at the end of the job", BLEED_WRITE,
                do="Bleed {name}."),
            *(Row("level", f"bleeds-{circuit}", IN, "{name} is bled while it is {state}", FILL_WRITE,
                  do="Fill {name} before it is bled.", anywhere=False) for circuit in BLED),
            Row("due", "end", frozenset({"quiet", "seen"}),
                "{name} is {state}, and the bleed ends without it",
                "a reading with “proves: thermostat-open” where the upper hose turns hot",
                "warning", only=frozenset({"thermostat-open"}), do="See that the thermostat opens."),
        ),
    ),
    Rule(
        "R41",
        "Caught and disposed",
        "Coolant tastes sweet and kills animals and children; used oil does not leave soil or water again.",
        "warning",
        "A drain names the pan it runs `into`, or its step has one, and the pan holds what is expected. "
        "The drain's step or a later one has the hazard `waste`, or a reading that proves `waste-named`. "
        "When the work is laid down, the phone names each drain that is open.",
        rows=(
            Row("opening", "laid-down", frozenset({"shut", "covered"}),
                "{name} is {state}, and the job is left", "", "warning",
                only=frozenset({"way-drain"}), do="Shut {name}, or leave the pan with its lid below it."),
        ),
        judges=(uncaught,),
    ),
)  # fmt: skip
