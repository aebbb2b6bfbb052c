"""References: every id is declared, steps can be done in their printed order, nothing is in vain."""

from __future__ import annotations

import re
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import Any
from urllib.parse import unquote

from markdown_it.token import Token

from . import hazards
from .draft import Draft, StepDraft
from .findings import INVISIBLE, Place, did_you_mean, listed, nearest
from .outline import find_in_lines
from .walk import Held, held_by
from .yamltree import Path

TABLES = (
    "sources",
    "questions",
    "items",
    "fasteners",
    "fluids",
    "sealants",
    "energy",
    "tools",
    "parts",
    "consumables",
    "hazards",
    "cuts",
    "hand-overs",
    "follow-ups",
)
USED = tuple(table for table in TABLES if table not in ("sources", "questions", "follow-ups", "energy"))
"""Tables whose entries a step must use, or the declaration is in vain. A source of energy is judged by being
there."""

NOUNS = {
    "items": "item",
    "fasteners": "fastener group",
    "fluids": "fluid",
    "sealants": "sealant",
    "energy": "energy source",
    "tools": "tool",
    "parts": "part",
    "consumables": "consumable",
    "hazards": "hazard",
    "cuts": "cut",
    "hand-overs": "hand-over",
    "sources": "source",
    "steps": "step",
    "waits": "wait",
    "readings": "reading",
    "questions": "question",
    "follow-ups": "follow-up",
}


def check_names(draft: Draft) -> None:
    """Report every reference to something that is not declared, and every declaration that no step uses."""
    known = declared(draft)
    used: set[tuple[str, str]] = set()
    for owner, held in holders(draft):
        for found in held.references:
            named = [table for table in found.tables if found.id in known[table]]
            # a step lists its parts beside what its actions do; either counts as use, and use is passed on
            if owner is not None or found.path[0] == "opening":
                used.update((table, found.id) for table in named)
            if not named and found.id not in draft.unread:
                report_unknown(draft, place_of(draft, owner, found.path), found.tables, found.id, known)
        for when, path in held.conditions:
            check_condition(draft, when, owner, path)
    pass_use_on(draft, used)
    for table in USED:
        for entry in known[table]:
            if (table, entry) in used or entry in draft.unread:
                continue
            if table != "hazards" or entry not in hazards.BUILT_IN:
                draft.report(
                    "unused",
                    draft.front_key(table, entry),
                    f"no step uses the {NOUNS[table]} “{entry}”",
                    "what is declared and never used is either forgotten in a step or needless on the list",
                    f"use it in a step, or remove it from `{table}`",
                    severity="warning",
                )


def declared(draft: Draft) -> dict[str, dict[str, Place]]:
    """Return every declared id by table with its place, including entries that could not be typed."""
    known: dict[str, dict[str, Place]] = {table: {} for table in TABLES}
    if draft.front_tree:
        for path in draft.front_tree.spots:
            if len(path) == 2 and path[0] in known and isinstance(path[1], str):
                known[str(path[0])][path[1]] = draft.front_key(*path)
    known["hazards"] |= {entry: Place(draft.file, 1) for entry in hazards.BUILT_IN}
    known["steps"] = {step.id: step.heading for step in draft.steps}
    for table in ("waits", "readings"):
        known[table] = {}
        for step in draft.steps:
            for path in step.tree.spots:
                if len(path) == 2 and path[0] == table and isinstance(path[1], str):
                    place = step.tree.key_place(path)
                    if path[1] in known[table]:
                        draft.report(
                            "id-twice",
                            place,
                            f"the {NOUNS[table]} id “{path[1]}” is used twice",
                            "a clock or a value could belong to either step",
                            "give one of the two an id of its own",
                            also=known[table][path[1]],
                        )
                    known[table].setdefault(path[1], place)
    return known


def holders(draft: Draft) -> Iterator[tuple[StepDraft | None, Held]]:
    """Yield what the front matter (as None) and each step hold."""
    if draft.front:
        yield None, held_by(draft.front)
    yield from ((step, step.held) for step in draft.steps)


def place_of(draft: Draft, owner: StepDraft | None, path: Path) -> Place:
    """Return the place of a path in the front matter or in a step."""
    return owner.place(*path) if owner else draft.front_place(*path)


def report_unknown(
    draft: Draft, place: Place, tables: tuple[str, ...], name: str, known: dict[str, dict[str, Place]]
) -> None:
    """Report a name that nothing declares."""
    every = [entry for table in tables for entry in known[table]]
    nouns = " or ".join(NOUNS[table] for table in tables)
    elsewhere = next((table for table, entries in known.items() if name in entries), None)
    near = nearest(name, every)
    draft.unread.add(near or "")  # what was meant is used
    hint = f"; did you mean “{near}”?" if near else ""
    draft.report(
        "name-unknown",
        place,
        f"“{name}” is no {nouns}" + (f"; “{name}” is a {NOUNS[elsewhere]}" if elsewhere else hint),
        "a name that leads nowhere cannot be shown, ordered, counted or waited for",
        f"one of: {listed(every)}" if every else f"declare it in the front matter under `{tables[0]}`",
    )


