"""Findings that the author accepts, by code and place, with a reason that prints on the sheet."""

from __future__ import annotations

import re
from bisect import bisect
from collections import defaultdict

from .codes import CODES
from .danger import DANGER as DANGER
from .draft import Draft
from .findings import Finding, did_you_mean

RULE = re.compile(r"R\d\d")
"""How the code of a rule of the trade is written."""


def apply_accepts(draft: Draft) -> None:
    """Take accepted findings away, and report acceptances that are not allowed or match nothing."""
    accepts = draft.front.accept if draft.front else []
    if not accepts:
        return
    found = by_code_and_owner(draft)
    accepted: set[int] = set()
    for at, accept in enumerate(accepts):
        place = draft.front_place("accept", at)
        matching = found[accept.code, accept.at]
        warned = matching and all(found.severity == "warning" for found in matching)
        if not warned and (accept.code in DANGER or any(not may_waive(one.code) for one in matching)):
            draft.report(
                "accept-refused",
                place,
                f"{accept.code} cannot be accepted",
                "it can hurt someone, or the pack cannot be read with it",
                "cure what the finding says",
            )
        elif not matching:
            known = accept.code in CODES or RULE.fullmatch(accept.code)
            meant = "" if known else did_you_mean(accept.code, CODES)
            draft.report(
                "accept-unused",
                place,
                f"there is no {accept.code} at “{accept.at}”" + meant,
                "an acceptance of nothing hides the next real finding",
                "remove it",
                severity="warning",
            )
        else:
            accepted.update(id(finding) for finding in matching)
    draft.findings = [finding for finding in draft.findings if id(finding) not in accepted]


def may_waive(code: str) -> bool:
    """Return whether an error of this code may be accepted with a written reason."""
    return code.startswith("R") and code[1:].isdigit() and code not in DANGER and code not in ("R21", "R26")


def by_code_and_owner(draft: Draft) -> defaultdict[tuple[str, str], list[Finding]]:
    """Return the findings by their code and by the step or declaration that either of their places is in."""
    declared: dict[tuple[int, int], str] = {}
    tree = draft.front_tree
    for path in tree.spots if tree else ():
        if tree and len(path) > 1:
            for place in (tree.place(path), tree.key_place(path)):
                declared[place.line, place.column] = str(path[1])
    headings = [step.heading.line for step in draft.steps]
    found: defaultdict[tuple[str, str], list[Finding]] = defaultdict(list)
    for finding in draft.findings:
        for place in filter(None, (finding.place, finding.also)):
            before = bisect(headings, place.line)
            owner = draft.steps[before - 1].id if before else declared.get((place.line, place.column), "")
            found[finding.code, owner].append(finding)
    return found
