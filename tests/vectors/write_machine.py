"""Write machine.json, which holds static/js/machine.js to what is open, what is missed and where to stop.

    python tests/vectors/write_machine.py

The tables are small and made by hand, so that no change of a rule changes them. The answers are those of
machine_twin.py; look at the difference before it is committed. What the packs that ship give is compared in
e2e/test_vectors.py when it runs, over the tables as they are then.
"""

import json
import random
import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent))

from tests.vectors import machine_twin as twin  # noqa: E402
from webapp.pack.model import ANYWHERE, BEGIN, END, FINISH, Model, Move, Need, Variable  # noqa: E402

NAMES = [
    *(
        "chock",
        "isolate",
        "drain",
        "hose-off",
        "cover-off",
        "rag-in",
        "new-rags",
        "clean",
        "bead",
        "pass-one",
    ),
    *("pass-two", "rag-out", "cover-on", "stop-here", "hose-on", "shut", "fill", "restore", "start", "lower"),
    "drive",
]
ONLY = {"new-rags": {"sort": ["wide"]}}
FREE = {
    "hose-off": ["chock"],
    "rag-in": ["cover-off"],
    "bead": ["clean"],
    "restore": ["hose-on"],
    "stop-here": [],
}
AFTER = {"fill": ["cure"]}
DRIVEN = {"on": "on", "off": "on"}


def variable(name, words, start, rest, moves, needs, *, total=1, when=None):
    """Return one thing. moves: step, at, to, wait. needs: step, at, moment, allowed, rule, severity, do."""
    machine, thing = name.split(":")
    what = "{name}: {state} at “{moment}”, since {since}"
    made = [
        Need(step, at, moment, frozenset(allowed), rule, severity, what, "", do)
        for step, at, moment, allowed, rule, severity, do in needs
    ]
    told = [Move(step, at, "moves", to, "R52", "", wait="".join(wait)) for step, at, to, *wait in moves]
    return Variable(
        name, machine, thing, "items", f"the {thing.replace('-', ' ')}", start, frozenset(rest), words, total,
        when or {}, tuple(told), tuple(made),
    )  # fmt: skip


def started(allowed, rule="R17", severity="error", do=""):
    """Return what must hold when the engine starts."""
    return ("start", 1, "starts", allowed, rule, severity, do)


