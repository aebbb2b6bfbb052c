"""What has to be seen, measured or set again after something was done, and metal that is cut."""

from __future__ import annotations

from .table import Machine, to

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

COMPARED = Machine(
    "compared",
    {"compare": to("compared", "no", "compared")},
    frozenset({"no", "compared"}),
    {"no": "not compared", "compared": "compared"},
)

MEASURED = Machine(
    "measured",
    {"measure": to("measured", "no", "measured")},
    frozenset({"no", "measured"}),
    {"no": "not measured twice", "measured": "measured twice"},
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
