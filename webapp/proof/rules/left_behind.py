"""R01–R07: nothing left in, off, undone, missing, loose or open."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Cover, Place, Shut, Uncover, Verb

from ..job import Job
from ..relations import Relations
from ..rule import Found, Row, Rule, Spot

NONE = frozenset({0})
SHUT = frozenset({"shut"})
COVERED = frozenset({"shut", "covered"})  # a cover that is left in is R01's
FILLER = frozenset({"filler"})
SNUG = frozenset({"snug"})

OUT = "take it out before this, by count: “- uncover” or “- take-out: {object}”"
TAKE_OUT = "Take out {name}, and count."
SHUT_IT = "“- shut: {object}” before this"

STARTERS = ("starts", "cranks-dry", "cranks-to-bleed")
UNDER_FLUID = ("fills", "presses")


def left_in(moment: str, words: str, *, only: frozenset[str] = frozenset(), anywhere: bool = True) -> Row:
    """Return that no temporary item is in at a moment."""
    return Row(
        "temporary", moment, NONE, "{name}: {state} " + words, OUT, only=only, do=TAKE_OUT, anywhere=anywhere
    )


R01 = Rule(
    "R01",
    "Nothing left inside",
    "One rag stops an oil pump. One ball of foil bends a valve.",
    "error",
    "Every rag, plug, cap, stud, pin and gauge comes out, by count, before the step that hides it and before "
    "the starter turns the engine. A pin in a timed part or a drive comes out before the engine is turned by "
    "hand. A plug comes out before its line is connected; a clamp, by its name, may stay. Chocks come away "
    "before the vehicle moves. A gauge that must stay on while the engine runs is "
    "declared as a part that is fitted and removed.",
    rows=(
        *(left_in(moment, "when the starter turns the engine") for moment in STARTERS),
        left_in("turns-over", "when the engine is turned by hand", only=frozenset({"pins"})),
        left_in("buries", "when “{moment}” hides it", anywhere=False),
        left_in("moves", "when the vehicle is driven"),
        left_in("end", "at the end of the job"),
        Row(
            "connection",
            "connects",
            frozenset({"made", "undone"}),
            "{name} is {state} at “{moment}”: the plug stays in",
            "“- take-out” of the plug before it",
            unless=frozenset({"clamped"}),
            do="Take the plug out of {name}.",
            anywhere=False,
        ),
        Row(
            "chocks",
            "moves",
            frozenset({"off"}),
            "the wheels are chocked when the vehicle is driven",
            "“- unchock: wheels” before it",
            do="Take the chocks away.",
        ),
    ),
)

BACK = "“- refit: {object}”, “- fit: {object}” for a new one, or “- leave-off: {object}” with its reason"
ON_AGAIN = "Put {name} back."

R02 = Rule(
    "R02",
    "Everything off goes back",
    "The heat shield on the bench starts the fire.",
    "error",
    "Each part that was removed or moved aside is refitted, replaced, or declared left off with a reason. "
    "Nothing is put back that did not come off.",
    rows=tuple(
        Row(machine, "end", frozenset(allowed), state + " at the end of the job", BACK, do=ON_AGAIN)
        for machine, allowed, state in (
            ("part", ("fitted", "left off"), "{name} is {state}"),
            ("seal", ("fitted", "left off"), "{name} is {state}"),
            ("added", ("fitted", "none"), "{name} is {state}"),
            ("parts", (0,), "{name}: {state}"),
        )
    ),
)

MADE = frozenset({"made"})
CONNECT = "“- connect: {object}” after its last `disconnect`"

R03 = Rule(
    "R03",
    "Everything undone is rejoined",
    "A missing engine earth burns cables and fakes sensor faults.",
    "error",
    "Every plug, hose, line and strap that was undone is made again: those of a circuit before it is filled "
    "or put under pressure, all of them before the end.",
    rows=(
        *(
            Row(
                "connection", moment, MADE, "{name} is {state} at “{moment}”", CONNECT,
                unless=FILLER, do="Connect {name}.", anywhere=False,
            )
            for moment in UNDER_FLUID
        ),
        Row(
            "connection", "end", MADE, "{name} is {state} at the end of the job", CONNECT,
            do="Connect {name}.",
        ),
        Row(
            "earth", "end", frozenset({"on", "unknown"}), "{name} is {state} at the end of the job", CONNECT,
            unless=frozenset({"undeclared"}), do="Put {name} back on its post.",
        ),
    ),
)  # fmt: skip

ALL_BACK = (
    "“- start-by-hand: {object}” with the same count; `scrap` for those thrown away, and a group of their "
    "own for others that take their place"
)

R04 = Rule(
    "R04",
    "Fasteners in equal fasteners out",
    "The odd bolt is in the valley or missing from the joint.",
    "error",
    "Each group goes back with as many as came out, before the vehicle is driven and before the end. A "
    "group thrown away for another one that holds the same things, and the bolts of a part that is left "
    "off, are counted as gone.",
    rows=(
        *(
            row
            for moment, when in (("moves", "when the vehicle is driven"), ("end", "at the end of the job"))
            for row in (
                Row("out", moment, NONE, "{name}: {state} " + when, ALL_BACK,
                    do="Find the missing ones of {name}."),
                Row("group", moment, frozenset(), "{name}: {state} " + when, ALL_BACK,
                    unless=frozenset({"counted", "replaced"}), do="Put in {name}.",
                    barred=frozenset({"out"})),
            )
        ),
    ),
)  # fmt: skip

TURNED = frozenset({"torqued", *(f"turn {number}" for number in range(1, 20))})
TIGHT = frozenset({"tight", "out", "left off"})  # what is out is R04's
FINISH_IT = (
    "“- tighten: {object}” up to its figure; `snug: true` or `touch-plus` where the group has none by design"
)
TIGHTEN = "Tighten {name} to the figure."

R05 = Rule(
    "R05",
    "Nothing left finger-tight",
    "Finger-tight leaks today and falls out next week.",
    "error",
    "Each group reaches its final figure, or the snug or touch-plus-turn state that it declares: those that "
    "close a circuit before it is filled or put under pressure, all of them before the vehicle is driven and "
    "before the end.",
    rows=(
        *(
            Row("group", moment, allowed, "{name}: {state} " + when, FINISH_IT, unless=unless, only=only,
                do=TIGHTEN)
            for moment, when in (("end", "at the end of the job"), ("moves", "when the vehicle is driven"))
            for allowed, unless, only in (
                (TIGHT | TURNED, SNUG, frozenset[str]()),
                (TIGHT | TURNED | SNUG, frozenset[str](), SNUG),
            )
        ),
        *(
            Row("group", moment, allowed, "{name}: {state} at “{moment}”", FINISH_IT, unless=unless,
                only=only, do=TIGHTEN, anywhere=False)
            for moment in UNDER_FLUID
            for allowed, unless, only in (
                (TIGHT, SNUG | {"joint-bracket", "joint-rotating", "joint-structural"}, frozenset[str]()),
                (TIGHT | SNUG, frozenset({"joint-bracket", "joint-rotating", "joint-structural"}), SNUG),
            )
        ),
    ),
)  # fmt: skip

ON = frozenset({"fitted", "left off", "aside"})
AIR_WAY = frozenset({"air-way"})
SHUT_FIRST = "Shut {name}."


def hole(machine: str, moment: str, allowed: frozenset[str] | frozenset[int], state: str) -> Row:
    """Return that a part of a circuit is on when the circuit is filled or put under pressure."""
    return Row(
        machine, moment, frozenset(allowed), state + " when “{moment}”: its circuit is open there",
        "“- refit: {object}” or “- fit: {object}” before this; `way: filler` if it is filled through here",
        unless=FILLER, do=ON_AGAIN, anywhere=False,
    )  # fmt: skip


R06 = Rule(
    "R06",
    "Every opening shut",
    "Litres on the floor, oil on the road.",
    "error",
    "Drains, bleeds, fillers and sensor holes are shut before their circuit is filled or put under "
    "pressure, before the engine is started, before the vehicle is driven and at the end. What is filled "
    "through may be open while it is filled: `way: filler` or `bleed`, or opened in the step that fills. A "
    "filler or bleed of the cooling circuit, and a `way: filler` of steering or hydraulics, may be open when "
    "the engine is started, to let air out. A cover that is left in is for R01.",
    rows=(
        Row("opening", "fills", SHUT, "{name} is {state} at “{moment}”",
            SHUT_IT + "; `way: filler` or `way: bleed` if it is open for that", unless=FILLER, do=SHUT_FIRST,
            anywhere=False),
        Row("opening", "presses", COVERED, "{name} is {state} at “{moment}”", SHUT_IT, do=SHUT_FIRST,
            anywhere=False),
        *(
            row
            for moment in UNDER_FLUID
            for row in (
                hole("part", moment, ON, "{name} is {state}"),
                hole("added", moment, frozenset({"fitted", "none"}), "{name} is {state}"),
                hole("parts", moment, NONE, "{name}: {state}"),
            )
        ),
        Row("opening", "starts", COVERED, "{name} is {state} when the engine is started", SHUT_IT,
            unless=AIR_WAY, do=SHUT_FIRST),
        Row("opening", "cranks-dry", COVERED, "{name} is {state} when the engine is cranked", SHUT_IT,
            only=frozenset({"circuit-oil"}), do=SHUT_FIRST),
        Row("opening", "cranks-to-bleed", COVERED, "{name} is {state} when the engine is cranked", SHUT_IT,
            unless=AIR_WAY | {"circuit-fuel"}, do=SHUT_FIRST),
        Row("opening", "moves", COVERED, "{name} is {state} when the vehicle is driven", SHUT_IT,
            do=SHUT_FIRST),
        Row("opening", "end", COVERED, "{name} is {state} at the end of the job", SHUT_IT, do=SHUT_FIRST),
    ),
)  # fmt: skip

TAPE = re.compile(r"\btape\b", re.IGNORECASE)
FLUFFY = re.compile(r"\b(rags?|cloths?|towels?|tissues?|wool|cotton|wadding|fleece)\b", re.IGNORECASE)
NO_FLUFF = re.compile(r"lint[- ]?free|fluff[- ]?free|non-linting", re.IGNORECASE)


def wrong_covers(job: Job) -> Iterator[Found]:
    """Yield tape on oil and fuel openings, and what sheds fluff in fuel openings, by the cover's name."""
    relations = Relations(job.front)
    for step in job.steps:
        for at, action in enumerate(step.actions):
            opening, cover = covered(action)
            item, used = job.front.items.get(opening), job.front.items.get(cover)
            if item is None or used is None or item.kind != "opening":
                continue
            told = wrong_cover(used, relations.circuits_of(item))
            if told:
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"{item.name} is covered with {used.name}: {told}",
                    "a plug or cap that fits, as another temporary item",
                    also=Spot(None, ("items", cover)),
                    severity="warning",
                )


