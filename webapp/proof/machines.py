"""The things a job can leave in the wrong state: one table for each kind, from state to state by move.

A move that has no entry for a state is not possible in it: a hose is not pulled off twice. A whole number is
a count of things that are away from their resting place; its moves add and take away.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from webapp.pack import schema
from webapp.pack.model import State

Table = Mapping[State, State]


@dataclass(frozen=True, slots=True)
class Machine:
    """A kind of thing. moves: by name, a table from state to state, or +1 or -1 for a count."""

    name: str
    moves: Mapping[str, Table | int]
    rest: frozenset[State]
    words: Mapping[State, str] = field(default_factory=dict)
    rule: str = "R52"  # what an impossible move breaks
    rules: Mapping[str, str] = field(default_factory=dict)  # by move, where it is another rule
    refused: Mapping[str, str] = field(default_factory=dict)  # by move, the words for an impossible one


def to(state: State, *before: State) -> Table:
    """Return the table of a move that ends in one state, from any of those before."""
    return dict.fromkeys(before, state)


REFUSED = "{name} is {state} already, so this cannot be done to it"

EARTH = Machine(
    "earth",
    {"disconnect": to("off", "on", "unknown"), "connect": to("on", "off", "unknown")},
    frozenset({"on"}),
    {"unknown": "not known to be off", "on": "on its post", "off": "off its post"},
)
CONNECTION = Machine(
    "connection",
    {"disconnect": to("undone", "made"), "connect": to("made", "undone")},
    frozenset({"made"}),
    {"made": "connected", "undone": "undone"},
)
PART = Machine(
    "part",
    {
        "remove": to("off", "fitted", "aside"),
        "move-aside": to("aside", "fitted"),
        "refit": to("fitted", "off", "aside"),
        "fit": to("fitted", "off", "scrapped"),
        "leave-off": to("left off", "off", "aside"),
        "scrap": to("scrapped", "fitted", "off"),
    },
    frozenset({"fitted", "left off"}),
    {"fitted": "on", "off": "off", "aside": "tied aside", "scrapped": "thrown away", "left off": "left off"},
    rules={"refit": "R02", "fit": "R02"},
    refused={
        "fit": "a new {name} goes in, and nothing has taken the old one out",
        "refit": "{name} is {state}, so it cannot be put back",
    },
)
SEAL = Machine(
    "seal",
    PART.moves,
    PART.rest,
    PART.words,
    rules={"fit": "R30", "refit": "R28"},
    refused={
        "fit": "a new {name} goes in, and nothing has taken the old one out",
        "refit": "{name} is {state}, so it cannot be put back",
    },
)
ADDED = Machine(
    "added",
    {
        "fit": to("fitted", "none", "off"),
        "remove": to("off", "fitted"),
        "refit": to("fitted", "off"),
        "leave-off": to("none", "none", "off"),
    },
    frozenset({"none", "fitted"}),
    {"none": "not there yet", "fitted": "on", "off": "off"},
)
"""A part that the vehicle did not have: a retrofit."""
PARTS = Machine(
    "parts",
    {"remove": 1, "refit": -1, "fit": -1, "scrap": 1, "leave-off": -1},
    frozenset({0}),
    {"count": "off: {n} of {of}"},
    rules={"refit": "R02", "fit": "R02"},
    refused={
        "refit": "more of {name} go back than came off",
        "fit": "more of {name} go in than came out",
        "remove": "more of {name} come off than there are",
    },
)
"""Parts of which there are several: how many are off."""
OPENING = Machine(
    "opening",
    {
        "open": to("bare", "shut"),
        "shut": to("shut", "bare"),
        "cover": to("covered", "bare"),
        "uncover": to("bare", "covered"),
    },
    frozenset({"shut"}),
    {"shut": "shut", "bare": "open", "covered": "covered"},
    rules={"shut": "R52"},
)
TEMPORARY = Machine(
    "temporary",
    {"in": 1, "out": -1},
    frozenset({0}),
    {"count": "in: {n} of {of}"},
    refused={
        "in": "more of {name} go in than there are",
        "out": "more of {name} come out than went in",
    },
    rules={"in": "R01", "out": "R01"},
)
OUT = Machine(
    "out",
    {"undo": 1, "in": -1},
    frozenset({0}),
    {"count": "out: {n} of {of}"},
    rule="R04",
    refused={
        "in": "more of {name} go in than came out",
        "undo": "more of {name} come out than there are",
    },
)
"""Fasteners of a group that are out of their holes."""
SUPPORT = Machine(
    "support",
    {"support": to("held", "free"), "release": to("free", "held")},
    frozenset({"free"}),
    {"held": "held up", "free": "not held"},
)
BELT = Machine(
    "belt",
    {
        "off": to("slack", "set", "slack", "new", "used"),
        "tension": to("set", "set", "slack", "new", "used"),
        "tension-new": to("new", "set", "slack", "new", "used"),
        "tension-used": to("used", "set", "slack", "new", "used"),
    },
    frozenset({"set", "used"}),
    {"set": "set", "slack": "slack", "new": "set as a new belt", "used": "set as a used belt"},
)
JOINT = Machine(
    "joint",
    {
        "part": to("dirty", "closed", "dirty", "clean", "sealed"),
        "clean": {"closed": "clean", "dirty": "clean", "clean": "clean", "sealed": "clean"},
        "seal": to("sealed", "clean", "sealed"),
        "join": to("closed", "sealed"),
    },
    frozenset({"closed"}),
    {
        "closed": "closed",
        "dirty": "open and not clean",
        "clean": "clean and without a seal",
        "sealed": "not closed yet",
    },
    rule="R30",
    refused={
        "seal": "a seal goes on, and {name} is {state}",
        "join": "{name} is closed, and it is {state}",
    },
)
BEAD = Machine(
    "bead",
    {
        "apply": to("wet", "none", "cured"),
        "tacky": {"wet": "tacky", "none": "none"},
        "join": {"wet": "closed", "tacky": "closed tacky"},
        "set": {"closed": "set", "closed tacky": "set", "none": "none", "set": "set", "cured": "cured"},
        "cure": {
            "closed": "cured",
            "closed tacky": "cured",
            "set": "cured",
            "none": "none",
            "cured": "cured",
        },
    },
    frozenset({"none", "cured"}),
    {
        "none": "not laid",
        "wet": "wet and open",
        "tacky": "tacky and open",
        "closed": "closed, and has not set",
        "closed tacky": "closed, and has not set",
        "set": "set, and not cured",
        "cured": "cured",
    },
    rule="R31",
    rules={"apply": "R34", "set": "R31", "cure": "R31"},
    refused={
        "join": "the joint is closed, and its bead is {state}",
        "apply": "a bead is laid on one that is {state}",
        "set": "the time to set runs out, and the bead is {state}",
        "cure": "the cure runs out, and the bead is {state}",
    },
)
LEVEL = Machine(
    "level",
    {
        "drain": to("out", "full", "unknown", "out"),
        "fill": to("full", "out", "full", "unknown"),
        "seen": {"unknown": "full", "full": "full", "out": "full"},
    },
    frozenset({"full", "unknown"}),
    {"full": "at its level", "out": "drained", "unknown": "not known to be at its level"},
)
AIR = Machine(
    "air",
    {
        "lets-in": to("in", "none", "in", "bled"),
        "bleed": {"in": "bled", "none": "none", "bled": "bled"},
    },
    frozenset({"none", "bled"}),
    {"in": "not bled", "none": "free of air", "bled": "bled"},
)
PRESSURE = Machine(
    "pressure",
    {
        "press": to("up", "up", "down", "unknown"),
        "relieve": to("down", "up", "down", "unknown"),
    },
    frozenset({"up", "down", "unknown"}),
    {"up": "under pressure", "down": "let down", "unknown": "not known to be let down"},
)
HEAT = Machine(
    "heat",
    {
        "start": to("hot", "unknown", "hot", "warm", "cold"),
        "cool": to("cold", "unknown", "hot", "warm", "cold"),
    },
    frozenset({"unknown", "hot", "warm", "cold"}),
    {"unknown": "not known to be cold", "hot": "hot", "warm": "warm", "cold": "cold"},
)
RUN = Machine(
    "run",
    {"start": to("running", "stopped"), "stop": to("stopped", "running")},
    frozenset({"stopped"}),
    {"running": "running", "stopped": "not running"},
)
KEY = Machine(
    "key",
    {
        "on": to("on", "unknown", "out", "in", "on"),
        "off": to("in", "unknown", "out", "in", "on"),
        "out": to("out", "unknown", "out", "in", "on"),
    },
    frozenset({"unknown", "out", "in"}),
    {"unknown": "not known to be out", "on": "on", "in": "in the lock", "out": "out"},
)
RAISED = Machine(
    "raised",
    {
        **{
            how: to(how, "unknown", "ground", "jack", "stands", "lift", "ramps")
            for how in ("jack", "stands", "lift", "ramps")
        },
        "lower": to("ground", "unknown", "jack", "stands", "lift", "ramps"),
    },
    frozenset({"unknown", "ground"}),
    {
        "unknown": "not known to stand on the ground",
        "ground": "on the ground",
        "jack": "on the jack",
        "stands": "on stands",
        "lift": "on the lift",
        "ramps": "on ramps",
    },
)
CHOCKS = Machine(
    "chocks",
    {"chock": to("chocked", "off", "chocked"), "unchock": to("off", "chocked")},
    frozenset({"off"}),
    {"off": "not chocked", "chocked": "chocked"},
)
BAY = Machine(
    "bay",
    {"ventilate": to("aired", "unknown", "aired")},
    frozenset({"aired", "unknown"}),
    {"unknown": "not known to be fresh", "aired": "fresh"},
)
ENERGY = Machine(
    "energy",
    {"isolate": to("locked", "armed"), "restore": to("armed", "locked")},
    frozenset({"armed"}),
    {"armed": "not locked off", "locked": "locked off"},
)
HANDED = Machine(
    "handed",
    {"hand-over": to("made safe", "live", "made safe")},
    frozenset({"live", "made safe"}),
    {"live": "not handed over", "made safe": "made safe"},
)
CHIPS = Machine(
    "chips",
    {
        "cut": to("made", "none", "made", "cleared"),
        "clear": {"made": "cleared", "none": "none", "cleared": "cleared"},
    },
    frozenset({"none", "cleared"}),
    {"none": "not cut yet", "made": "not cleared", "cleared": "cleared"},
)
COMPARED = Machine(
    "compared",
    {"compare": to("compared", "no", "compared")},
    frozenset({"no", "compared"}),
    {"no": "not compared", "compared": "compared"},
)
DUE = Machine(
    "due",
    {
        "arises": to("due", "quiet", "due", "seen"),
        "disturbed": {"quiet": "due", "due": "due", "seen": "seen"},
        "seen": {"due": "seen", "quiet": "quiet", "seen": "seen"},
    },
    frozenset({"quiet", "seen", "due"}),
    {"quiet": "not asked for", "due": "not seen yet", "seen": "seen"},
)
"""Something that has to be seen or renewed after something was done: a firm pedal, a new ring."""


def group(fasteners: schema.Fasteners, turned: bool) -> Machine:
    """Return the machine of one group: its passes and turns are its own.

    turned: some action turns it by its angle, so that the torque alone is not its final state.
    """
    passes = len(fasteners.passes)
    turns = (len(fasteners.angle) or bool(fasteners.touch_plus)) if turned or fasteners.angle else 0
    torqued: State = "torqued" if turns else "tight"
    stages = [f"pass {number}" for number in range(1, passes)]
    turned_to = [f"turn {number}" for number in range(1, turns)]
    untight = ("by hand", "finger-tight", "snug", "loose", *stages)
    touched: tuple[State, ...] = (torqued,)  # from where it is turned
    if fasteners.touch_plus:
        touched = (torqued, "by hand", "finger-tight", "snug")
    elif fasteners.snug:
        touched = (torqued, "snug")
    moves: dict[str, Table | int] = {
        "loosen": to("loose", torqued, "tight", "snug", "finger-tight", "loose", *stages, *turned_to),
        "undo": to("out", torqued, "tight", *untight, *turned_to),
        "undo-some": to("out", torqued, "tight", *untight, *turned_to, "out"),
        "start-by-hand": to("by hand", "out", "loose", "by hand"),
        "finger-tight": to("finger-tight", "by hand", "out", "loose", "finger-tight"),
        "snug": to("snug", "out", *untight),
        "final": to(torqued, "out", *untight, torqued),
        "check": to(torqued, torqued),
    }
    for number in range(1, passes + 1):
        start = ("by hand", "finger-tight", "snug", "loose", "out") if number == 1 else (stages[number - 2],)
        end = torqued if number == passes else stages[number - 1]
        moves[f"pass {number}"] = to(end, *start, end)
    for number in range(1, turns + 1):
        end = "tight" if number == turns else turned_to[number - 1]
        before = touched if number == 1 else (turned_to[number - 2],)
        moves[f"turn {number}"] = to(end, *before)
    moves["turn"] = to("tight", *touched) if turns else to("tight", "tight")
    rest = frozenset[State]({"tight", "snug"} if fasteners.snug else {"tight"})
    words: dict[State, str] = {"by hand": "only started by hand", "torqued": "not turned by its angle yet"}
    words |= {stage: f"only at {stage} of {passes}" for stage in stages}
    words |= {stage: f"only at {stage} of {turns}" for stage in turned_to}
    words |= {"tight": "tight", "loose": "loose", "out": "out", "finger-tight": "only finger-tight"}
    later = {name: "R29" for name in moves if name.startswith("turn")} | {"check": "R29" if turns else "R05"}
    later |= {"final": "R29"} | {name: "R27" for name in moves if name.startswith("pass")}
    return Machine("group", moves, rest, words, rules=later, refused=GROUP_REFUSED)


GROUP_REFUSED = {
    "final": "{name}: the wrench clicks again after the turn",
    "check": "{name}: checked while it is {state}",
    "undo": "{name} is out already",
}
