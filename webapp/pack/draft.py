"""A pack on its way through the compiler: what is known so far, and what was found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from . import schema
from .compiled import Picture
from .findings import Finding, Place, Severity
from .model import Model
from .outline import Outline
from .walk import Held, held_by
from .yamltree import Tree

MOST_ERRORS = 500


@dataclass(slots=True)
class StepDraft:
    """A step's data beside the tree that knows its places.

    data is None when it could not be typed; whole is false when a part of it could not.
    """

    id: str
    heading: Place
    tree: Tree
    data: schema.Step | None = None
    whole: bool = True
    held: Held = field(init=False)

    def __post_init__(self) -> None:
        """Walk the data once for all passes."""
        self.held = held_by(self.data)

    def place(self, *path: str | int) -> Place:
        """Return where a value of the step's data is written."""
        return self.tree.place(path)


@dataclass(slots=True)
class Draft:
    """The working state of one compilation. Passes fill it in order and add to `findings`."""

    file: str
    content: bytes
    files: Mapping[str, bytes]  # the pack's folder: name → content
    lines: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    errors: int = 0
    compared: int = 0  # pairs of amounts
    body_line: int = 1  # the line on which the Markdown begins
    front_tree: Tree | None = None
    front: schema.FrontMatter | None = None
    outline: Outline | None = None
    steps: list[StepDraft] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)  # words of data that could not be read; they may be ids
    pictures: dict[str, Picture] = field(default_factory=dict)
    model: Model = field(default_factory=lambda: Model(()))

    def report(
        self,
        code: str,
        place: Place,
        what: str,
        why: str,
        write: str,
        *,
        also: Place | None = None,
        severity: Severity = "error",
    ) -> None:
        """Add a finding; the source lines are put beside it at the end."""
        self.add([Finding(code, severity, place, what, why, write, also=also)])

    def add(self, found: Iterable[Finding]) -> None:
        """Add findings. Raise Stop when there are so many errors that nobody would read on."""
        for finding in found:
            self.findings.append(finding)
            self.errors += finding.severity == "error"
            if self.errors == MOST_ERRORS:
                raise Stop

    def line(self, place: Place | None) -> str:
        """Return the source line at a place, or nothing."""
        if place is None or not 1 <= place.line <= len(self.lines):
            return ""
        return self.lines[place.line - 1]

    def front_place(self, *path: str | int) -> Place:
        """Return where a value of the front matter is written."""
        return self.front_tree.place(path) if self.front_tree else Place(self.file, 1)

    def front_key(self, *path: str | int) -> Place:
        """Return where a key of the front matter is written."""
        return self.front_tree.key_place(path) if self.front_tree else Place(self.file, 1)

    def with_lines(self) -> tuple[Finding, ...]:
        """Return the findings in the order of the file, each with the lines it shows, none twice."""
        shown = [replace(f, shown=self.line(f.place), also_shown=self.line(f.also)) for f in self.findings]
        shown.sort(key=lambda f: (f.place, f.severity, f.code, f.what))
        return tuple(dict.fromkeys(shown))


class Stop(Exception):  # noqa: N818 - an ordinary end, and no fault of the program
    """Nothing more can be read of this pack; its findings say why."""
