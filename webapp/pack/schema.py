"""The pack language, version 1: every key an author may write, typed.

This is the one place that says what a pack may hold. The JSON Schema and the authors' reference are made from
it. Doc strings and `description`s below are written for authors.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, StringConstraints, WithJsonSchema

from .actions import Action, Verb
from .fields import (
    ONE_OR_MANY,
    Angle,
    AnyAmount,
    ConsumableRef,
    Coordinate,
    Count,
    Distance,
    Drill,
    Duration,
    FluidRef,
    HazardRef,
    Id,
    ItemOrFastenersRef,
    ItemRef,
    Length,
    LicensedRef,
    Mass,
    Number,
    PartRef,
    ProvedRef,
    ReadingRef,
    SealantRef,
    SealRef,
    Share,
    SignalWord,
    Size,
    SourceRef,
    StepRef,
    Strict,
    Temperature,
    Text,
    Texts,
    ToolRef,
    Torque,
    UseRef,
    Volume,
    WaitRef,
    When,
)
from .walk import shape

FORMAT = 1


class Source(Strict):
    """Where figures come from."""

    kind: Literal["manual", "label", "standard", "practice", "invented"] = Field(
        description="practice: common practice, no source. invented: never to be used on a vehicle."
    )
    title: Text = Field(description="The name by which it is looked up: title, edition, page.")
    note: Text | None = Field(None, description="What else to know of it: its date, or what it wins over.")


class Question(Strict):
    """What differs between vehicles. The answer selects steps."""

    ask: Text = Field(description="The question, as it is asked before the job.")
    answers: dict[Id, Text] = Field(min_length=2, description="Each answer's id and the words shown.")
    why: Text | None = Field(None, description="How the repairer can tell, and why it matters.")
    when: When = Field({}, description="Ask only under these earlier answers.")


class Opening(Strict):
    """What the pack assumes of the machine before its first step; what is not said is unknown."""

    engine: Literal["hot", "warm", "cold"] | None = Field(None, description="How hot the engine is.")
    earth: Literal["on", "off"] | None = Field(None, description="The battery's earth lead.")
    wheels: Literal["on-ground", "on-stands", "on-lift"] | None = Field(
        None, description="What the vehicle stands on."
    )
    air: Literal["ventilated"] | None = Field(
        None, description="The bay is aired well enough to run an engine in."
    )
    full: Annotated[list[FluidRef], ONE_OR_MANY] = Field([], description="Fluids that are at their level.")


class Item(Strict):
    """Anything that is removed, disconnected, covered, opened or renewed."""

    kind: Literal[
        "part", "connection", "opening", "temporary", "guard", "seal", "joint", "drive", "load", "earth-lead"
    ] = Field(
        description="opening: drain, filler, port. temporary: comes out again before the end. "
        "joint: two faces that a seal or a bead closes. drive: belt or chain. load: needs support."
    )
    name: Text = Field(description="What people call it, in the middle of a sentence: “coolant pump”.")
    count: Count = Field(1, description="How many there are.")
    renew: bool = Field(False, description="Replaced by a new one in this job.")
    one_use: bool = Field(False, description="Has one life: never goes back.")
    compare: Texts = Field([], description="What to compare, new against old, before the point of no return.")
    hides: Annotated[list[ItemOrFastenersRef], ONE_OR_MANY] = Field(
        [], description="What cannot be reached or seen while it is on."
    )
    carries: (
        Literal[
            "live",
            "earth",
            "signal",
            "coolant",
            "fuel",
            "oil",
            "air",
            "vacuum",
            "brake-fluid",
            "refrigerant",
            "force",
        ]
        | None
    ) = Field(None, description="What runs through a connection.")
    fluid: FluidRef | None = Field(None, description="The fluid behind it.")
    into: Annotated[list[ItemRef], ONE_OR_MANY] = Field(
        [], description="The opening or part a temporary item goes into."
    )
    sealed_by: SealRef | None = Field(None, description="The bead or gasket that seals it.")
    mass: Mass | None = Field(None, description="What a person lifts.")
    when: When = Field({}, description="Only vehicles with these answers have it.")
    sprung: bool = Field(False, description="Stores force when it is let go.")
    timed: bool = Field(False, description="Its position times the engine.")
    way: Literal["filler", "bleed", "drain", "port", "valve"] | None = Field(
        None,
        description="What an opening is for. A filler or a bleed may be open while its circuit is filled. "
        "valve: a tap in a line, such as a fuel tap or a seacock; open in service, shut for the work.",
    )
    form: Literal["gasket", "o-ring", "crush-washer", "tab-washer", "split-pin", "lip-seal"] | None = Field(
        None, description="What kind of seal it is."
    )
    between: Annotated[list[ItemRef], ONE_OR_MANY] = Field(
        [],
        description="Of a joint: the parts whose faces it closes; needed when one sealant closes several.",
    )
    earths: bool = Field(False, description="It earths through its thread: no tape and no sealant on it.")
    source: SourceRef | None = Field(None, description="Where its figures come from.")
    note: Text | None = Field(None, description="What else to know of it.")


class Lengths(Strict):
    """Bolts of one length in a group, and the positions they belong to."""

    length: Size = Field(description="How long the bolt is under its head.")
    count: Count = Field(description="How many of this length.")
    at: list[Number] = Field([], description="Positions in the pattern's numbering.")
    torque: Torque | None = Field(None, description="When this length has a figure of its own.")


class Pattern(Strict):
    """Where the bolts sit, so that they can be drawn and followed. Name exactly one layout."""

    circle: Number | None = Field(None, description="Bolts on a circle, counted clockwise from the top.")
    row: Number | None = Field(None, description="Bolts in one row, counted from the left.")
    rows: list[Number] | None = Field(None, description="Bolts in each parallel row.")
    rectangle: Annotated[list[Annotated[Number, Field(ge=2)]], Field(min_length=2, max_length=2)] | None = (
        Field(None, description="Bolts along the long side and along the short side; corners count in both.")
    )
    vee: Annotated[list[Number], Field(min_length=2, max_length=2)] | None = Field(
        None, description="Bolts on the left and on the right bank."
    )
    points: (
        Annotated[
            list[Annotated[list[Coordinate], Field(min_length=2, max_length=2)]],
            Field(min_length=1, max_length=200),
        ]
        | None
    ) = Field(None, description="[x, y] of each bolt as you look at the part, x to the right, y down.")

    def layouts(self) -> list[str]:
        """Return the names of the layouts that are given."""
        return [name for name in type(self).model_fields if getattr(self, name) is not None]

    def count(self) -> int:
        """Return how many bolts the layout holds."""
        if self.rectangle:
            long, short = self.rectangle
            return 2 * long + 2 * short - 4
        one = self.circle or self.row
        return one or sum(self.rows or self.vee or []) or len(self.points or [])


class Fasteners(Strict):
    """Bolts, nuts or screws that are tightened together."""

    name: Text = Field(description="What people call the group, in the middle of a sentence: “pump bolts”.")
    count: Count | None = Field(None, description="How many. May be left out when `lengths` add up.")
    lengths: list[Lengths] = Field([], description="When the bolts are not all of one length.")
    thread: Text = Field(description="M8x1.25 · 3/8-16 UNC · 1/4-28 UNF · 1/8-27 NPT · G 1/4")
    class_: Text | None = Field(None, description="Strength: 8.8, 10.9, grade 5 …")
    head: Text | None = Field(None, description="What the socket must fit: 13 mm hex, T40 …")
    into: Literal["steel", "cast-iron", "aluminium", "brass", "plastic"] | None = Field(
        None, description="What the thread that they screw into is made of."
    )
    torque: Torque | None = Field(
        None, description="The full figure of each fastener, for the thread condition in `figure-for`."
    )
    snug: bool = Field(False, description="Declared snug only: no figure exists.")
    touch_plus: Angle | None = Field(None, description="Touch plus so much turn, when there is no torque.")
    angle: Annotated[list[Angle], ONE_OR_MANY] = Field([], description="Turns after the torque, in order.")
    passes: list[AnyAmount] = Field(
        [], description="Each pass as a share of the torque or as a torque; the last is the full figure."
    )
    pattern: Pattern | None = Field(
        None,
        description="Where they sit. The tightening order is worked out from it, unless `order` gives it.",
    )
    order: list[Number] = Field([], description="The maker's own order; it always wins.")
    threads: Literal["dry", "oiled", "threadlocker", "sealant", "anti-seize", "as-supplied"] | None = Field(
        None, description="What is on the threads when they go in."
    )
    figure_for: Literal["dry", "oiled", "as-supplied", "threadlocker", "sealant", "anti-seize"] | None = (
        Field(None, description="The thread condition that the torque was given for.")
    )
    when: When = Field({}, description="Only vehicles with these answers have it.")
    one_use: bool = Field(False, description="New ones are fitted; the old ones never go back.")
    left_hand: bool = Field(False, description="A left-hand thread: it undoes clockwise.")
    joint: Literal["sealed", "structural", "bracket", "rotating", "fuel", "brake", "wheel"] | None = Field(
        None, description="What hangs on it holding. wheel: the nuts or bolts of a road wheel."
    )
    holds: Annotated[list[ItemRef], ONE_OR_MANY] = Field([], description="What the group holds on.")
    source: SourceRef | None = Field(None, description="Where its figures come from.")
    note: Text | None = Field(None, description="What else to know of it.")

    def total(self) -> int:
        """Return how many fasteners the group has: its count, or its lengths added up."""
        return self.count or sum(part.count for part in self.lengths)


class Fluid(Strict):
    """A fluid and the circuit it runs in."""

    name: Text = Field(description="What people call it: “coolant”.")
    circuit: Literal[
        "cooling", "oil", "fuel", "brake", "clutch", "steering", "hydraulic", "gear", "refrigerant"
    ] = Field(description="What it runs in.")
    capacity: Volume | None = Field(None, description="What the whole circuit holds.")
    drains: Volume | None = Field(None, description="What is expected to come out.")
    stays_after_drain: Volume | None = Field(None, description="What the drain leaves in the circuit.")
    base: Text | None = Field(None, description="Chemistry: ethylene glycol, mineral 10W-40 …")
    mix: Share | None = Field(None, description="Strength by volume.")
    source: SourceRef | None = Field(None, description="Where its figures come from.")
    note: Text | None = Field(None, description="What else to know of it.")


class Label(Strict):
    """The bay that the label's times are given for."""

    temperature: Temperature = Field(description="The air temperature on the label.")
    humidity: Share = Field(description="The relative humidity on the label.")


