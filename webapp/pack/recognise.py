"""Quantities in prose: where they stand, what they are, and which of them are unclear."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from webapp.trade.units import UNITS, Kind

from .amounts import (
    FIRST_OF_A_NUMBER,
    LEAST,
    MOST,
    NUMBER,
    Amount,
    AmountUnclear,
    Tokens,
    agrees,
    bare_pounds,
    judge,
    level,
    pair_at,
    paired,
    scan,
)
from .spellings import POUNDS, known


class Found(NamedTuple):
    """A quantity in prose: text[start:end] is one amount, with its second unit if printed, or a problem."""

    start: int
    end: int
    amounts: tuple[Amount, ...]  # one, or none where there is a problem
    problem: AmountUnclear | None = None


_NUMBER = re.compile(rf"(?<![\w.,/°·×^~+])(?:{NUMBER.pattern})")
_BOUND = re.compile(rf"(?<!\w)(?:(?P<most>{MOST})|(?P<least>{LEAST})) ?$", re.I)
_LABEL = re.compile(
    r"\b(?:all|bolts?|nuts?|screws?|studs?|steps?|stages?|pass(?:es)?|positions?|cylinders?|no\.?|numbers?|"
    r"items?|points?|holes?|figures?|pages?|tables?) $",
    re.I,
)
_NAMED_BY_SIZE = re.compile(
    r" (?:[a-z]+ )?(?:sockets?|spanners?|wrench(?:es)?|hex|keys?|drives?|heads?|"
    r"bolts?|nuts?|screws?|studs?|threads?)\b",
    re.I,
)
_TIMES = re.compile(r"(?<![a-z])[x×] ?$", re.I)
_TIGHTEN = re.compile(r"\b(?:tighten|torque|snug|click|wrench|nip)", re.I)
_DIFFERENCE_BEFORE = re.compile(
    r"\b(?:by|difference of|rises?|rose|drops?|dropped|falls?|fell|within|warms?|cools?)"
    r"(?: (?:about|another))? $",
    re.I,
)
_DIFFERENCE_AFTER = re.compile(
    r" (?:warmer|colder|hotter|cooler|higher|lower|apart|difference|more|less|rise|drop|above|below)\b", re.I
)
_SENTENCE_END = re.compile(r"[.!?] ")
_NEAR, _SENTENCE = 40, 120  # characters looked back for what a number belongs to


def find(text: str) -> list[Found]:
    """Return the quantities in a paragraph, in order, none overlapping. Never raises.

    The unit decides the kind; a torque is a torque, not an energy, and a temperature after "rises by" or
    before "warmer" is a difference. Not taken for quantities: whole numbers before a bare "in" that may be a
    word ("put 4 in the tray"), thread designations, and sizes that are names ("10 mm socket", "2.2-litre
    engine", "5W-30"): nobody owns the converted one.
    """
    if not FIRST_OF_A_NUMBER.search(text):
        return []
    same = level(text)
    found: list[Found] = []
    end = 0
    for match in _NUMBER.finditer(same):
        if match.start() < end:
            continue
        tokens = _tokens(same, match.start(), end)
        if tokens is not None:
            one = _judged(same, text, tokens, end)
            found.append(one)
            end = one.end
    return found


def _lead(same: str, at: int, after: int) -> str:
    """Return what stands shortly before a place and belongs to no earlier quantity."""
    return same[max(after, at - _NEAR) : at]


def _tokens(same: str, at: int, after: int) -> Tokens | None:
    """Return the tokens of the quantity whose first number stands at a place; None where it is none."""
    tokens = _with_sign(same, at)
    if tokens is not None and tokens.operator == "range":
        tokens = _without_label(same, tokens, after)
    if tokens is None or not _is_meant(same, tokens, after):
        return None
    bound = _BOUND.search(_lead(same, tokens.start, after))
    start = tokens.start - len(bound[0]) if bound else tokens.start
    return tokens.with_bound_before(bound, start).with_bound_after(same)


def _with_sign(same: str, at: int) -> Tokens | None:
    """Return the tokens with a minus sign before a temperature; any other dash belongs to the sentence."""
    if at and same[at - 1] in "-–":
        if at > 1 and (same[at - 2].isalnum() or same[at - 2] in ")]"):
            return None  # the end of a name, or of a range that was none: RTV-3, 1/4-20
        signed = scan(same, at - 1)
        if signed is not None and _kind_of(signed) == "temperature":
            return signed
    return scan(same, at)


def _kind_of(tokens: Tokens) -> Kind | None:
    unit = known(tokens.units[0])
    return UNITS[unit].kind if unit else None


def _without_label(same: str, tokens: Tokens, after: int) -> Tokens | None:
    """Return the range, or its second number alone: "tighten bolts 1 to 25 N·m" holds no range."""
    if len(tokens.units) == 2:
        return tokens
    if not _LABEL.search(_lead(same, tokens.start, after)) and not _too_wide(same, tokens):
        return tokens
    first, second = tokens.numbers
    return scan(same, same.index(second.lstrip("-"), tokens.start + len(first)))


def _too_wide(same: str, tokens: Tokens) -> bool:
    """Return whether "to" parts a count from a torque, as in "tighten the 4 to 25 N·m"."""
    if _kind_of(tokens) != "torque" or " to " not in same[tokens.start : tokens.end]:
        return False
    first, second = tokens.numbers
    return first.isdigit() and second.isdigit() and Decimal(second) > 2 * Decimal(first)


def _is_meant(same: str, tokens: Tokens, after: int) -> bool:
    """Return whether the tokens are a quantity, and neither words nor the name of a thread, tool or oil."""
    spelling, end = tokens.units[-1], tokens.end
    hyphen = same[end - len(spelling) - 1] == "-"
    whole = all(number.isdigit() for number in tokens.numbers)
    if spelling == '"' and whole:
        return False  # a quotation mark
    if spelling == "W" and same[end : end + 1] == "-":
        return False  # an oil
    if spelling.lower() == "in" or spelling.lower().endswith(" in"):
        open_end = same[end : end + 1] == " " and same[end + 1 : end + 2].isalnum()
        if open_end and not hyphen and (whole or spelling.lower() != "in"):
            return False
    kind = _kind_of(tokens)
    if kind == "volume":
        return not hyphen
    if kind == "length":
        return not _TIMES.search(_lead(same, tokens.start, after)) and not _NAMED_BY_SIZE.match(same, end)
    return True


def _judged(same: str, text: str, tokens: Tokens, after: int) -> Found:
    """Return what was found: its amount, with a second unit printed beside it, or its problem."""
    start, end = tokens.start, tokens.end
    words = text[start:end]
    if POUNDS.fullmatch(tokens.units[-1]) and _TIGHTEN.search(_sentence(same, start)):
        return Found(start, end, (), bare_pounds(words, tokens.numbers))
    kind: Kind | None = None
    if _kind_of(tokens) == "temperature" and (
        _DIFFERENCE_BEFORE.search(_lead(same, start, after)) or _DIFFERENCE_AFTER.match(same, end)
    ):
        kind = "temperature-difference"
    try:
        amount = judge(tokens, kind, words)
        beside = _beside(same, text, end, amount)
        if beside is None:
            return Found(start, end, (amount,))
        second, end = beside
        return Found(start, end, (paired(amount, second, " ".join(text[start:end].split())),))
    except AmountUnclear as unclear:
        return Found(start, end, (), unclear)


def _sentence(same: str, at: int) -> str:
    """Return the sentence that leads up to a place."""
    return _SENTENCE_END.split(same[max(0, at - _SENTENCE) : at])[-1]


def _beside(same: str, text: str, at: int, amount: Amount) -> tuple[Amount, int] | None:
    """Return the amount printed beside another, and where it ends; None where it is one more amount."""
    other = pair_at(same, at)
    if other is None:
        return None
    try:
        second = judge(other.tokens, amount.kind, text[other.tokens.start : other.tokens.end])
    except AmountUnclear:
        return None  # of another kind, or found as a problem of its own
    if second.unit == amount.unit or (UNITS[amount.unit].system == "both" and not agrees(amount, second)):
        return None
    return second, other.end