VARIABLES = (
    variable(
        "temporary:rag",
        {"count": "in: {n} of {of}"},
        0,
        {0},
        [("rag-in", 0, 2), ("new-rags", 0, 1), ("rag-out", 0, -2)],
        [
            ("cover-on", 0, "hides", {0}, "R01", "error", ""),
            started({0}, "R01"),
            (END, FINISH, "end", {0}, "R01", "error", ""),
            (ANYWHERE, FINISH, "stops-safely", {0}, "R01", "warning", "Count what is in."),
        ],
        total=3,
    ),
    variable(
        "opening:drain",
        {"shut": "shut", "bare": "open", "covered": "covered"},
        "shut",
        {"shut"},
        [
            ("drain", 0, {"shut": "bare"}),
            ("hose-off", 1, {"bare": "covered"}),
            ("hose-on", 1, {"covered": "bare"}),
            ("shut", 0, {"bare": "shut"}),
        ],
        [
            ("fill", 0, "fills", {"shut"}, "R06", "error", ""),
            (END, FINISH, "end", {"shut"}, "R06", "error", ""),
        ],
    ),
    variable(
        "connection:hose",
        {"made": "connected", "undone": "undone"},
        "made",
        {"made"},
        [("hose-off", 0, {"made": "undone"}), ("hose-on", 0, {"undone": "made"})],
        [started({"made"}, "R03"), (END, FINISH, "end", {"made"}, "R03", "error", "Connect {name}.")],
    ),
    variable(
        "part:cover",
        {"fitted": "on", "off": "off"},
        "fitted",
        {"fitted"},
        [("cover-off", 1, {"fitted": "off"}), ("cover-on", 1, {"off": "fitted"})],
        [
            ("rag-in", 0, "places", {"off"}, "R52", "error", ""),
            (END, FINISH, "end", {"fitted"}, "R02", "error", ""),
        ],
    ),
    variable(
        "added:shield",
        {"none": "not there yet", "fitted": "on"},
        "none",
        {"none", "fitted"},
        [("cover-on", 2, {"none": "fitted"})],
        [("drive", 0, "moves", {"fitted"}, "R02", "warning", "")],
        when={"sort": ["wide"]},
    ),
    variable(
        "group:bolts",
        {"out": "out", "by hand": "only started by hand", "pass 1": "only at pass 1 of 2", "tight": "tight"},
        "tight",
        {"tight"},
        [
            ("cover-off", 0, {"tight": "out", "pass 1": "out"}),
            ("cover-on", 3, {"out": "by hand"}),
            ("pass-one", 0, {"out": "pass 1", "by hand": "pass 1"}),
            ("pass-two", 0, {"pass 1": "tight"}),
        ],
        [started({"tight"}, "R17"), (END, FINISH, "end", {"tight"}, "R05", "error", "")],
    ),
    variable(
        "out:bolts",
        {"count": "out: {n} of {of}"},
        0,
        {0},
        [("cover-off", 0, 6), ("cover-on", 3, -6)],
        [],
        total=6,
    ),
    variable(
        "group:new-bolts",
        {"out": "out", "tight": "tight"},
        "out",
        {"tight"},
        [("pass-two", 1, {"out": "tight"})],
        [(END, FINISH, "end", {"tight"}, "R05", "error", "")],
        when={"sort": ["wide", "long"]},
    ),
    variable(
        "bead:joint",
        {"none": "not laid", "wet": "wet and open", "closed": "closed, and has not set", "cured": "cured"},
        "none",
        {"none", "cured"},
        [
            ("bead", 0, {"none": "wet", "cured": "wet"}),
            ("cover-on", 0, {"wet": "closed"}),
            ("fill", BEGIN, {"none": "none", "closed": "cured", "cured": "cured"}, "cure"),
        ],
        [("fill", 0, "fills", {"none", "cured"}, "R33", "error", "Wait."), started({"none", "cured"}, "R33")],
    ),
    variable(
        "level:oil",
        {"unknown": "not known to be at its level", "out": "drained", "full": "at its level"},
        "unknown",
        {"full", "unknown"},
        [("drain", 1, {"unknown": "out", "full": "out"}), ("fill", 1, {"out": "full", "unknown": "full"})],
        [started({"full"}, "R17", do="Read the level of {name}.")],
    ),
    variable(
        "energy:fan",
        {"armed": "not locked off", "locked": "locked off"},
        "armed",
        {"armed"},
        [("isolate", 0, {"armed": "locked"}), ("restore", 0, {"locked": "armed"})],
        [
            ("clean", 0, "reach", {"locked"}, "R10", "error", "Lock {name} off."),
            (ANYWHERE, FINISH, "stops-safely", {"armed"}, "R10", "error", "Hang a tag on {name}."),
        ],
    ),
    variable(
        "earth:battery",
        {"unknown": "not known to be off", "on": "on its post", "off": "off its post"},
        "unknown",
        {"on"},
        [("isolate", 1, {"on": "off", "unknown": "off"}), ("restore", 1, {"off": "on", "unknown": "on"})],
        [("clean", 0, "live-work", {"off"}, "R08", "error", "")],
    ),
    variable(
        "raised:vehicle",
        {"stands": "on stands", "ground": "on the ground"},
        "stands",
        {"ground"},
        [("lower", 1, {"stands": "ground"})],
        [("drive", 0, "moves", {"ground"}, "R14", "error", "")],
    ),
    variable(
        "chocks:wheels",
        {"off": "not chocked", "chocked": "chocked"},
        "off",
        {"off"},
        [("chock", 0, {"off": "chocked", "chocked": "chocked"}), ("drive", 1, {"chocked": "off"})],
        [("lower", 0, "lowers", {"chocked"}, "R14", "warning", "Chock the wheels.")],
    ),
    variable(
        "run:engine",
        {"off": "not running", "on": "running"},
        "off",
        {"off"},
        [("start", 2, DRIVEN)],
        [("lower", 0, "lowers", {"off"}, "R18", "error", "Stop the engine.")],
    ),
)
"""A thing of each kind that the board tells of, invented. No rule of the trade is meant by the codes."""

