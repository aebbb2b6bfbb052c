"""Walks typed models, once, for what they hold: references, conditions and amounts, each with its path."""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel

from .amounts import Amount
from .fields import Refers
from .yamltree import Path


class Reference(NamedTuple):
    """An id that must be declared in one of the tables."""

    tables: tuple[str, ...]
    id: str
    path: Path


class Held(NamedTuple):
    """What a value holds: references, conditions that are not empty, and amounts, each with its path."""

    references: list[Reference]
    conditions: list[tuple[dict[str, list[str]], Path]]
    amounts: list[tuple[Amount, Path]]


class Shape(NamedTuple):
    """A field of a model, prepared for walking."""

    name: str
    key: str
    tables: tuple[str, ...]


@cache
def shape(cls: type[BaseModel]) -> tuple[Shape, ...]:
    """Return the fields of a model with the tables each one refers to."""
    return tuple(
        Shape(name, field.alias or name, tables_in(field.annotation, tuple(field.metadata)))
        for name, field in cls.model_fields.items()
    )


def tables_in(annotation: Any, metadata: tuple[Any, ...] = ()) -> tuple[str, ...]:
    """Return the tables that a field's type refers to, or nothing."""
    for mark in (*metadata, *getattr(annotation, "__metadata__", ())):
        if isinstance(mark, Refers):
            return mark.tables
    for inner in get_args(annotation):
        found = tables_in(inner)
        if found:
            return found
    return ()


def held_by(value: Any) -> Held:
    """Return what a value holds."""
    held = Held([], [], [])
    gather(value, (), held)
    return held


def gather(value: Any, path: Path, held: Held) -> None:
    """Add what a value holds."""
    if isinstance(value, Amount):
        held.amounts.append((value, path))
    elif isinstance(value, BaseModel):
        written = value.model_fields_set  # what was left out holds nothing
        for name, key, tables in shape(type(value)):
            inner = getattr(value, name) if name in written else None
            if inner is None:
                continue
            if tables:
                where = (*path, key)
                if isinstance(inner, list):
                    held.references.extend(
                        Reference(tables, one, (*where, at)) for at, one in enumerate(inner)
                    )
                else:
                    held.references.append(Reference(tables, inner, where))
            elif key == "when":
                held.conditions.append((inner, (*path, key)))
            elif not isinstance(inner, str):
                gather(inner, (*path, key), held)
    elif isinstance(value, dict):
        for key, inner in value.items():
            gather(inner, (*path, key), held)
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            gather(inner, (*path, at), held)
