"""Quantities in prose: recognised, marked up for the unit toggle, and held against the step's data."""

from __future__ import annotations

from bisect import bisect
from collections import defaultdict
from dataclasses import replace
from itertools import accumulate
from typing import NamedTuple

from markdown_it.token import Token

from webapp.trade.units import convert

from . import hazards, schema
from .amounts import Amount, agrees
from .draft import Draft, StepDraft, Stop
from .findings import Place
from .outline import PhaseOutline, StepOutline, find_in_lines
from .recognise import Found, find
from .stages import pass_figures
from .walk import held_by

NOT_SAID = ("hands-on", "wrench")
"""Keys whose amounts say nothing that prose could repeat: a wrench can do more than any one bolt is given."""

DECLARED = (
    "items",
    "fasteners",
    "fluids",
    "sealants",
    "tools",
    "parts",
    "consumables",
    "cuts",
    "hazards",
    "follow-ups",
)
"""Tables whose amounts a step speaks of when it names an entry."""

Scope = list[tuple[Amount, Place]]
Key = tuple[str, str]  # a table and an id in it

MOST_COMPARED = 500_000
"""Pairs of amounts in one pack; to find one costs about as much as ten comparisons."""


def mark_prose(draft: Draft) -> None:
    """Find the quantities of all prose, mark them up, and report those that contradict the data."""
    if draft.outline is None:
        return
    data = {step.id: step for step in draft.steps}
    known = stated(draft)
    for phase in draft.outline.phases:
        mark(draft, phase, [])
        for step in phase.steps:
            mark(draft, step, scope(data[step.id], known))


def mark(draft: Draft, owner: PhaseOutline | StepOutline, said: Scope | None) -> None:
    """Mark up the quantities in the prose and the heading of a phase or step."""
    for token in (owner.title, *owner.prose):
        if not token.content:
            continue
        parts = joined(token.children or []) if token.type == "inline" else [token]
        words = [words_of(part) for part in parts]
        starts = list(accumulate(map(len, words), initial=0))
        text = "".join(words)
        meant: defaultdict[int, list[tuple[Found, Amount]]] = defaultdict(list)
        place: Place | None = None
        for one in find(text):
            written = text[one.start : one.end]
            place = find_in_lines(draft.lines, draft.body_line - 1, token, written, draft.file, place)
            part = bisect(starts, one.start) - 1
            if one.problem:
                draft.report(one.problem.code, place, one.problem.what, one.problem.why, one.problem.write)
            elif one.end > starts[part + 1]:
                report_broken(draft, place, written)
            else:
                amount = one.amounts[0]
                meant[part].append((one, amount if said is None else compare(draft, amount, place, said)))
        if token.type == "inline":
            token.children = [
                piece for at, part in enumerate(parts) for piece in split(part, starts[at], meant[at])
            ]


def joined(children: list[Token]) -> list[Token]:
    """Return inline tokens with lines joined, so that an amount may be broken across two."""
    found: list[Token] = []
    for child in children:
        words = "\n" if child.type == "softbreak" else child.content
        if child.type in ("text", "softbreak") and found and found[-1].type == "text":
            found[-1] = text_token(found[-1], found[-1].content + words)
        else:
            found.append(child)
    return found


def words_of(part: Token) -> str:
    """Return what a person reads of an inline token, or of a block of code."""
    if part.type in ("softbreak", "hardbreak"):
        return "\n"
    if part.type == "image":
        return f"\ufffc{part.content}\ufffc"
    return part.content


def report_broken(draft: Draft, place: Place, written: str) -> None:
    """Report an amount that begins inside marks and ends outside of them."""
    draft.report(
        "amount-unclear",
        place,
        f"“{' '.join(written.split())}” is broken by marks such as ** or by a forced line break",
        "neither the units on the phone nor the check against the data would reach it",
        "the whole amount inside the marks, or outside of them",
    )


def split(part: Token, start: int, meant: list[tuple[Found, Amount]]) -> list[Token]:
    """Return a text as text and quantity tokens in turn. start: where it begins in the words of its block."""
    if part.type != "text" or not meant:
        return [part]  # words of code and of pictures are compared, but stay as they are
    pieces: list[Token] = []
    at = 0
    for one, amount in meant:
        first, last = one.start - start, one.end - start
        if first > at:
            pieces.append(text_token(part, part.content[at:first]))
        pieces.append(Token("quantity", "", 0, content=part.content[first:last], meta={"amount": amount}))
        at = last
    if at < len(part.content):
        pieces.append(text_token(part, part.content[at:]))
    return pieces


def text_token(child: Token, content: str) -> Token:
    """Return a copy of a text token with other words."""
    return Token("text", "", 0, content=content, level=child.level)


class Stated(NamedTuple):
    """What the data of a pack states: the amounts of each thing, and what one speaks of with it."""

    amounts: dict[Key, Scope]
    with_it: dict[Key, list[Key]]


