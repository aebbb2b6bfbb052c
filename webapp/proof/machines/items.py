"""Parts, connections, openings and what is put into them, supports and belts."""

from __future__ import annotations

from .table import Machine, to

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
    refused=PART.refused,
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