def covered(action: Verb) -> tuple[str, str]:
    """Return the opening that an action covers and what it covers it with, or two empty names."""
    if isinstance(action, Cover):
        return action.cover, action.with_
    return (action.in_ or "", action.place) if isinstance(action, Place) else ("", "")


def wrong_cover(cover: schema.Item, circuits: set[str]) -> str:
    """Return what is wrong with a cover, or nothing."""
    if TAPE.search(cover.name) and circuits & {"oil", "fuel"}:
        return "its glue goes into the oil or the fuel"
    if FLUFFY.search(cover.name) and not NO_FLUFF.search(cover.name) and "fuel" in circuits:
        return "its fluff goes into the fuel line"
    return ""


OPENINGS = frozenset({"opening", "connection"})


def covers_of_others(job: Job) -> Iterator[Found]:
    """Yield each opening that is covered with what goes `into` other openings only.

    What goes into a part may go into any opening of it.
    """
    items = job.front.items
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Cover) or action.with_ not in items or action.cover not in items:
                continue
            used = items[action.with_]
            into = [items[one].kind for one in used.into if one in items]
            if set(into) <= OPENINGS and used.into and action.cover not in used.into:
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"{items[action.cover].name} is covered with {used.name}, which is for "
                    f"{' and '.join(items[one].name for one in used.into if one in items)}",
                    f"what fits here, or `{action.cover}` in the `into` of `{action.with_}` too",
                    also=Spot(None, ("items", action.with_)),
                    severity="warning",
                )


