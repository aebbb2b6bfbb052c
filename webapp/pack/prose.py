"""Quantities in prose: recognised, marked up for the unit toggle, and held against the step's data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from markdown_it.token import Token

from webapp.trade import passes
from webapp.trade.units import convert

from . import hazards
from .amounts import Amount, agrees
from .draft import Draft, StepDraft
from .findings import Place
from .outline import PhaseOutline, StepOutline, find_in_lines
from .recognise import Found, find
from .walk import amounts, references

NOT_SAID = ("hands-on",)
"""Keys of a step whose amounts are no statement that prose could contradict."""

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


def mark_prose(draft: Draft) -> None:
    """Find the quantities of all prose, mark them up, and report those that contradict the data."""
    if draft.outline is None:
        return
    data = {step.id: step for step in draft.steps}
    declared = declared_amounts(draft)
    for phase in draft.outline.phases:
        mark(draft, phase, None)
        for step in phase.steps:
            known = data.get(step.id)
            mark(draft, step, None if known is None or known.data is None else scope(draft, known, declared))


def mark(draft: Draft, owner: PhaseOutline | StepOutline, said: Scope | None) -> None:
    """Mark up the quantities in the prose and the heading of a phase or step."""
    for token in (owner.title, *owner.prose):
        if token.type != "inline" or not token.children:
            continue
        children: list[Token] = []
        for child in joined(token.children):
            found = find(child.content) if child.type == "text" else []
            meant: list[tuple[Found, Amount]] = []
            for one in found:
                place = place_in_prose(draft, owner, token, child.content[one.start : one.end])
                if one.problem:
                    clear = one.problem
                    draft.report(clear.code, place, clear.what, clear.why, clear.write)
                else:
                    amount = one.amounts[0]
                    meant.append((one, amount if said is None else compare(draft, amount, place, said)))
            children += split(child, meant) if meant else [child]
        token.children = children


def joined(children: list[Token]) -> list[Token]:
    """Return inline tokens with lines joined, so that an amount may be broken across two."""
    found: list[Token] = []
    for child in children:
        words = " " if child.type == "softbreak" else child.content
        if child.type in ("text", "softbreak") and found and found[-1].type == "text":
            found[-1] = text_token(found[-1], found[-1].content + words)
        else:
            found.append(child)
    return found


def place_in_prose(draft: Draft, owner: PhaseOutline | StepOutline, token: Token, text: str) -> Place:
    """Return where a text of the prose stands in the file."""
    if token is owner.title:
        column = draft.line(owner.place).find(text)
        return replace(owner.place, column=column + 1, length=len(text)) if column >= 0 else owner.place
    return find_in_lines(draft.lines, token, text, draft.file, 1, draft.body_line - 1)


def split(child: Token, meant: list[tuple[Found, Amount]]) -> list[Token]:
    """Return a text token as text and quantity tokens in turn."""
    parts: list[Token] = []
    at = 0
    for one, amount in meant:
        if one.start < at:
            continue
        if one.start > at:
            parts.append(text_token(child, child.content[at : one.start]))
        written = child.content[one.start : one.end]
        parts.append(Token("quantity", "", 0, content=written, meta={"amount": amount}))
        at = one.end
    if at < len(child.content):
        parts.append(text_token(child, child.content[at:]))
    return parts


def text_token(child: Token, content: str) -> Token:
    """Return a copy of a text token with other words."""
    return Token("text", "", 0, content=content, level=child.level)


def declared_amounts(draft: Draft) -> dict[tuple[str, str], Scope]:
    """Return the amounts of everything declared, with the passes of a fastener group reckoned out."""
    known: dict[tuple[str, str], Scope] = {}
    front = draft.front
    if front is None:
        return known
    for table in DECLARED:
        for name, value in getattr(front, table.replace("-", "_")).items():
            said = [(amount, draft.front_place(table, name, *path)) for amount, path in amounts(value)]
            if table == "fasteners":
                said += [
                    (staged(value.torque, one), draft.front_place(table, name, "passes"))
                    for one in value.passes
                    if value.torque and one.kind == "share"
                ]
            known[(table, name)] = said
    for name, hazard in hazards.BUILT_IN.items():
        place = Place(draft.file, 1)
        known.setdefault(("hazards", name), [(amount, place) for amount, _ in amounts(hazard)])
    return known


def staged(torque: Amount, share: Amount) -> Amount:
    """Return the torque of a pass given as a share, written as a wrench is set."""
    one = passes.staged(torque.figure(), (share.nominal or share.high or Decimal(100)) / 100)
    return Amount(one.kind, one.form, one.low, one.high, one.nominal, one.unit, one.written, one.written)


def scope(draft: Draft, step: StepDraft, declared: dict[tuple[str, str], Scope]) -> Scope | None:
    """Return every amount that the step's data states: its own, and those of all that it names.

    None when something that it names could not be typed: what it states is then not known.
    """
    said: Scope = []
    named: set[tuple[str, str]] = set()
    for amount, path in amounts(step.data):
        if path[0] not in NOT_SAID:
            said.append((amount, step.place(*path)))
    for found in named_by(step):
        for table in found.tables:
            named.add((table, found.id))
    if step.data and draft.front:
        # a step that handles what a group holds speaks of that group's bolts, and of the bead that seals it
        for group, value in draft.front.fasteners.items():
            if any(("items", item) in named for item in value.holds):
                named.add(("fasteners", group))
        for item, thing in draft.front.items.items():
            if thing.sealed_by and ("items", item) in named:
                named.update({("sealants", thing.sealed_by), ("items", thing.sealed_by)})
        for wait in step.data.after:
            for other in draft.steps:
                if other.data and wait in other.data.waits:
                    said += [
                        (amount, other.place(*path, *inner))
                        for amount, inner in amounts(other.data.waits[wait])
                    ]
                    if other.data.waits[wait].sealant:
                        named.add(("sealants", str(other.data.waits[wait].sealant)))
    for key in sorted(named):
        said += declared.get(key, [])
    spoiled = any(
        table in DECLARED and (table, found.id) not in declared and len(found.tables) == 1
        for found in named_by(step)
        for table in found.tables
    )
    return None if spoiled else said


def named_by(step: StepDraft) -> Iterator[Any]:
    """Yield what the step's data names."""
    yield from references(step.data)


def compare(draft: Draft, amount: Amount, place: Place, said: Scope) -> Amount:
    """Return an amount of the prose as the data means it; report one that contradicts the data."""
    alike = [(other, where) for other, where in said if other.kind == amount.kind or kin(other, amount)]
    if not alike:
        if amount.kind == "torque":
            draft.report(
                "prose-untyped",
                place,
                f"the prose gives the torque {amount.text}, but the step's data has none",
                "a torque that is only prose is not checked, not followed, and not on the torque table",
                "- tighten: the fastener group, in `actions`; or list it under `mentions`",
            )
        return amount
    same = [other for other, _ in alike if says_the_same(amount, other)]
    if same:
        return replace(amount, named=all(other.named for other in same))
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
