"""All rules of the trade, in their order."""

from __future__ import annotations

from ..rule import Rule
from . import closing, fluids, left_behind, listed, parts, safety, sealing, tightening

ROOMS = (left_behind, safety, tightening, sealing, fluids, parts, listed, closing)
EVERY = [rule for room in ROOMS for rule in room.RULES]

RULES: dict[str, Rule] = {rule.code: rule for rule in sorted(EVERY, key=lambda rule: rule.code)}