def too_few_covers(job: Job) -> Iterator[Found]:
    """Yield openings of which only some are covered although there is a cover for each.

    Counted is all that covers them before the first comes out. What the answers choose between is added up,
    so that too few are told only when no vehicle has enough. One sheet over six ports has no cover for each;
    six plugs in seven ports have.
    """
    count: dict[str, int] = {}
    most: dict[str, int] = {}
    last: dict[str, Spot] = {}

    def few(opening: str) -> Iterator[Found]:
        item, covers = job.front.items[opening], count.pop(opening, 0)
        each = item.count <= most[opening] or (covers > 1 and item.count % covers != 0)
        if 0 < covers < item.count and each:
            yield Found(
                last[opening],
                f"{covers} of {item.count} of {item.name} are covered",
                f"“count: {item.count}” here, or another cover for the rest",
                severity="warning",
            )

    for step in job.steps:
        for at, action in enumerate(step.actions):
            opening, cover = covered(action)
            item, used = job.front.items.get(opening), job.front.items.get(cover)
            if item and used and item.kind == "opening":
                count[opening] = count.get(opening, 0) + (getattr(action, "count", None) or used.count)
                most[opening] = max(most.get(opening, 0), used.count)
                last[opening] = Spot(step.id, ("actions", at))
            elif isinstance(action, Uncover | Shut) and action.target() in count:
                yield from few(action.target())
    for opening in list(count):
        yield from few(opening)


