"""The compiled pack: what phone, sheet and plan are made from. Deterministic, named by its hash."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from pydantic import BaseModel

from . import schema
from .actions import Verb
from .amounts import Amount
from .model import Model


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of a pack. name: as its author wrote it; file: its hash and ending, as it is served."""

    name: str
    file: str
    media_type: str
    width: int
    height: int
    content: bytes = field(repr=False)


@dataclass(frozen=True, slots=True)
class BigFigure:
    """A number that must be read at arm's length, with the few words that say what it is."""

    label: str
    amount: Amount | None
    text: str = ""  # used when there is no amount: "4", "hand-tight", "touch plus"


@dataclass(frozen=True, slots=True)
class Line:
    """One action as a line to read: “Tighten pump bolts”, with its figures and what it concerns."""

    verb: str
    target: str  # an id, or a word such as "engine"
    table: str  # the table of the front matter that the target is declared in, or ""
    text: str
    figures: tuple[BigFigure, ...] = ()
    notes: tuple[str, ...] = ()  # what else the data says of it: how it is locked off, the thread's condition


@dataclass(frozen=True, slots=True)
class Strip:
    """A state that begins or ends when a step is ticked: fuel open, raised, battery off, engine running."""

    id: str  # "battery-off", "raised", "fuel-open:rail-union" …
    text: str
    begins: bool


@dataclass(frozen=True, slots=True)
class Wait:
    """A clock of a step, resolved against its sealant's label. Times in seconds; None: no number."""

    id: str
    step: str
    kind: str
    name: str
    least: float | None
    most: float | None
    until: tuple[str, ...]
    attended: bool
    stop_if: tuple[str, ...]
    sealant: str | None
    stretches: bool  # a cure: bay temperature and humidity are asked, and may only lengthen it


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading of a step. range is None for a plain record or a look."""

    id: str
    step: str
    ask: str
    range: Amount | None
    unit: str
    expect: str
    if_outside: str
    before: str | None


@dataclass(frozen=True, slots=True)
class Step:
    """One step, ready to be shown. html: the prose, with quantities marked up for the unit toggle."""

    id: str
    number: int  # 1, 2, 3 … through the whole pack
    phase: str
    title: str  # plain text
    title_html: str
    html: str
    hands_on: float  # seconds
    people: int
    needs: tuple[str, ...]  # resolved: the step before, where the author wrote nothing
    after: tuple[str, ...]
    when: dict[str, list[str]]
    already: str
    hazards: tuple[str, ...]
    tools: tuple[str, ...]
    parts: tuple[str, ...]
    consumables: tuple[str, ...]
    lines: tuple[Line, ...]
    figures: tuple[BigFigure, ...]  # the step's big numbers, at most three
    waits: tuple[Wait, ...]
    readings: tuple[Reading, ...]
    photos: tuple[str, ...]
    pictures: tuple[str, ...]  # file names of the pictures in its prose
    strips: tuple[Strip, ...]
    amounts: tuple[Amount, ...]  # every quantity of the step as its author wrote it
    safe_stop: str
    source: str | None
    actions: tuple[Verb, ...] = field(repr=False)


@dataclass(frozen=True, slots=True)
class Phase:
    """A phase: its steps' ids in order, and the prose under its heading."""

    id: str
    title: str
    html: str
    steps: tuple[str, ...]


@dataclass(frozen=True)
class CompiledPack:
    """One whole job. `front` is the typed front matter; everything else is resolved and ready to show."""

    slug: str
    front: schema.FrontMatter
    hazards: dict[str, Any]  # id → hazards.Hazard: the built-in ones that steps use, and the pack's own
    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]
    pictures: tuple[Picture, ...]
    model: Model  # the machine that the steps work on

    @cached_property
    def by_id(self) -> dict[str, Step]:
        """Return the steps by id."""
        return {step.id: step for step in self.steps}

    @cached_property
    def canonical(self) -> bytes:
        """Return the pack as canonical JSON: the same pack is always the same bytes."""
        plain = {
            name: getattr(self, name) for name in ("slug", "front", "hazards", "phases", "steps", "pictures")
        }
        plain["model"] = self.model.plain()
        plain["format"] = schema.FORMAT
        text = json.dumps(plain, default=_plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return text.encode()

    @cached_property
    def hash(self) -> str:
        """Return the pack's name: the first 16 hexadecimal digits of the SHA-256 of its canonical JSON."""
        return hashlib.sha256(self.canonical).hexdigest()[:16]

    def selected(self, answers: dict[str, str]) -> list[Step]:
        """Return the steps that these answers select. A question without an answer excludes nothing."""
        return [step for step in self.steps if holds(step.when, answers)]


def holds(when: dict[str, list[str]], answers: dict[str, str]) -> bool:
    """Return whether a condition holds under answers; an unanswered question counts as met."""
    return all(question not in answers or answers[question] in allowed for question, allowed in when.items())


def _plain(value: Any) -> Any:
    if isinstance(value, Amount):
        return value.plain()
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    if isinstance(value, Picture):
        return {"name": value.name, "file": value.file, "width": value.width, "height": value.height}
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: getattr(value, f.name) for f in dataclasses.fields(value)}
    raise TypeError(f"{type(value).__name__} has no plain form")
