"""R01–R07: nothing left in, off, undone, missing, loose or open."""

from __future__ import annotations

from ..rule import Row, Rule

NONE = frozenset({0})
OUT = "take it out before this, by count: `uncover` or `take-out`"

RULES: tuple[Rule, ...] = (
    Rule(
        "R01",
        "Nothing left inside",
        "One rag stops an oil pump. One ball of foil bends a valve.",
        "error",
        "Every rag, plug, cap, stud, pin and gauge comes out, by count, before the step that hides it and "
        "before the engine is turned. Chocks come away before the vehicle moves.",
        rows=(
            Row("temporary", "turns", NONE, "{name}: {state} when the engine is turned", OUT),
            Row("temporary", "hides", NONE, "{name}: {state} when “{moment}” hides it", OUT, anywhere=False),
            Row("temporary", "end", NONE, "{name}: {state} at the end of the job", OUT),
            Row(
                "chocks",
                "moves",
                frozenset({"off"}),
                "the wheels are chocked when the vehicle is driven",
                "“- unchock: wheels” before it",
            ),
        ),
    ),
    Rule(
        "R03",
        "Everything undone is rejoined",
        "A missing engine earth burns cables and fakes sensor faults.",
        "error",
        "Every plug, hose, line and strap that was undone is made again before the end.",
        rows=(
            Row(
                "connection",
                "end",
                frozenset({"made"}),
                "{name} is {state} at the end of the job",
                "“- connect: {object}” after its last `disconnect`",
            ),
        ),
    ),
)
