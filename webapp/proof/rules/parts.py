"""R42–R45 and R47: drives, timed parts, comparing, cutting, and what is on the list."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
