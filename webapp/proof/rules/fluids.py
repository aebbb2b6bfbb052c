"""R37–R39 and R41: what comes out goes in, of the right kind, without air."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
