"""The vehicle as a whole: its engine, its key, its battery, what it stands on, the air in the bay."""

from __future__ import annotations

from .table import Machine, to

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

EARTH = Machine(
    "earth",
    {"disconnect": to("off", "on", "unknown"), "connect": to("on", "off", "unknown")},
    frozenset({"on"}),
    {"unknown": "not known to be off", "on": "on its post", "off": "off its post"},
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
