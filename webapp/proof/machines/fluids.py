"""Circuits: their level, the air in them, their pressure."""

from __future__ import annotations

from .table import Machine, to

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