class Sealant(Strict):
    """A sealant and what its label says. Full cure is always separate from setting."""

    name: Text = Field(description="What people call it: “coolant-safe silicone sealant”.")
    method: Literal["close-wet", "close-tacky", "finger-tight-then-torque"] = Field(
        description="close-wet: within the open time. close-tacky: wait until tacky. "
        "finger-tight-then-torque: close finger-tight, wait to set, then tighten."
    )
    bead: Length | None = Field(None, description="How thick the bead is laid.")
    path: Length | None = Field(
        None, description="How far moisture must travel: half the flange width in a closed joint."
    )
    label_path: Length | None = Field(None, description="The depth that the label's full cure is given for.")
    open_time: Duration | None = Field(None, description="The joint must be closed within it.")
    tacky_after: Duration | None = Field(None, description="The joint must not be closed before it.")
    to_torque: Duration | None = Field(None, description="From closing finger-tight to final tightening.")
    to_fluid: Duration = Field(description="Full cure: before fluid, pressure or heat.")
    at: Label = Field(description="The bay that these times are given for.")
    suits: Annotated[list[FluidRef], ONE_OR_MANY] = Field(
        [], description="Fluids that the cured sealant stands up to."
    )
    acid_curing: bool = Field(
        False,
        description="Gives off acetic acid as it cures (smells of vinegar): it eats bare metal and sensors.",
    )
    source: SourceRef | None = Field(None, description="Where its figures come from.")
    note: Text | None = Field(None, description="What else to know of it.")


