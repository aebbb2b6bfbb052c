"""YAML with places: mappings, lists and text only, each value and key knowing its line and column.

Every scalar stays text: the schema decides the type of a value, never YAML's guesses ("no", "012", "1:30").
Aliases, anchors and tags are refused, and depth and size are bounded before anything is built.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import yaml

from .findings import INVISIBLE, Finding, Place

NODES = (yaml.ScalarEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent, yaml.AliasEvent)
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
DEEPEST = 12
MOST_VALUES = 100_000
"""Keys and values of one block of data."""
LONGEST_LIST = 500

Path = tuple[str | int, ...]


Spot = tuple[int, int, int]
"""Line, column and length. Plain tuples of numbers, because there are very many of them."""


class Mapping(dict[str, Any]):
    """A mapping that knows its path."""

    __slots__ = ("path",)

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path


@dataclass(slots=True)
class Tree:
    """The values of one YAML text with a place for every path.

    `spots` maps a path such as ("fasteners", "pump-bolts", "count") to where its value and its key stand.
    """

    root: Mapping
    spots: dict[Path, tuple[Spot, Spot]]
    start: Place

    def place(self, path: Path) -> Place:
        """Return the place of a path's value, or of the nearest that it stands in."""
        return self._at(path, 0)

    def key_place(self, path: Path) -> Place:
        """Return where the last key of a path is written; for an entry of a list, the entry itself."""
        return self._at(path, 1)

    def _at(self, path: Path, end: Literal[0, 1]) -> Place:
        while path and path not in self.spots:
            path, end = path[:-1], 0
        spots = self.spots.get(path)
        return Place(self.start.file, *spots[end]) if spots else self.start


class Refused(Exception):  # noqa: N818 - it carries a finding, and is no fault of the program
    """The text cannot become a tree; carries the finding that says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.what)
        self.finding = finding


def words_of(data: Any) -> Iterator[str]:
    """Yield every word that data could name something by: its keys and texts, or all words of unread YAML."""
    if isinstance(data, str):
        yield from re.findall(r"[a-z][a-z0-9-]*", data)
    elif isinstance(data, dict):
        for key, value in data.items():
            yield key
            yield from words_of(key)
            yield from words_of(value)
    elif isinstance(data, list):
        for value in data:
            yield from words_of(value)


def read_yaml(text: str, file: str, first_line: int) -> tuple[Tree, list[Finding]]:
    """Return the tree of a YAML text and its findings; raise Refused when nothing can be built.

    first_line: the line of the file on which the text begins, from 1.
    """
    builder = _Builder(file, first_line)
    try:
        root = builder.build(yaml.parse(text, Loader=LOADER))
    except yaml.MarkedYAMLError as problem:
        raise Refused(finding_of(problem, text, file, first_line)) from None
    except yaml.YAMLError:
        raise Refused(
            Finding(
                "yaml-wrong",
                "error",
                Place(file, first_line),
                "the data holds a character that YAML does not allow",
                "it cannot be read, and would not be seen on a screen either",
                "remove control characters from the data",
            )
        ) from None
    return Tree(root, builder.spots, Place(file, first_line)), builder.findings


def finding_of(problem: yaml.MarkedYAMLError, text: str, file: str, first_line: int) -> Finding:
    """Return what YAML itself could not read, in a person's words."""
    lines = text.split("\n")
    marks = [mark for mark in (problem.problem_mark, problem.context_mark) if mark is not None]
    places = [
        Place(file, first_line + mark.line, mark.column + 1)
        if mark.line < len(lines)
        else Place(file, first_line + len(lines) - 1, len(lines[-1]) + 1)  # at the end of the text
        for mark in marks
    ]
    place = places[0] if places else Place(file, first_line)
    if problem.context in ("while scanning an alias", "while scanning an anchor"):
        return Finding("yaml-alias", "error", places[-1], *ALIAS)
    what, write = SAID.get(problem.problem or "", (f"the data cannot be read here: {problem.problem}", ""))
    if lines[place.line - first_line][place.column - 1 :].startswith("\t"):
        what, write = "a tab stands here", "spaces, as many as the lines beside it have"
    return Finding(
        "yaml-wrong",
        "error",
        place,
        what,
        "everything after this place would be guessed at",
        write
        or "check the indentation, the quotes and the brackets of this line and the one before; "
        "a text that holds “: ” or starts with a sign needs quotes",
        also=places[-1] if places and places[-1].line < place.line else None,
    )


