"""A variable before its moves and needs are known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from webapp.pack.model import State

from ..machines import Machine


@dataclass(frozen=True, slots=True)
class Thing:
    """A variable before its moves and needs are known. about: what it has to do with, as table:id."""

    id: str
    machine: Machine
    table: str
    object: str
    name: str
    start: State
    about: frozenset[str] = frozenset()
    marks: frozenset[str] = frozenset()
    total: int = 1
    when: Mapping[str, list[str]] | None = None