class Energy(Strict):
    """A source of energy that is not the key: it can start, spark, spring or shock by itself."""

    kind: Literal[
        "auto-start", "fan", "standby", "mains", "heater", "high-voltage", "restraint", "spring", "pressure",
        "fuel-pump",
    ] = Field(
        description="What kind of energy. fuel-pump: what brings fuel when the engine is cranked; isolated, "
        "the fuel is off."
    )  # fmt: skip
    name: Text = Field(description="What people call it: “electric radiator fan”.")
    reaches: Annotated[list[ItemOrFastenersRef], ONE_OR_MANY] = Field(
        [],
        description="What hands must not touch while it is armed. Left out: belts, guards and what rotates.",
    )
    lock: Text | None = Field(None, description="How it is locked off and tried.")
    when: When = Field({}, description="Only vehicles with these answers have it.")


class Wrench(Strict):
    """A torque wrench: its range, its graduation and its length."""

    range: Torque = Field(description="The smallest and the largest torque that it can be set to: 5–25 N·m.")
    graduation: Torque | None = Field(None, description="What one mark of its scale is.")
    length: Length | None = Field(None, description="Grip centre to drive square.")


class Tool(Strict):
    """Something that is laid out before the job and counted after it."""

    name: Text = Field(description="What to take from the chest.")
    count: Count = Field(1, description="How many are laid out.")
    size: Size | None = Field(
        None, description="Its size is its name, and is never converted: a 13 mm socket."
    )
    wrench: Wrench | None = Field(None, description="For a torque wrench.")
    adapter: Length | None = Field(
        None,
        description="For a crowfoot or another adapter that moves the fastener away from the drive square: "
        "drive square to fastener. A straight extension on the axis of the drive has none.",
    )
    holds: Volume | None = Field(None, description="For a pan or jug.")
    when: When = Field({}, description="Only vehicles with these answers need it.")
    note: Text | None = Field(None, description="What else to know of it.")