ALIAS = (
    "an anchor (&) or alias (*) stands here",
    "a value written elsewhere cannot be checked where it is used, and aliases can explode",
    "write the value out, or declare it once in the front matter and refer to it by its id; "
    "a text that begins with & or * needs quotes",
)
_BRACKET = ("a bracket that was opened is not closed", "close it, and part what is inside with commas")
_INDENTED = ("this line is indented otherwise than those it belongs to", "the same indentation, with spaces")
SAID = {
    "mapping values are not allowed in this context": (
        "“: ” stands where none is expected: in a value, or the line above has a key without it",
        'quotes around the whole text, as in name: "pump: the long one"; or key: value on the line above',
    ),
    "found character that cannot start any token": (
        "a text cannot begin with this sign",
        "quotes around the whole text",
    ),
    "did not find expected ',' or '}'": _BRACKET,
    "did not find expected ',' or ']'": _BRACKET,
    "did not find expected node content": _BRACKET,
    "did not find expected key": _INDENTED,
    "did not find expected '-' indicator": _INDENTED,
    "found unexpected end of stream": (
        "a quotation mark that was opened is not closed",
        "the same mark at the end of the text",
    ),
    "could not find expected ':'": ("this line has a key without “: ”", "key: value"),
}
"""What YAML says, in a person's words: what is wrong, and what to write."""


