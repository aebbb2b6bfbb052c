"""Findings: what the compiler says about a pack, with the place it concerns and what to write instead."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any, Literal, NamedTuple

Severity = Literal["error", "warning"]

_HIDDEN = (
    "\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff"  # control characters
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # marks that turn the direction of what is read
    "\u00ad\u180e\u200b\u2028\u2029\u2060-\u2065\u206a-\u206f\u3164\ufeff\ufff9-\ufffb"  # no width
    "\U000e0000-\U000e007f"
)
_JOINERS = "\u200c\u200d\ufe00-\ufe0f"
INVISIBLE = re.compile(
    f"[{_HIDDEN}{_JOINERS}]"
    # Joiners and variants belong to the letters of some scripts; beside ASCII they only split what is read.
    f"(?:(?<![{_JOINERS}])|(?<=[\x00-\x7f][{_JOINERS}])|(?<=[\u200c\u200d])(?=[\x00-\x7f]))"
)
"""Signs that cannot be seen, and change what is read or the direction it is read in."""


class Place(NamedTuple):
    """A stretch of one line of a pack. Lines and columns count from 1, in characters."""

    file: str
    line: int
    column: int = 1
    length: int = 1


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing wrong: where, what, why it matters, what to write.

    `also` is the second place of a finding that concerns two, such as prose against data.
    `shown` and `also_shown` are the source lines at the two places. `answers` are those under which it
    happens, `run` the shortest run of steps that leads to it.
    """

    code: str
    severity: Severity
    place: Place
    what: str
    why: str
    write: str
    shown: str = ""
    also: Place | None = None
    also_shown: str = ""
    answers: tuple[str, ...] = ()
    run: tuple[str, ...] = ()

    def plain(self) -> dict[str, Any]:
        """Return the finding as JSON-ready data, for `droplight check --json`."""
        found: dict[str, Any] = {
            "code": self.code,
            "severity": self.severity,
            "place": plain_place(self.place),
            "shown": self.shown,
            "what": self.what,
            "why": self.why,
            "write": self.write,
        }
        if self.also:
            found["also"] = {**plain_place(self.also), "shown": self.also_shown}
        if self.answers:
            found["answers"] = list(self.answers)
        if self.run:
            found["run"] = list(self.run)
        return found

    def text(self) -> str:
        """Return the finding as the block of lines a person reads in a terminal."""
        place = self.place
        lines = [f"{place.file}:{place.line}:{place.column}: {self.severity} {self.code}"]
        lines += shown_lines(place, self.shown)
        if self.also:
            lines += [f"  and {self.also.file}:{self.also.line}:{self.also.column}"]
            lines += shown_lines(self.also, self.also_shown)
        lines.append(f"  what   {self.what}")
        if self.answers:
            lines.append(f"  when   {', '.join(self.answers)}")
        if self.run:
            lines.append(f"  steps  {' → '.join(self.run)}")
        lines += [f"  why    {self.why}", f"  write  {self.write}"]
        return "\n".join(lines)


WIDEST = 110
"""A source line longer than this many characters is cut around the place when it is shown."""


def shown_lines(place: Place, shown: str) -> list[str]:
    """Return the source line and the marks under the place, cut to a readable width."""
    if not shown.strip():
        return []
    start = 0 if place.column < WIDEST - 20 else place.column - 40
    cut = shown[start : start + WIDEST]
    marks = "^" * max(1, min(place.length, len(cut) - (place.column - 1 - start)))
    line = INVISIBLE.sub("\ufffd", f"{place.line:5} | {cut}\n")[
        :-1
    ]  # beside our own signs a joiner joins nothing
    return [line, f"      | {' ' * (place.column - 1 - start)}{marks}"]


def plain_place(place: Place) -> dict[str, Any]:
    """Return a place as JSON-ready data."""
    return {"file": place.file, "line": place.line, "column": place.column, "length": place.length}


MOST_NEAR = 1_000
"""Known words that a misspelt one is compared with: comparing is slow, and there may be many of both."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that a misspelt one was most likely meant to be, or None when none is near."""
    return next(iter(difflib.get_close_matches(word[:60], islice(known, MOST_NEAR), n=1, cutoff=0.6)), None)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return “; did you mean “…”?” for the nearest known word, or nothing when none is near."""
    near = nearest(word, known)
    return f"; did you mean “{near}”?" if near else ""


def listed(words: Iterable[str], most: int = 12) -> str:
    """Return words as a short readable list, in their own order."""
    every = list(words)
    more = f" and {len(every) - most} more" if len(every) > most else ""
    return ", ".join(every[:most]) + more