def check_condition(draft: Draft, when: dict[str, list[str]], owner: StepDraft | None, path: Path) -> None:
    """Report a condition on a question or an answer that does not exist."""
    questions = draft.front.questions if draft.front else {}
    for question, answers in when.items():
        if question not in questions:
            if question in draft.unread:
                continue
            draft.unread.add(nearest(question, questions) or "")  # what was meant is used
            draft.report(
                "name-unknown",
                place_of(draft, owner, (*path, question)),
                f"“{question}” is no question{did_you_mean(question, questions)}",
                "a condition that is never asked can never be met",
                f"one of: {listed(questions)}" if questions else "declare it under `questions`",
            )
            continue
        for answer in answers:
            if answer not in questions[question].answers:
                known = questions[question].answers
                draft.report(
                    "answer-unknown",
                    place_of(draft, owner, (*path, question)),
                    f"“{answer}” is no answer to “{question}”{did_you_mean(answer, known)}",
                    "a condition that no answer meets hides its step for ever",
                    f"one of: {listed(known)}",
                )


def pass_use_on(draft: Draft, used: set[tuple[str, str]]) -> None:
    """Count what used things refer to as used: the tool list of a part, the item that a group holds."""
    front = draft.front
    if front is None:
        return
    for table in USED:
        entries: dict[str, Any] = getattr(front, table.replace("-", "_"))
        for entry, value in entries.items():
            for found in held_by(value).references:
                # parts and consumables say what they are for: naming them there is their use
                if table in ("parts", "consumables"):
                    used.add((table, entry))
                used.update((named, found.id) for named in found.tables)


def check_order(draft: Draft) -> None:
    """Report steps that need a later step or themselves, and clocks that are waited for before they begin."""
    at = {step.id: number for number, step in enumerate(draft.steps)}
    begins = {
        wait: number for number, step in enumerate(draft.steps) if step.data for wait in step.data.waits
    }
    circles = circles_of_needs(draft, at)
    for number, step in enumerate(draft.steps):
        for index, need in enumerate(step.data.needs or () if step.data else ()):
            circle = circles.get((step.id, need))
            if circle:
                draft.report(
                    "needs-circle",
                    step.place("needs", index),
                    f"“{step.id}” needs itself" + (f": {' → '.join(circle)}" if len(circle) > 2 else ""),
                    "none of these steps could ever be begun",
                    "take one `needs` out of the circle",
                )
            elif at.get(need, -1) >= number:
                draft.report(
                    "needs-later",
                    step.place("needs", index),
                    f"“{step.id}” needs “{need}”, which is printed later",
                    "the printed order must be one that can be followed",
                    f"move “{need}” above this step",
                    also=draft.steps[at[need]].heading,
                )
        for index, wait in enumerate(step.data.after if step.data else ()):
            if begins.get(wait, -1) >= number:
                draft.report(
                    "needs-later",
                    step.place("after", index),
                    f"“{step.id}” waits for “{wait}”, which has not begun by then",
                    "a clock that begins with this step or after it is never over before it",
                    "name a wait of an earlier step, or move this step down",
                    also=draft.steps[begins[wait]].heading,
                )


LINK = re.compile(r"https?://[\w.-]+|mailto:[\w.+-]+@|tel:[+\d]", re.I)
"""Where a link may lead out of a pack."""


def check_links(draft: Draft) -> None:
    """Report links that lead neither to a step of the pack nor out to the web."""
    steps = {step.id for step in draft.steps}
    for block in draft.outline.words() if draft.outline else ():
        for child in block.children or ():
            if child.type == "link_open":
                check_link(draft, block, unquote(str(child.attrGet("href") or "")), steps)


def check_link(draft: Draft, block: Token, address: str, steps: set[str]) -> None:
    """Report one link that leads astray."""
    shown = INVISIBLE.sub("\ufffd", address)[:60]
    place = find_in_lines(draft.lines, draft.body_line - 1, block, address, draft.file)
    if address.startswith("#"):
        if address[1:] not in steps | draft.unread:
            draft.report(
                "name-unknown",
                place,
                f"“{shown[1:]}” is no step{did_you_mean(address[1:], steps)}",
                "the link would lead nowhere",
                "[words](#id-of-a-step)",
            )
    elif not LINK.match(address):
        draft.report(
            "link-wrong",
            place,
            f"the link to “{shown}” leads out of the pack, and not to the web",
            "a pack stands alone on the phone: a link can lead to one of its steps, or to the web",
            "[words](#id-of-a-step), or an address that begins with https://",
        )


MOST_CIRCLES = 20


def circles_of_needs(draft: Draft, at: dict[str, int]) -> dict[tuple[str, str], list[str]]:
    """Return the circles that steps need each other in, by each need in one that points down the page.

    Each circle goes from the needing step back to itself. Of very many, some are left for the next run.
    """
    needs = {
        step.id: list(step.data.needs if step.data.needs is not None else [before.id] if before else ())
        for before, step in zip([None, *draft.steps], draft.steps, strict=False)
        if step.data
    }
    found: dict[tuple[str, str], list[str]] = {}
    for _ in range(MOST_CIRCLES):
        try:
            TopologicalSorter(needs).prepare()
        except CycleError as error:
            circle: list[str] = error.args[1][::-1]  # each step before the one that it needs
            for here, need in pairwise(circle):
                if at[need] >= at[here]:
                    turn = circle.index(here)
                    found[here, need] = [*circle[turn:-1], *circle[: turn + 1]]
                    needs[here].remove(need)
        else:
            break
    return found
