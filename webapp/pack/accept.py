"""Findings that the author accepts, by code and place, with a reason that prints on the sheet."""

from __future__ import annotations

from .draft import Draft
from .findings import Finding
from .yamltree import Path

DANGER = frozenset({"R01", *(f"R{number:02}" for number in range(8, 21)), "R40"})
"""Rules whose errors are never waived: they can hurt someone."""


def apply_accepts(draft: Draft) -> None:
    """Take accepted findings away, and report acceptances that are not allowed or match nothing."""
    accepts = draft.front.accept if draft.front else []
    for at, accept in enumerate(accepts):
        place = draft.front_place("accept", at)
        matching = [f for f in draft.findings if f.code == accept.code and concerns(draft, f, accept.at)]
        if accept.code in DANGER or any(f.severity == "error" and not may_waive(f.code) for f in matching):
            draft.report(
                "accept-refused",
                place,
                f"{accept.code} cannot be accepted",
                "it can hurt someone, or the pack cannot be read with it",
                "cure what the finding says",
            )
        elif not matching:
            draft.report(
                "accept-unused",
                place,
                f"there is no {accept.code} at “{accept.at}”",
                "an acceptance of nothing hides the next real finding",
                "remove it",
                severity="warning",
            )
        else:
            draft.findings = [f for f in draft.findings if f not in matching]


def may_waive(code: str) -> bool:
    """Return whether an error of this code may be accepted with a written reason."""
    return code.startswith("R") and code[1:].isdigit() and code not in DANGER and code not in ("R21", "R26")


def concerns(draft: Draft, finding: Finding, name: str) -> bool:
    """Return whether a finding stands in the step or the declaration of this id."""
    places = [finding.place] + ([finding.also] if finding.also else [])
    return any(name in owners(draft, place.line) for place in places)


def owners(draft: Draft, line: int) -> set[str]:
    """Return the ids of the step and the declarations that a line belongs to."""
    if line < draft.body_line and draft.front_tree:
        found: set[str] = set()
        entries: list[Path] = [path for path in draft.front_tree.places if len(path) == 2]
        for path in entries:
            first = draft.front_key(*path).line
            last = max(place.line for inner, place in draft.front_tree.places.items() if inner[:2] == path)
            if first <= line <= last:
                found.add(str(path[1]))
        return found
    before = [step for step in draft.steps if step.heading.line <= line]
    return {before[-1].id} if before else set()
