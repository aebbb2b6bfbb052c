"""The language described from its own schema, so that what is written about it is what is read."""

import re
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
from pydantic import BaseModel

from tests.pack.writing import pack, step
from webapp import places
from webapp.compile import compile_folder
from webapp.pack import schema
from webapp.pack.actions import VERBS
from webapp.pack.hazards import BUILT_IN
from webapp.pack.outline import MARKDOWN
from webapp.pack.reference import json_schema, sections
from webapp.pack.typed import example
from webapp.pack.yamltree import read_yaml

SCHEMA = json_schema()
VALIDATOR = jsonschema.Draft202012Validator
PACKS = sorted(path.parent for path in places.CONTENT.glob("*/pack.md"))


def models(annotation: Any) -> Iterator[type[BaseModel]]:
    """Yield every model inside a type."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        for field in annotation.model_fields.values():
            yield from models(field.annotation)
    for inner in getattr(annotation, "__args__", ()):
        yield from models(inner)


EVERY = {*models(schema.FrontMatter), *models(schema.Step), *VERBS.values()}


# --- The authors' reference


def test_every_part_of_the_language_has_its_section():
    described = {section.intro for section in sections()}
    assert len(EVERY) > 60
    assert {" ".join((model.__doc__ or "").split()) for model in EVERY} - described == set()


@pytest.mark.parametrize("model", sorted(EVERY, key=lambda model: model.__name__))
def test_every_key_stands_in_its_section(model):
    intro = " ".join((model.__doc__ or "").split())
    (section, *_) = [one for one in sections() if one.intro == intro]
    assert [key.name for key in section.keys] == list(model.keys())
    assert [key.required for key in section.keys] == [
        field.is_required() for field in model.model_fields.values()
    ]


def test_every_key_says_its_type_in_words():
    types = {key.type for section in sections() for key in section.keys}
    assert types
    assert [one for one in types if re.search(r"[<>]|typing|None|Annotated|webapp", one)] == []


def test_every_key_of_the_data_says_what_it_is_for():
    data = [section for section in sections() if not section.id.startswith("verb-")]
    assert len(data) > 20
    silent = [f"{one.id}: {key.name}" for one in data for key in one.keys if not key.description.strip()]
    assert silent == []


def test_the_reference_names_every_hazard_that_is_built_in():
    (said,) = [
        key.description for one in sections() if one.id == "step" for key in one.keys if key.name == "hazards"
    ]
    assert re.findall(r"[a-z-]+", said.partition("built in: ")[2]) == list(BUILT_IN)


def test_sections_have_addresses_of_their_own():
    ids = [section.id for section in sections()]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z0-9-]+", one) for one in ids)


@pytest.mark.parametrize("loc, says", [
    (("fasteners", "bolts", "torque"), "25 N·m"),
    (("sealants", "rtv", "at", "temperature"), "at most 50 °C"),
    (("actions", 0, "pressure-test", "at"), "at most 10 kPa"),
    (("actions", 0, "raise", "raise"), "jack | stands | lift | ramps"),
])  # fmt: skip
def test_what_to_write_is_an_example_from_the_schema(loc, says):
    assert example(schema.Step if loc[0] == "actions" else schema.FrontMatter, loc) == says


# --- The JSON Schema


def core(data: Any) -> Any:
    """Return data with its scalars typed as YAML 1.2 does (core schema): the way an editor reads a pack."""
    if isinstance(data, dict):
        return {key: core(value) for key, value in data.items()}
    if isinstance(data, list):
        return [core(value) for value in data]
    if data in ("true", "false"):
        return data == "true"
    if re.fullmatch(r"[-+]?\d+", data):
        return int(data)
    return float(data) if re.fullmatch(r"[-+]?\d+\.\d+", data) else data


def data_of(text: str) -> Iterator[tuple[str, Any]]:
    """Yield the front matter and the data of each step of a pack, as an editor reads them."""
    _, front, body = text.split("---\n", 2)
    yield "front-matter", core(read_yaml(front, "pack.md", 1)[0].root)
    for token in MARKDOWN.parse(body):
        if token.info == "step":
            yield "step", core(read_yaml(token.content, "pack.md", 1)[0].root)


def faults(text: str) -> list[str]:
    """Return what the JSON Schema says against the data of a pack."""
    return [
        f"{'/'.join(map(str, fault.absolute_path))}: {fault.message}"
        for part, data in data_of(text)
        for fault in VALIDATOR(SCHEMA).iter_errors({part: data})
    ]


def test_the_schema_is_a_schema():
    VALIDATOR.check_schema(SCHEMA)
    assert SCHEMA["title"] == "Droplight pack, format 1"


@pytest.mark.parametrize("folder", PACKS, ids=lambda folder: folder.name)
def test_the_data_of_a_pack_that_ships_is_valid(folder):
    text = (folder / "pack.md").read_text("utf-8")
    assert len(list(data_of(text))) > 35
    assert faults(text) == []


@pytest.mark.parametrize("folder", PACKS, ids=lambda folder: folder.name)
def test_a_pack_that_ships_has_no_finding(folder):
    assert [finding.text() for finding in compile_folder(folder).findings] == []


@pytest.mark.parametrize(
    "tables, data",
    [
        ("tools:\n  pan: {nmae: drain pan}\n", ""),
        ("fasteners:\n  bolts: {name: bolts, thread: M8, count: four}\n", ""),
        ("items:\n  cover: {kind: prat, name: cover}\n", ""),
        ("", "actions:\n  - remvoe: cover\n"),
        ("", "actions:\n  - {tighten: bolts, too: final}\n"),
        ("", "hands-on: []\n"),
        ("", "people: 0\n"),
    ],
)
def test_an_editor_sees_what_the_compiler_would_refuse(tables, data):
    assert faults(pack(tables, step("Look", data))) != []


def test_an_editor_takes_one_value_where_a_list_may_stand():
    assert faults(pack("", step("Look", "hazards: fumes\nphoto: [the cover, the bolts]\nneeds: []\n"))) == []