class _Builder:
    """Builds a tree from parser events without recursion, so depth costs nothing before it is refused."""

    def __init__(self, file: str, first_line: int) -> None:
        self.file, self.first_line = file, first_line
        self.spots: dict[Path, tuple[Spot, Spot]] = {}
        self.findings: list[Finding] = []

    def spot(self, event: Any) -> Spot:
        start, end = event.start_mark, event.end_mark
        length = end.column - start.column if end.line == start.line else 1
        return (self.first_line + start.line, start.column + 1, max(1, length))

    def place(self, event: Any) -> Place:
        return Place(self.file, *self.spot(event))

    def refuse(self, code: str, event: Any, what: str, why: str, write: str) -> Refused:
        return Refused(Finding(code, "error", self.place(event), what, why, write))

    def build(self, events: Iterator[Any]) -> Mapping:
        """Return the root mapping; an empty text gives an empty mapping."""
        root: Any = None
        stack: list[Any] = []  # the open collections
        paths: list[Path] = []
        keys: list[tuple[str, Spot] | None] = []  # the key awaiting its value in each open mapping
        count = 0
        last: Any = None  # the value before
        for event in events:
            kind = type(event)
            if kind in (yaml.MappingEndEvent, yaml.SequenceEndEvent):
                for opened in (stack, paths, keys):
                    opened.pop()
                continue
            if kind is yaml.DocumentStartEvent and root is not None:
                raise self.refuse(
                    "yaml-wrong",
                    event,
                    "a second document begins here",
                    "one block of data is one document; what follows would be lost",
                    "remove the line “---” inside the data",
                )
            if kind not in NODES:
                continue
            self.check_event(event, len(stack))
            count += 1
            if count > MOST_VALUES:
                raise self.refuse(
                    "yaml-too-many",
                    event,
                    f"more than {MOST_VALUES} values in one block of data",
                    "no job needs so many, and a phone could not hold it",
                    "split the job into several packs",
                )
            parent = stack[-1] if stack else None
            if isinstance(parent, Mapping) and keys[-1] is None:
                if self.is_decimal(last, event):
                    self.join_decimal(parent, last, event, next(events))
                else:
                    keys[-1] = (self.read_key(event, parent), self.spot(event))
                continue
            last = event
            path, value = self.place_value(event, parent, paths, keys)
            if root is None:
                root = value
            if kind is not yaml.ScalarEvent:
                stack.append(value)
                paths.append(path)
                keys.append(None)
        if root is None:
            return Mapping(())
        if not isinstance(root, Mapping):
            raise Refused(
                Finding(
                    "yaml-wrong",
                    "error",
                    Place(self.file, self.first_line),
                    "the data is not a list of “key: value” lines",
                    "every value of a pack has a name, so that it can be checked",
                    "key: value",
                )
            )
        return root

    def check_event(self, event: Any, depth: int) -> None:
        if event.anchor:  # an alias names one, too
            raise self.refuse("yaml-alias", event, *ALIAS)
        if event.tag not in (None, "!"):
            raise self.refuse(
                "yaml-tag",
                event,
                f"the tag “{str(event.tag)[:60].replace('tag:yaml.org,2002:', '!!')}” stands here",
                "the pack's own schema decides what a value is; tags are not read",
                "remove the tag; a text that begins with ! needs quotes",
            )
        escaped = type(event) is yaml.ScalarEvent and event.style == '"'  # the file itself has been looked at
        hidden = INVISIBLE.search(event.value) if escaped else None
        if hidden:
            raise self.refuse(
                "not-text",
                event,
                f"the invisible character U+{ord(hidden[0]):04X} is written here",
                "it cannot be seen, and can change what is read",
                "remove it",
            )
        if depth >= DEEPEST:
            raise self.refuse(
                "yaml-too-deep",
                event,
                f"more than {DEEPEST} levels of data inside each other",
                "nothing in the pack language is nested so deep",
                "check the brackets and the indentation",
            )

    def is_decimal(self, value: Any, key: Any) -> bool:
        """Return whether a comma inside {…} parts figures without a space: 25,5 N·m."""
        if not (type(value) is type(key) is yaml.ScalarEvent):
            return False
        if not (value.value[-1:].isdigit() and key.value[:1].isdigit()):
            return False
        before, after = self.place(value), self.place(key)
        return before.line == after.line and before.column + before.length + 1 == after.column

    def join_decimal(self, parent: Mapping, value: Any, key: Any, rest: Any) -> None:
        """Put a value together again that YAML has parted at its decimal comma."""
        if not isinstance(rest, yaml.ScalarEvent):
            raise self.refuse("yaml-wrong", key, "a comma parts this value", "it may be two", "25.5 N·m")
        path = (*parent.path, next(reversed(parent)))
        parent[str(path[-1])] = f"{value.value},{key.value}"
        (line, column, length), key_spot = self.spots[path]
        self.spots[path] = ((line, column, length + 1 + self.place(key).length), key_spot)

    def read_key(self, event: Any, parent: Mapping) -> str:
        if not isinstance(event, yaml.ScalarEvent):
            raise self.refuse(
                "yaml-wrong",
                event,
                "a key is a list or a mapping",
                "keys are names",
                "key: value",
            )
        key = str(event.value)
        if key in parent:
            self.findings.append(
                Finding(
                    "key-twice",
                    "error",
                    self.place(event),
                    f"“{key[:60]}” is written twice",
                    "one of the two would be lost without a word",
                    "keep one of them",
                    also=Place(self.file, *self.spots[*parent.path, key][1]),
                )
            )
        return key

    def place_value(self, event: Any, parent: Any, paths: list[Path], keys: list[Any]) -> tuple[Path, Any]:
        spot = self.spot(event)
        key_spot = spot
        path: Path = ()
        if isinstance(parent, Mapping):
            key, key_spot = keys[-1]
            path = (*paths[-1], key)
        elif isinstance(parent, list):
            if len(parent) == LONGEST_LIST:
                raise self.refuse(
                    "yaml-too-many",
                    event,
                    f"more than {LONGEST_LIST} entries in one list",
                    "no job needs so many, and nobody could follow them",
                    "a shorter list, or several packs",
                )
            path = (*paths[-1], len(parent))
        value: Any
        if isinstance(event, yaml.MappingStartEvent):
            value = Mapping(path)
        elif isinstance(event, yaml.SequenceStartEvent):
            value = []
        else:
            value = None if not event.value and event.implicit[0] else str(event.value)
        if isinstance(parent, Mapping):
            parent[key] = value
            keys[-1] = None
        elif isinstance(parent, list):
            parent.append(value)
        self.spots[path] = (spot, key_spot)
        return path, value
