"""R21–R29 and R46: figures, wrenches, threads, orders and angles."""

from __future__ import annotations

from ..rule import Rule

RULES: tuple[Rule, ...] = ()
