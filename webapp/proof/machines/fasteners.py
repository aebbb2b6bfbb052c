"""Groups of fasteners: how tight one is, and how many of it are out."""

from __future__ import annotations

from webapp.pack import schema
from webapp.pack.model import State

from .table import Machine, Table, to

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

GROUP_TURNED = "“- tighten: {object}” before its turns, and each turn once, in their order"

GROUP_CLICKED = "every tightening of {object} before it is turned, and none after"

GROUP_REFUSED = {
    "final": "{name}: the wrench clicks again after the turn",
    "check": "{name}: checked while it is {state}",
    "undo": "{name} is out already",
}


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
