"""Walks typed models for what they hold: references, conditions and amounts, each with its path."""

from __future__ import annotations

from collections.abc import Iterator
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


def references(value: Any, path: Path = ()) -> Iterator[Reference]:
    """Yield every reference inside a value."""
    if isinstance(value, BaseModel):
        for name, key, tables in shape(type(value)):
            inner = getattr(value, name)
            if inner is None:
                continue
            if tables and isinstance(inner, str):
                yield Reference(tables, inner, (*path, key))
            elif tables and isinstance(inner, list):
                yield from (Reference(tables, one, (*path, key, at)) for at, one in enumerate(inner))
            elif not isinstance(inner, (str, int, float, Amount)):
                yield from references(inner, (*path, key))
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from references(inner, (*path, key))
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            yield from references(inner, (*path, at))


def conditions(value: Any, path: Path = ()) -> Iterator[tuple[dict[str, list[str]], Path]]:
    """Yield every non-empty `when` inside a value."""
    if isinstance(value, BaseModel):
        when = getattr(value, "when", None)
        if when:
            yield when, (*path, "when")
        for name, key, _ in shape(type(value)):
            inner = getattr(value, name)
            if isinstance(inner, (BaseModel, dict, list)) and inner and key != "when":
                yield from conditions(inner, (*path, key))
    elif isinstance(value, dict):
        for key, inner in value.items():
            if isinstance(inner, BaseModel):
                yield from conditions(inner, (*path, key))
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            if isinstance(inner, BaseModel):
                yield from conditions(inner, (*path, at))


def amounts(value: Any, path: Path = ()) -> Iterator[tuple[Amount, Path]]:
    """Yield every amount inside a value."""
    if isinstance(value, Amount):
        yield value, path
    elif isinstance(value, BaseModel):
        for name, key, _ in shape(type(value)):
            inner = getattr(value, name)
            if inner is not None and not isinstance(inner, (str, int, float)):
                yield from amounts(inner, (*path, key))
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from amounts(inner, (*path, key))
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            yield from amounts(inner, (*path, at))
