"""The things a job can leave in the wrong state: one table for each kind, from state to state by move.

A move that has no entry for a state is not possible in it: a hose is not pulled off twice. A whole number is
a count of things that are away from their resting place; its moves add and take away.
"""

from .asked import CHIPS, COMPARED, DUE, LOOK, MEASURED, SETTINGS
from .energy import ENERGY, HANDED, LICENSED
from .fasteners import OUT, group
from .fluids import AIR, LEVEL, PRESSURE
from .items import (
    ADDED,
    BELT,
    CONNECTION,
    OPENING,
    PART,
    PARTS,
    SEAL,
    SEALS,
    SPRUNG,
    SUPPORT,
    TEMPORARY,
    VALVE,
)
from .sealing import JOINT, LEFT_SEALED, bead
from .table import REFUSED, Machine, Table, to
from .vehicle import ABLE, BAY, CHOCKS, EARTH, HEAT, KEY, RAISED, RUN

__all__ = [
    "ABLE",
    "ADDED",
    "AIR",
    "BAY",
    "BELT",
    "CHIPS",
    "CHOCKS",
    "COMPARED",
    "CONNECTION",
    "DUE",
    "EARTH",
    "ENERGY",
    "HANDED",
    "HEAT",
    "JOINT",
    "KEY",
    "LEFT_SEALED",
    "LEVEL",
    "LICENSED",
    "LOOK",
    "MEASURED",
    "OPENING",
    "OUT",
    "PART",
    "PARTS",
    "PRESSURE",
    "RAISED",
    "REFUSED",
    "RUN",
    "SEAL",
    "SEALS",
    "SETTINGS",
    "SPRUNG",
    "SUPPORT",
    "TEMPORARY",
    "VALVE",
    "Machine",
    "Table",
    "bead",
    "group",
    "to",
]
