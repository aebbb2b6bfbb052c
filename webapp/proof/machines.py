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
    cures: Mapping[str, str] = field(default_factory=dict)  # by move, what to write when it is impossible

    @property
    def states(self) -> frozenset[State]:
        """Return every named state."""
        tables = [table for table in self.moves.values() if not isinstance(table, int)]
        return self.rest.union(*tables, *(table.values() for table in tables))


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
    {
        "disconnect": to("undone", "made"),
        "connect": to("made", "undone", "capped"),
        "cap": {"undone": "capped", "made": "made", "capped": "capped"},
        "uncap": {"capped": "undone", "made": "made", "undone": "undone"},
    },
    frozenset({"made"}),
    {"made": "connected", "undone": "undone", "capped": "undone and plugged"},
)
PART = Machine(
    "part",
    {
        "remove": to("off", "fitted", "aside"),
        "move-aside": to("aside", "fitted"),
        "refit": to("fitted", "off", "aside"),
        "fit": to("fitted", "off", "scrapped"),
        "leave-off": to("left off", "off", "aside", "scrapped"),
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
    cures={"fit": "“- remove: {object}” before it, and one new seal for each old one"},
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
    {"count": "off: {n} of {of}", "one": "off"},
    rules={"refit": "R02", "fit": "R02"},
    refused={
        "refit": "more of {name} go back than came off",
        "fit": "more of {name} go in than came out",
        "remove": "more of {name} come off than there are",
    },
)
"""Parts of which there are several: how many are off."""
SEALS = Machine(
    "parts",
    PARTS.moves,
    PARTS.rest,
    PARTS.words,
    cures={"fit": "“- remove: {object}” before it, and one new seal for each old one"},
    rules={"refit": "R28", "fit": "R30"},
    refused={**PARTS.refused, "fit": "more new {name} go in than old ones came out"},
)
"""Seals of which there are several."""
OPENING = Machine(
    "opening",
    {
        "open": to("bare", "shut"),
        "shut": to("shut", "bare", "uncovered"),
        "cover": to("covered", "bare", "uncovered"),
        "cover-some": to("covered", "bare", "uncovered", "covered"),
        "uncover": to("uncovered", "covered"),
        "uncover-some": to("uncovered", "covered", "uncovered"),
        "uncover-if-covered": {
            "shut": "shut",
            "bare": "bare",
            "covered": "uncovered",
            "uncovered": "uncovered",
        },
    },
    frozenset({"shut"}),
    {"shut": "shut", "bare": "open", "uncovered": "open", "covered": "covered"},
    rules={"shut": "R52"},
)
VALVE = Machine(
    "valve",
    {"open": to("open", "open", "shut"), "shut": to("shut", "open", "shut")},
    frozenset({"open"}),
    {"open": "open", "shut": "shut"},
)
"""A tap in a line: open in service, and no hole when it is open."""
TEMPORARY = Machine(
    "temporary",
    {"in": 1, "out": -1, "out-if-in": -1},
    frozenset({0}),
    {"count": "in: {n} of {of}", "one": "still in"},
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
    {"count": "out: {n} of {of}", "one": "out"},
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
SPRUNG = Machine(
    "support",
    {
        "support": {"free": "held", "let out": "held loose", "held": "held", "held loose": "held loose"},
        "loose": {"held": "held loose", "free": "free", "let out": "let out", "held loose": "held loose"},
        "fast": {"held": "held", "free": "free", "let out": "free", "held loose": "held"},
        "release": {"held": "free", "held loose": "let out"},
    },
    frozenset({"free", "let out"}),
    {"held": "held", "free": "not held", "held loose": "held, and loose", "let out": "let out"},
)
"""What stores force. Let out while it is loose, it has none, until it is fast again."""
BELT = Machine(
    "belt",
    {
        "off": to("slack", "set", "slack", "new", "run in", "used"),
        "tension": to("set", "set", "slack", "new", "run in", "used"),
        "tension-new": to("new", "set", "slack", "new", "run in", "used"),
        "tension-used": to("used", "set", "slack", "new", "run in", "used"),
        "run": {"new": "run in", "set": "set", "slack": "slack", "run in": "run in", "used": "used"},
    },
    frozenset({"set", "used"}),
    {
        "set": "set",
        "slack": "slack",
        "new": "set as a new belt",
        "run in": "still set as a new belt, and has run",
        "used": "set as a used belt",
    },
)
JOINT = Machine(
    "joint",
    {
        "part": {
            **to("dirty", "closed", "wiped", "dirty", "joined"),
            "clean": "clean",  # put together for a try, and parted again
            "sealed": "sealed",
        },
        "strip": to("dirty", "closed", "wiped", "dirty", "clean", "sealed", "joined"),
        "clean": {
            **to("clean", "dirty", "clean", "sealed"),
            **to("wiped", "closed", "wiped"),
            "joined": "joined",
        },
        "clean-part": {
            **to("clean", "dirty", "clean"),
            "closed": "closed",
            "wiped": "wiped",
            "sealed": "sealed",
            "joined": "joined",
        },
        "seal": to("sealed", "wiped", "clean", "sealed"),
        "seal-again": to("sealed", "closed", "wiped", "dirty", "clean", "sealed"),
        "put-on": {one: one for one in ("closed", "wiped", "sealed", "joined")},
        "join": to("joined", "sealed", "closed"),
    },
    frozenset({"closed", "wiped", "joined"}),
    {
        "closed": "not opened and cleaned",
        "wiped": "cleaned and without a seal",
        "dirty": "open and not clean",
        "clean": "clean and without a seal",
        "sealed": "not closed yet",
        "joined": "closed already",
    },
    rule="R30",
    refused={
        "seal": "a new seal goes on {name}, which is {state}",
        "join": "{name} is closed, and it is {state}",
        "put-on": "the part of {name} goes on, and the joint is {state}",
    },
    cures={
        "seal": "“- clean: {object}” before it, once the old seal is out",
        "join": "“- clean: {object}” and then its new seal before it; one `join` each time it was parted",
    },
)
"""Two faces that a gasket or a ring closes, one that is taken out or put in here.

What is cleaned while nothing has parted it was cleaned outside (`wiped`), and is dirty once it is parted; but
where a pack does not say which part belongs to the joint, nothing parts it, and that cleaning has to do.
"""

ANYHOW: Mapping[str, Table | int] = {
    **JOINT.moves,
    "put-on": {one: one for one in ("closed", "wiped", "sealed", "joined", "dirty", "clean")},
    "join": to("joined", "sealed", "closed", "wiped", "dirty", "clean"),
}
LEFT_SEALED = Machine(
    "joint", ANYHOW, JOINT.rest, JOINT.words, rule="R30", refused=JOINT.refused, cures=JOINT.cures
)
"""A joint whose seal stays where it is, or one that its bead is asked for instead (`bead`)."""


def bead(method: str, must: bool) -> Machine:
    """Return the machine of a bead of one method. must: the joint is never closed without one."""
    closed: tuple[State, ...] = ("closed", "set", "cured")
    live: State = "tacky" if method == "close-tacky" else "wet"
    kept = {one: one for one in closed}
    none: dict[State, State] = {} if must else {"none": "none"}
    moves: dict[str, Table | int] = {
        "apply": to("wet", "none", "wet", "tacky", *closed),
        "wipe": {"wet": "none", "tacky": "none", "none": "none", **kept},
        "part": {"none": "none", "wet": "wet", "tacky": "tacky", **to("none", *closed)},
        "tacky": {"wet": "tacky", "tacky": "tacky", "none": "none", **kept},
        "put-on": {"wet": "wet", "tacky": "tacky", **kept, **none},
        "join": {live: "closed", **kept, **none},
        "set": {"closed": "set", "set": "set", "cured": "cured", "none": "none"},
        "cure": {"closed": "cured", "set": "cured", "cured": "cured", "none": "none"},
    }
    cures = {
        "put-on": "“- apply:” the sealant with “to: {object}” before it, and “- join: {object}” after it",
        "join": "`after` the `tacky` wait of the sealant, which begins with the step that lays the bead"
        if live == "tacky"
        else "“- apply:” the sealant with “to: {object}” before it, and no wait until it is closed",
        "set": BEFORE_THE_WAIT,
        "cure": BEFORE_THE_WAIT,
    }
    return Machine(
        "bead", moves, frozenset({"none", "cured"}), BEAD_WORDS, rule="R31", refused=BEAD_REFUSED, cures=cures
    )


BEAD_WORDS: Mapping[State, str] = {
    "none": "not laid",
    "wet": "still wet and open",
    "tacky": "tacky and open",
    "closed": "closed, and has not set",
    "set": "set, and has not cured",
    "cured": "cured",
}
BEFORE_THE_WAIT = (
    "“- join: {object}” (or the action that puts it on) in the step that lays the bead, or in one before the "
    "wait; the wait begins with the step that closes it"
)
BEAD_REFUSED = {
    "join": "the joint is closed, and the {name} is {state}",
    "put-on": "the part goes on, and the {name} is {state}",
    "set": "the time to set runs out, and the {name} is {state}",
    "cure": "the time to cure runs out, and the {name} is {state}",
}
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
        "press": to("up", "up", "swollen", "down", "shown", "unknown"),
        "swell": {**to("swollen", "swollen", "down", "shown", "unknown"), "up": "up"},
        "relieve": {**to("down", "up", "swollen", "down", "unknown"), "shown": "shown"},
        "cool": {**to("down", "swollen", "down", "unknown"), "shown": "shown", "up": "up"},
        "shown": {**to("shown", "down", "shown", "unknown"), "up": "up", "swollen": "swollen"},
    },
    frozenset({"up", "swollen", "down", "shown", "unknown"}),
    {
        "up": "under pressure",
        "swollen": "under pressure from its heat",
        "down": "let down, and no reading shows it",
        "shown": "let down, with a reading",
        "unknown": "not known to be let down",
    },
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
        "stop": {"unknown": "unknown", "out": "out", "in": "in", "on": "in"},  # the key stops the engine
    },
    frozenset({"unknown", "out", "in"}),
    {"unknown": "not known to be out", "on": "on", "in": "in the lock", "out": "out"},
)
ABLE = Machine(
    "able",
    {
        "key-out": {"able": "key out", "key out": "key out", "earth off": "both", "both": "both"},
        "key-in": {"able": "able", "key out": "able", "earth off": "earth off", "both": "earth off"},
        "earth-off": {"able": "earth off", "key out": "both", "earth off": "earth off", "both": "both"},
        "earth-on": {"able": "able", "key out": "key out", "earth off": "able", "both": "key out"},
    },
    frozenset({"able", "key out", "earth off", "both"}),
    {
        "able": "able to start",
        "key out": "without its key",
        "earth off": "without its battery",
        "both": "without key and battery",
    },
)
"""Whether somebody could start the engine, by the key and one battery's earth lead. Unknown is able."""
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
        "unknown": "not known to be held",
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
    {
        "isolate": {"armed": "locked", "dead": "locked and dead"},
        "restore": {"locked": "armed", "locked and dead": "dead"},
        "earth-off": {"armed": "dead", "locked": "locked and dead", "dead": "dead"},
        "earth-on": {"dead": "armed", "locked and dead": "locked", "armed": "armed", "locked": "locked"},
    },
    frozenset({"armed", "dead"}),
    {
        "armed": "not locked off",
        "locked": "locked off",
        "dead": "without its battery",
        "locked and dead": "locked off",
    },
)
"""What starts by itself. What the vehicle's one battery feeds is dead while its earth lead is off."""
HANDED = Machine(
    "handed",
    {"hand-over": to("made safe", "live", "made safe")},
    frozenset({"live", "made safe"}),
    {"live": "not handed over", "made safe": "made safe"},
)
LICENSED = Machine(
    "licensed",
    {"hand-over": to("made safe", "live", "made safe")},
    frozenset({"live", "made safe"}),
    {"live": "not made safe by a licensed person", "made safe": "made safe"},
)
"""What only a licensed person makes safe, by whichever hand-over: a refrigerant circuit, high voltage."""
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
LOOK = Machine(
    "look",
    {
        "work": {
            "quiet": "worked",
            "worked": "worked",
            "due": "due, worked on",
            "due, worked on": "due, worked on",
            "seen": "worked",
        },
        "start": {"worked": "due", "quiet": "quiet", "due": "due", "due, worked on": "due", "seen": "seen"},
        "seen": {
            "due": "seen",
            "due, worked on": "worked",
            "quiet": "quiet",
            "worked": "worked",
            "seen": "seen",
        },
    },
    frozenset({"quiet", "worked", "due", "due, worked on", "seen"}),
    {
        "quiet": "not asked for",
        "worked": "not asked for yet",
        "due": "not made",
        "due, worked on": "not made",
        "seen": "made",
    },
)
"""A look at what was worked on, once the engine runs. An engine that runs before the work asks for none."""
SETTINGS = Machine(
    "settings",
    {
        "lose": to("lost", "quiet", "lost", "due", "seen"),
        "start": {"lost": "due", "quiet": "quiet", "due": "due", "seen": "seen"},
        "seen": {"lost": "seen", "due": "seen", "quiet": "quiet", "seen": "seen"},
    },
    frozenset({"quiet", "lost", "due", "seen"}),
    {"quiet": "kept", "lost": "lost", "due": "not looked after", "seen": "set again"},
)
"""What the battery's lead took with it. It is missed once the engine runs again."""
MEASURED = Machine(
    "measured",
    {"measure": to("measured", "no", "measured")},
    frozenset({"no", "measured"}),
    {"no": "not measured twice", "measured": "measured twice"},
)


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
    others = dict.fromkeys(state for table in moves.values() if not isinstance(table, int) for state in table)
    moves["leave-off"] = {state: "left off" if state == "out" else state for state in others}
    rest = frozenset[State]({"tight", "left off", *(["snug"] if fasteners.snug else [])})
    words: dict[State, str] = {"by hand": "only started by hand", "torqued": "not turned by its angle yet"}
    words |= {stage: f"only at {stage} of {passes}" for stage in stages}
    words |= {stage: f"only at {stage} of {turns}" for stage in turned_to}
    words |= {"tight": "tight", "loose": "loose", "out": "out", "finger-tight": "only finger-tight"}
    words |= {"snug": "only snug", "left off": "left off"}
    later = {name: "R29" for name in moves if name.startswith("turn")} | {"check": "R29" if turns else "R05"}
    later |= {"final": "R29"} | {name: "R27" for name in moves if name.startswith("pass")}
    if turns:
        later |= {"snug": "R29", "finger-tight": "R29"}
    refused = {
        name: f"{{name}}: {name} comes while it is {{state}}"
        for name in moves
        if name[:4] in ("pass", "turn")
    }
    cures = {name: GROUP_TURNED for name in moves if name.startswith("turn")}
    if turns:
        cures |= dict.fromkeys(("final", "check", "snug", "finger-tight"), GROUP_CLICKED)
    cures |= {
        f"pass {number}": f"“- tighten: {{object}}” with “pass: {number - 1}” before it"
        for number in range(2, passes + 1)
    }
    return Machine("group", moves, rest, words, rules=later, refused=GROUP_REFUSED | refused, cures=cures)


GROUP_TURNED = "“- tighten: {object}” before its turns, and each turn once, in their order"
GROUP_CLICKED = "every tightening of {object} before it is turned, and none after"
GROUP_REFUSED = {
    "final": "{name}: the wrench clicks again after the turn",
    "check": "{name}: checked while it is {state}",
    "undo": "{name} is out already",
}
