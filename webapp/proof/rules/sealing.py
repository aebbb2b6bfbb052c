"""R30–R36: faces, seals, beads and their clocks."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
