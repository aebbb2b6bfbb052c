"""The pack language described from its schema: its JSON Schema, and the authors' reference in sections."""

from __future__ import annotations

import types
from dataclasses import dataclass
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from webapp.trade.units import UNITS

from . import schema
from .actions import VERBS
from .amounts import Amount
from .fields import AmountOf, OneOrMany, Refers
from .spellings import EXAMPLES, NAMES, TWO_COUNTRIES
from .typed import choices, find_mark, inner_model

JSON_SCHEMA = "https://json-schema.org/draft/2020-12/schema"

SMALLEST_PACK = """\
---
format: 1
title: Renew the seal of the lamp housing
vehicle: Wrenfield 3 yard tractor, invented
invented: true
summary: Water stands in the lamp. Open it, fit a new seal and close it.
for: A hands-on repairer with a torque screwdriver.
not-for: Any real vehicle.
units: si
sources:
  bench: {kind: invented, title: Figures made up for this example}
items:
  lens: {kind: part, name: lamp lens}
  seal: {kind: seal, name: lens seal, renew: true}
fasteners:
  lens-screws: {name: lens screws, count: 4, thread: M5x0.8, torque: 2 N·m, source: bench}
parts:
  seal: {name: lens seal, for: seal}
---

# The lamp {#lamp}

## Open the lamp {#open}

```step
hands-on: 5 min
actions:
  - undo: lens-screws
  - remove: lens
  - remove: seal
```

Hold the lens with one hand: nothing else carries it.

## Close the lamp {#close}

```step
hands-on: 10 min
parts: seal
actions:
  - fit: seal
  - refit: lens
  - tighten: lens-screws
```

Crosswise, to 2 N·m.
"""
"""A whole pack, as small as one can be that is worth copying."""

FORMS = {
    "one figure": "25 N·m",
    "from, to": "18–20 lbf·ft",
    "more or less": "10 ± 1 N·m",
    "more or less, as a share": "15 N·m ± 10 %",
    "no more than": "at most 50 °C",
    "no less than": "at least 1.0 bar",
    "in two units, as both stand in the source": "24 N·m (18 lbf·ft)",
    "a fraction": "1 1/2 in",
    "hours and minutes": "1 h 30 min",
    "a part of a turn": "1/4 turn",
}
"""The ways to write an amount, each with an example."""

WHOSE = tuple(TWO_COUNTRIES)
"""Measures that must say whose they are."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key that an author may write."""

    name: str
    type: str
    required: bool
    description: str
    example: str
    default: str  # what holds when it is left out, if that is anything


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the pack language: a table of the front matter, a part of a step, a verb."""

    id: str
    title: str
    intro: str
    keys: tuple[Key, ...]


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a pack's data: its front matter and the data of each step."""
    front = schema.FrontMatter.model_json_schema(ref_template="#/$defs/{model}")
    step = schema.Step.model_json_schema(ref_template="#/$defs/{model}")
    definitions = {**front.pop("$defs", {}), **step.pop("$defs", {})}
    return {
        "$schema": JSON_SCHEMA,
        "title": f"Droplight pack, format {schema.FORMAT}",
        "description": "front-matter: the data between the two lines ---. step: the data of each ```step "
        "block. The compiler checks more than a schema can say.",
        "type": "object",
        "properties": {"front-matter": front, "step": step},
        "$defs": dict(sorted(definitions.items())),
    }


def sections() -> list[Section]:
    """Return the authors' reference, made from the schema: front matter, tables, the step, the verbs."""
    tables = [
        (field.alias or name, inner_model(field.annotation))
        for name, field in schema.FrontMatter.model_fields.items()
    ]
    parts: list[tuple[str, str, Any]] = [("front-matter", "Front matter", schema.FrontMatter)]
    parts += [(name, f"Front matter: {name}", model) for name, model in tables if model]
    for name, model in (("lengths", schema.Lengths), ("pattern", schema.Pattern), ("at", schema.Label)):
        parts.append((f"part-{name}", f"Front matter: {name}", model))
    parts += [
        ("part-wrench", "Front matter: wrench", schema.Wrench),
        ("part-fact", "Front matter: fact", schema.Fact),
        ("step", "Step data", schema.Step),
        ("step-waits", "Step data: waits", schema.Wait),
        ("step-readings", "Step data: readings", schema.Reading),
    ]
    found = [section(*part) for part in parts]
    return found + [section(f"verb-{verb}", f"Action: {verb}", cls) for verb, cls in VERBS.items()]


def section(name: str, title: str, model: type[BaseModel]) -> Section:
    """Return one model as a section."""
    keys = tuple(
        Key(
            field.alias or key,
            type_words(field.annotation, tuple(field.metadata)),
            field.is_required(),
            field.description or "",
            example_of(field),
            default_of(field),
        )
        for key, field in model.model_fields.items()
    )
    return Section(name, title, " ".join((model.__doc__ or "").split()), keys)


def example_of(field: FieldInfo) -> str:
    """Return an example of a field's amount; none where it may be of any kind, for one would mislead."""
    mark = find_mark(field.annotation, tuple(field.metadata), AmountOf)
    return str(mark.examples[0]) if mark and mark.kind != "any" else ""


def default_of(field: FieldInfo) -> str:
    """Return what a field is when it is left out, or nothing."""
    default = field.default
    if (
        default is PydanticUndefined
        or default is None
        or default in ([], {}, False)
        or isinstance(default, BaseModel)
    ):
        return ""
    return str(default)


def units_by_kind() -> dict[str, tuple[str, list[str]]]:
    """Return each kind of amount in words, with an example and the units it may be written in."""
    kinds = dict.fromkeys(unit.kind for unit in UNITS.values())
    return {
        NAMES[kind]: (EXAMPLES[kind], [name for name, unit in UNITS.items() if unit.kind == kind])
        for kind in kinds
    }


def type_words(annotation: Any, metadata: tuple[Any, ...] = ()) -> str:
    """Return a type in words that an author understands."""
    refers = find_mark(annotation, metadata, Refers)
    if refers:
        tables = " or ".join(refers.tables)
        if find_mark(annotation, metadata, OneOrMany):
            return f"id from {tables}, one or a list"
        return f"{'list of ids' if 'list' in str(annotation) else 'id'} from {tables}"
    words = choices(annotation)
    if words:
        return " · ".join(words)
    mark = find_mark(annotation, metadata, AmountOf)
    origin = get_origin(annotation)
    if origin in (Union, types.UnionType):
        inner = [one for one in get_args(annotation) if one is not type(None)]
        return " or ".join(dict.fromkeys(type_words(one, metadata) for one in inner))
    if origin is Annotated:
        return type_words(get_args(annotation)[0], (*get_args(annotation)[1:], *metadata))
    if origin is dict:
        model = inner_model(annotation)
        return (
            f"table of ids, each {article(model)}"
            if model
            else "question: answer or [answers]"
            if "list" in str(annotation)
            else "table of ids and words"
        )
    if origin is list:
        inside = [type_words(one) for one in get_args(annotation)]
        if any(isinstance(one, OneOrMany) for one in metadata):
            return f"{inside[0]}, one or a list"
        return f"list of {inside[0]}" if inside else "list"
    if mark or annotation is Amount:
        return "amount" if not mark or mark.kind == "any" else f"amount ({mark.kind})"
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return article(annotation)
    return {str: "words", int: "whole number", bool: "true or false", float: "number"}.get(
        annotation, "words"
    )


def article(model: type[BaseModel]) -> str:
    """Return a model's name in words."""
    return "an action" if model.__module__.endswith("actions") else f"“{model.__name__.lower()}” data"