class Part(Strict):
    """Something that is ordered for the job and stays on the vehicle."""

    name: Text = Field(description="What to ask for at the counter.")
    count: Count = Field(1, description="How many to order.")
    for_: Annotated[list[ItemOrFastenersRef], ONE_OR_MANY] = Field(
        [], description="What it replaces or holds."
    )
    choose_by: Text | None = Field(
        None, description="How the right variant is told: engine number, build date."
    )
    when: When = Field({}, description="Only vehicles with these answers need it.")
    note: Text | None = Field(None, description="What else to know of it.")


class Consumable(Strict):
    """Something that is used up."""

    name: Text = Field(description="What to ask for at the counter.")
    amount: AnyAmount | None = Field(
        None, description="How much the job uses: 85 mL, 250 g. Give this or `count`."
    )
    count: Count | None = Field(None, description="How many the job uses: 6 rags.")
    pack: AnyAmount | None = Field(None, description="The size it is sold in.")
    for_: Annotated[list[UseRef], ONE_OR_MANY] = Field([], description="What it is used on.")
    when: When = Field({}, description="Only vehicles with these answers need it.")
    note: Text | None = Field(None, description="What else to know of it.")


class Fact(Strict):
    """What the repairer states before going on, never “OK”: a statement, or a range to measure in."""

    ask: Text = Field(description="What the repairer has to look at or measure.")
    statement: Text | None = Field(None, description="The words on the button: “Stands locked and shaken”.")
    range: AnyAmount | None = Field(None, description="The measured value must fall in it.")


class Hazard(Strict):
    """A danger of this pack's own, beside the built-in ones."""

    word: SignalWord = Field(
        description="danger: will kill or maim. warning: could. caution: minor injury. notice: damage only."
    )
    name: Text = Field(description="The danger in a word or two.")
    what: Text = Field(description="What can hurt.")
    happens: Text = Field(description="What happens.")
    avoid: Text = Field(description="How to avoid it.")
    protect: Texts = Field([], description="What to wear or to have at hand.")
    defer: Text | None = Field(None, description="The code, law or practice that comes first.")
    first_aid: Text | None = Field(None, description="What to do when it has happened.")
    symbol: Literal[
        "general", "electricity", "hot", "fire", "crush", "moving", "toxic", "corrosive", "pressure",
        "battery", "falling", "suspended", "sharp", "automatic-start", "gas",
    ] = Field("general", description="The warning sign beside it.")  # fmt: skip
    fact: Fact | None = Field(None, description="Needed for danger and warning.")


class Cut(Strict):
    """A hole that is drilled or tapped, or metal that is filed."""

    name: Text = Field(description="What is cut, in the middle of a sentence: “hole for the thread insert”.")
    into: Literal["steel", "cast-iron", "aluminium", "brass", "plastic"] = Field(description="What is cut.")
    drill: Drill | None = Field(None, description="The drill: 6.8 mm, 17/64 in, letter F, or “#7” in quotes.")
    thread: Text | None = Field(None, description="The thread that is tapped: M8x1.25.")
    depth: Length | None = Field(None, description="How deep, from the face.")
    pilot: list[Size] = Field([], description="Smaller drills that come first, in order.")
    near: Annotated[list[ItemRef], ONE_OR_MANY] = Field(
        [], description="Openings that chips could fall into."
    )
    source: SourceRef | None = Field(None, description="Where its figures come from.")