GATES = {
    "start": ("start", "drive"),
    "fill": ("fill",),
    "lower": ("lower",),
    "move": ("drive",),
    "stop": ("stop-here", "fill"),
}
TABLES = json.loads(json.dumps(Model(VARIABLES, GATES).plain()))
PACK = {
    "steps": [
        {
            "id": name,
            "title": name.replace("-", " ").capitalize(),
            "needs": FREE.get(name, NAMES[max(at - 1, 0) : at]),
            "after": AFTER.get(name, []),
            "when": ONLY.get(name, {}),
            "strips": [],
        }
        for at, name in enumerate(NAMES)
    ],
    "waits": {"cure": "cover-on"},
}
QUESTIONS = {"sort": ["wide", "long", "flat"]}


def done(*steps, left_out=(), already=(), answers=None):
    """Return a state in which these steps were ticked in this order."""
    ticks = {step: {"is": "done", "stamp": stamp} for stamp, step in enumerate(steps, 1)}
    for step in left_out:
        ticks[step] = {"is": "passed", "stamp": 90, "already": False}
    for step in already:
        ticks[step] = {"is": "passed", "stamp": 95, "already": True}
    return {"answers": answers or {}, "steps": ticks, "waits": {}}


LAID = ("cover-off", "bead", "cover-on", "fill")
CLOCKS = [
    ("the cure still runs", done(*LAID), "running", 109),
    ("the cure is over", done(*LAID), "running", 110),
    ("the cure was stopped", done(*LAID), "stopped", 500),
    ("a person ended the cure", done(*LAID), "ended", 20),
    ("the cure never began", done(*LAID), None, 500),
    ("it was found cured", done("bead", "fill", already=["cover-on"]), None, 500),
    ("the cure runs before the filling", done(*LAID[:3]), "running", 50),
]
"""States at a time: the clock of the cure begins at 10 and takes 100."""


def timed(state, clock):
    """Return a state with the clock of the cure in it."""
    if clock is None:
        return state
    return state | {"waits": {"cure": {"step": "cover-on", "began": 10, "length": 100, "is": clock}}}


NAMED = {
    "nothing is done": done(),
    "the rags are in and the cover goes on": done("chock", "cover-off", "rag-in", "cover-on"),
    "the step that takes the rags out was left out": done("cover-off", "rag-in", left_out=["rag-out"]),
    "the rags come out though they never went in": done("rag-out"),
    "a hose was found off": done("chock", already=["hose-off"]),
    "the cover went on before it was off": done("cover-on", "cover-off"),
    "the bolts are at their first pass": done("cover-off", "cover-on", "pass-one"),
    "another vehicle": done(*NAMES, answers={"sort": "flat"}),
    "everything is done": done(*NAMES, answers={"sort": "long"}),
    "the planned stop is near": done(*NAMES[:13], left_out=["rag-out"]),
    "it runs": done("start"),
    "the rags come out and go in again": done("cover-off", "rag-in", "rag-out", "new-rags"),
}


def tables():
    """Return every table of machine.json."""
    chance = random.Random(11)
    states = [
        *((name, state, None) for name, state in NAMED.items()),
        *((name, timed(state, clock), now) for name, state, clock, now in CLOCKS),
        *(("any order", one, 60) for one in twin.random_states(chance, PACK, QUESTIONS, 12)),
    ]
    return {
        "packs": [{"tables": TABLES, "pack": PACK}],
        "states": [
            {"name": name, "state": state, "now": now, "answer": twin.answers(TABLES, PACK, state, now)}
            for name, state, now in states
        ],
    }


if __name__ == "__main__":
    parts = []
    for key, vectors in tables().items():
        lines = ",\n".join("    " + json.dumps(vector, ensure_ascii=False) for vector in vectors)
        parts.append(f"  {json.dumps(key)}: [\n{lines}\n  ]")
    (HERE / "machine.json").write_text("{\n" + ",\n".join(parts) + "\n}\n", encoding="utf-8")
