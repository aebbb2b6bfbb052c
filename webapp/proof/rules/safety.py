"""R08–R20 and R40: stored energy, and what can hurt whoever works on it."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