class HandOver(Strict):
    """Work that a licensed person does or makes safe."""

    name: Text = Field(description="The work.")
    to: Text = Field(description="Who does it: “a licensed refrigerant technician”.")
    proof: Text = Field(description="What that person hands back.")
    covers: Annotated[list[LicensedRef], ONE_OR_MANY] = Field(
        [], description="What it makes safe. Left out: whatever is done after it."
    )


class FollowUp(Strict):
    """A look that comes after the job: by time, distance or heat cycles, whichever is first."""

    name: Text = Field(description="The look in a word or two.")
    after: Duration | None = Field(None, description="Time from the end of the job.")
    distance: Distance | None = Field(None, description="Distance driven after the job.")
    heat_cycles: Count | None = Field(None, description="Times hot and cold again after the job.")
    what: Text = Field(description="What to look at, and what should be seen.")
    checks: Annotated[
        list[Literal["level", "leak", "belt", "wheel-fasteners", "idle", "settings", "torque"]], ONE_OR_MANY
    ] = Field([], description="What of this job the look is for.")


class Accept(Strict):
    """A finding that the author accepts, with the reason that prints on the sheet."""

    code: Annotated[str, StringConstraints(max_length=40)] = Field(description="The finding's code: R54.")
    at: Annotated[str, StringConstraints(max_length=60)] = Field(
        description="The step or declared id that the finding concerns."
    )
    reason: Annotated[str, StringConstraints(strip_whitespace=True, min_length=12, max_length=600)] = Field(
        description="Why it is right here, for whoever holds the sheet."
    )


class FrontMatter(Strict):
    """The head of a pack: what the job is, and everything its steps refer to."""

    format: Annotated[Literal["1"], WithJsonSchema({"enum": [1, "1"]})] = Field(
        "1", description="The version of the pack language."
    )
    title: Text = Field(description="The job, as it is called at the counter.")
    vehicle: Text = Field(description="The machine that the figures are for.")
    invented: bool = Field(
        False, description="Vehicle and figures are invented; nobody may use them on a machine."
    )
    summary: Text = Field(description="The job in two or three sentences.")
    for_: Text = Field(description="Who can do it.")
    not_for: Texts = Field(min_length=1, description="What the pack must not be used for.")
    units: Literal["us", "si"] = Field(description="What the author writes in.")
    opening: Opening = Field(Opening(), description="The machine before the first step.")
    sources: dict[Id, Source] = Field({}, description="Where figures come from.")
    questions: dict[Id, Question] = Field({}, description="What differs between vehicles.")
    items: dict[Id, Item] = Field(
        {}, description="What is removed, disconnected, covered, opened or renewed."
    )
    fasteners: dict[Id, Fasteners] = Field({}, description="Groups of bolts, nuts and screws.")
    fluids: dict[Id, Fluid] = Field({}, description="Fluids and their circuits.")
    sealants: dict[Id, Sealant] = Field({}, description="Sealants and their labels.")
    energy: dict[Id, Energy] = Field({}, description="What can start, spark, spring or shock by itself.")
    tools: dict[Id, Tool] = Field({}, description="What is laid out, and counted after the job.")
    parts: dict[Id, Part] = Field({}, description="What is ordered, and stays on the vehicle.")
    consumables: dict[Id, Consumable] = Field({}, description="What is used up.")
    hazards: dict[Id, Hazard] = Field({}, description="Dangers that are not built in.")
    cuts: dict[Id, Cut] = Field({}, description="Holes that are drilled or tapped.")
    hand_overs: dict[Id, HandOver] = Field({}, description="Work for a licensed person.")
    follow_ups: dict[Id, FollowUp] = Field({}, description="Looks after the job.")
    accept: list[Accept] = Field([], description="Findings that are accepted, each with its reason.")
    silence: Annotated[list[Literal["prose-untyped", "prose-long", "prose-two-actions"]], ONE_OR_MANY] = (
        Field([], description="Warnings about the wording that this pack goes without.")
    )

    def object_of(self, action: Verb) -> tuple[str, Any]:
        """Return what an action is done to, and its table; no table for a word such as `engine`."""
        for table in shape(type(action))[0].tables:
            entry = getattr(self, table.replace("-", "_")).get(action.target())
            if entry is not None:
                return table, entry
        return "", None