COVER_IT = "“- cover: {object}” with a temporary item, in the step that opens it"
COVER = "Cover {name}."
PORT = frozenset({"port"})

R07 = Rule(
    "R07",
    "Open port covered, with the right cover",
    "Dirt is wear, grit is failure.",
    "warning; error when chips or grit are made nearby",
    "A port is covered, all of it by count, while other work goes on past the step that opened it, and when "
    "the work is laid down. Drilling, tapping, scraping or blowing beside a bare opening is an error. No "
    "tape on oil and fuel openings, nothing that sheds fluff in fuel openings: the cover's name tells. What "
    "a cover goes `into` names what it covers. "
    "Drains, fillers and bleeds need no cover.",
    rows=(
        Row("opening", "cuts", COVERED, "{name} is {state}, and “{moment}” makes chips beside it", COVER_IT,
            do=COVER, anywhere=False),
        Row("opening", "dirties", COVERED, "{name} is {state}, and “{moment}” makes grit beside it", COVER_IT,
            do=COVER, anywhere=False),
        Row("opening", "works-past", COVERED | {"uncovered"},
            "{name} is {state} since “{since}”, and other work goes on in “{step}”", COVER_IT, "warning",
            only=PORT, do=COVER, anywhere=False),
        Row("opening", "stops-safely", COVERED, "{name} is {state}, and the work may be laid down here",
            COVER_IT, "warning", only=PORT, do=COVER),
    ),
    judges=(wrong_covers, covers_of_others, too_few_covers),
)  # fmt: skip

RULES: tuple[Rule, ...] = (R01, R02, R03, R04, R05, R06, R07)
