"""What starts by itself, and what only a licensed person makes safe."""

from __future__ import annotations

from .table import Machine, to

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
