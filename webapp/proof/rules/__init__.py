"""All rules of the trade, in their order."""

from __future__ import annotations

from ..rule import Rule
from . import left_behind

RULES: dict[str, Rule] = {rule.code: rule for rule in sorted(left_behind.RULES, key=lambda rule: rule.code)}