class Wait(Strict):
    """Time that needs no hands. It has a number, or a condition that can be seen, or both."""

    kind: Literal[
        "open-time", "tacky", "set", "full-cure", "soak", "dry", "warm-up", "bleed", "cool-down", "settle"
    ] = Field(
        description="open-time, tacky, set and full-cure take their time from the label of `sealant`. "
        "settle: anything else that comes to rest."
    )
    name: Text = Field(description="What is waited for: “Engine cools before the cap is opened”.")
    sealant: SealantRef | None = Field(None, description="The label whose time this clock keeps.")
    least: Duration | None = Field(None, description="It must last this long.")
    most: Duration | None = Field(None, description="It must not last longer.")
    until: Texts = Field([], description="What must be seen for it to end.")
    attended: bool = Field(False, description="Somebody stays and watches.")
    stop_if: Texts = Field([], description="Stop at once if any of these is seen.")


Proof = Literal[
    "cold", "no-pressure", "level", "dry", "firm-pedal", "slow-stop", "thermostat-open", "first-minute",
    "hot-look", "cold-level", "belt-seen", "measured-twice", "waste-named", "settings",
]  # fmt: skip
"""cold: a bare hand can rest on it, or it is measured below 50 °C. slow-stop: a stop from walking pace."""


class Reading(Strict):
    """A value measured, or a thing looked at, at the vehicle."""

    ask: Text = Field(description="What to measure or to look at.")
    range: AnyAmount | None = Field(None, description="The range it must fall in; none for a plain record.")
    unit: Text | None = Field(None, description="The unit, when there is no range.")
    expect: Text | None = Field(None, description="For a look: what should be seen.")
    if_outside: Text | None = Field(None, description="What to do when it is not so.")
    before: ReadingRef | None = Field(None, description="The earlier reading it is compared with.")
    proves: Annotated[list[Proof], ONE_OR_MANY] = Field(
        [], description="What is known once it has been taken, and nothing else of this step tells."
    )
    of: ProvedRef | None = Field(None, description="The fluid, item or group that it is taken on.")
    source: SourceRef | None = Field(None, description="Where its figures come from.")


class Step(Strict):
    """The typed data of one step, in its ```step block."""

    hands_on: Duration = Field(description="Time with hands on it.")
    needs: Annotated[list[StepRef], ONE_OR_MANY] | None = Field(
        None, description="The steps that must be done first. Left out: the step before."
    )
    after: Annotated[list[WaitRef], ONE_OR_MANY] = Field([], description="Waits that must be over first.")
    when: When = Field({}, description="Only under these answers.")
    already: Text | None = Field(
        None, description="What may be found done already, so that the step is passed over."
    )
    hazards: Annotated[list[HazardRef], ONE_OR_MANY] = Field(
        [],
        description="Of the pack, or built in: exhaust-gas, falling-vehicle, fuel, high-voltage, back-feed, "
        "scald, battery, moving-parts, refrigerant, brakes, heavy, sprung, fumes, compressed-air, hot-metal, "
        "sharp-edge, waste, static, paint.",
    )
    tools: Annotated[list[ToolRef], ONE_OR_MANY] = Field([], description="What to take in the hand for it.")
    parts: Annotated[list[PartRef], ONE_OR_MANY] = Field([], description="New parts that it uses.")
    consumables: Annotated[list[ConsumableRef], ONE_OR_MANY] = Field([], description="What it uses up.")
    actions: list[Action] = Field([], description="What is done to the machine, in order; one verb each.")
    waits: dict[Id, Wait] = Field(
        {}, description="Waits that begin when this step is ticked; attended ones inside it."
    )
    readings: dict[Id, Reading] = Field({}, description="What is measured or looked at in it.")
    photo: Texts = Field([], description="What the picture must show.")
    mentions: Annotated[list[AnyAmount], ONE_OR_MANY] = Field(
        [], description="Amounts in the prose that are not this step's data."
    )
    safe_stop: Text | None = Field(None, description="How the job can be left here overnight.")
    people: Count = Field(1, description="How many people it takes.")
    source: SourceRef | None = Field(None, description="Where it comes from.")