def stated(draft: Draft) -> Stated:
    """Return the amounts of everything declared and of all waits, and what belongs together."""
    known: dict[Key, Scope] = {
        ("hazards", name): [(amount, Place(draft.file, 1)) for amount, _ in held_by(hazard).amounts]
        for name, hazard in hazards.BUILT_IN.items()
    }
    # who handles what a group holds speaks of its bolts too, and of the bead that seals it
    with_it: defaultdict[Key, list[Key]] = defaultdict(list)
    front = draft.front
    for table in DECLARED if front else ():
        for name, value in getattr(front, table.replace("-", "_")).items():
            said = [
                (amount, draft.front_place(table, name, *path))
                for amount, path in held_by(value).amounts
                if path[0] not in NOT_SAID
            ]
            if isinstance(value, schema.Fasteners):
                said += [
                    (amount, draft.front_place(table, name, "passes"))
                    for number in range(1, len(value.passes) + 1)
                    for _, amount in pass_figures(value, number)
                ]
            if isinstance(value, schema.Fasteners):
                for item in value.holds:
                    with_it["items", item].append((table, name))
            if isinstance(value, schema.Item) and value.sealed_by:
                with_it[table, name] += [("sealants", value.sealed_by), ("items", value.sealed_by)]
            known[table, name] = said
    for step in draft.steps:
        for name, wait in (step.data.waits if step.data else {}).items():
            known["waits", name] = [
                (amount, step.place("waits", name, *path)) for amount, path in held_by(wait).amounts
            ]
            if wait.sealant:
                with_it["waits", name].append(("sealants", wait.sealant))
    return Stated(known, with_it)


def scope(step: StepDraft, known: Stated) -> Scope | None:
    """Return every amount that a step's data states: its own, and those of all that it names.

    None when the step, or something that it names, could not be read: what it states is then not known.
    """
    if step.data is None or not step.whole:
        return None
    named: dict[Key, None] = {}
    for found in step.held.references:
        keys = [(table, found.id) for table in found.tables]
        if any(key in known.amounts for key in keys):
            named.update(dict.fromkeys(keys))
        elif set(found.tables) <= {*DECLARED, "waits"}:
            return None
    for key in list(named):
        named.update(dict.fromkeys(known.with_it.get(key, ())))
    said = [(amount, step.place(*path)) for amount, path in step.held.amounts if path[0] not in NOT_SAID]
    return said + [one for key in sorted(named) for one in known.amounts.get(key, ())]


def compare(draft: Draft, amount: Amount, place: Place, said: Scope) -> Amount:
    """Return an amount of the prose as the data means it; report one that contradicts the data."""
    alike = [(other, where) for other, where in said if other.kind == amount.kind or kin(other, amount)]
    draft.compared += 10 + len(alike)
    if draft.compared > MOST_COMPARED:
        draft.report(
            "pack-too-big",
            place,
            "prose and data hold more amounts than can be compared",
            "each amount of a step's prose is held against each of its data, and nobody could follow so many",
            "fewer amounts in a step, or several packs",
        )
        raise Stop
    if not alike:
        if amount.kind == "torque":
            draft.report(
                "prose-untyped",
                place,
                f"the prose gives the torque {amount.text}, but the data here gives none",
                "a torque that is only prose is not checked, not followed, and not on the torque table",
                "- tighten: the fastener group, in the step's `actions`; or list it under its `mentions`",
            )
        return amount
    same = [other for other, _ in alike if says_the_same(amount, other)]
    if same:
        # what the data calls a size stays one; what the data shows on one scale is shown so here too
        scales = (one.second for one in same if (one.unit, one.nominal) == (amount.unit, amount.nominal))
        second = amount.second or next((scale for scale in scales if scale), None)
        return replace(amount, named=all(other.named for other in same), second=second)
    nearest, where = alike[0]
    draft.report(
        "prose-disagrees",
        place,
        f"the prose says {amount.text}, the data says {nearest.text}",
        "somebody will use the wrong one",
        f"the same amount in both places; if {amount.text} is something else, list it under `mentions`",
        also=where,
    )
    return amount


def kin(one: Amount, other: Amount) -> bool:
    """Return whether two kinds can mean one thing in prose: a temperature is written like a difference."""
    return {one.kind, other.kind} == {"temperature", "temperature-difference"}


def says_the_same(prose: Amount, data: Amount) -> bool:
    """Return whether an amount in prose says what the data says, or lies inside what the data allows."""
    if kin(prose, data):
        prose = replace(prose, kind=data.kind)
    if any(
        agrees(mine, yours)
        for mine in (prose, prose.second)
        for yours in (data, data.second)
        if mine and yours
    ):
        return True
    if prose.form != "figure" or prose.nominal is None:
        return False
    # an end of a range, or a value inside it, is no contradiction; beside a bound it would be
    if data.form in ("range", "tolerance") and data.low is not None and data.high is not None:
        value = convert(prose.nominal, prose.unit, data.unit, data.kind)
        slack = abs(value) * 0.005
        return float(data.low) - slack <= value <= float(data.high) + slack
    return False
