"""What a rule is: a code, a reason, and what it looks at. The rules themselves stand in `rules/`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from webapp.pack.model import State

from .job import Job

Severity = Literal["error", "warning"]

ALL, SOME = "all of them", "some of them"
"""Among the allowed states of a count: as many as there are, or one at least."""


class Row(NamedTuple):
    """What must hold of every thing of one kind at one moment.

    what, write: sentences with {name}, {object}, {state}, {moment} (the action in words), {since} (the step
    that brought the state) and {step} (the step of the moment) to be put in.
    """

    machine: str
    moment: str
    allowed: frozenset[State]  # empty: all but those in `barred`
    what: str
    write: str
    severity: Severity = "error"
    unless: frozenset[str] = frozenset()  # things with one of these marks are passed over
    only: frozenset[str] = frozenset()  # if any: only things with one of these marks
    do: str = ""  # for the person at the vehicle who has no step that cures it: “Take {name} out.”
    anywhere: bool = True  # at every such moment; else only at those that concern the thing
    barred: frozenset[State] = frozenset()  # for a machine whose states are not all known beforehand


class Spot(NamedTuple):
    """A place of a pack: a value of a step's data, or of the front matter when step is None."""

    step: str | None
    path: tuple[str | int, ...] = ()


class Found(NamedTuple):
    """What a judge found: where, and the words for it."""

    spot: Spot
    what: str
    write: str
    also: Spot | None = None
    severity: Severity = "error"
    answers: tuple[str, ...] = ()


Judge = Callable[[Job], Iterator[Found]]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the trade. rows: what it needs of the machine. judges: what it needs of the pack itself."""

    code: str
    title: str
    why: str
    severity: str  # as the authors' table says it: “error”, “warning; error when chips are made nearby”
    checks: str  # what is looked at, in a sentence or two for authors
    rows: tuple[Row, ...] = ()
    judges: tuple[Judge, ...] = ()
