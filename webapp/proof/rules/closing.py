"""R48–R54: looks, follow-ups, pictures, and a pack that hangs together."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
