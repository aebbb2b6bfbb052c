"""The pack language described from its schema: its JSON Schema, and the authors' reference in sections."""

from __future__ import annotations

import types
from dataclasses import dataclass
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from . import schema
from .actions import VERBS
from .amounts import Amount
from .fields import AmountOf, Refers
from .typed import choices, find_mark, inner_model

JSON_SCHEMA = "https://json-schema.org/draft/2020-12/schema"


@dataclass(frozen=True, slots=True)
class Key:
    """One key that an author may write."""

    name: str
    type: str
    required: bool
    description: str
    example: str


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
        )
        for key, field in model.model_fields.items()
    )
    return Section(name, title, " ".join((model.__doc__ or "").split()), keys)


def example_of(field: FieldInfo) -> str:
    """Return an example of a field's value: of its amount, or its default."""
    mark = find_mark(field.annotation, tuple(field.metadata), AmountOf)
    if mark:
        return str(mark.examples[0])
    default = field.default
    if (
        default is PydanticUndefined
        or default is None
        or default in ([], {}, False)
        or isinstance(default, BaseModel)
    ):
        return ""
    return f"{default} (when left out)"


def type_words(annotation: Any, metadata: tuple[Any, ...] = ()) -> str:
    """Return a type in words that an author understands."""
    refers = find_mark(annotation, metadata, Refers)
    if refers:
        many = "ids" if "list" in str(annotation) else "id"
        return f"{many} from {' or '.join(refers.tables)}"
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
        return f"list of {type_words(get_args(annotation)[0])}" if get_args(annotation) else "list"
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
