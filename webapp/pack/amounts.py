"""Amounts: an author's text becomes numbers and a unit by a strict grammar, or the text of a finding.

    amount   = [bound] number [unit] [(range | tolerance)] unit [bound] [second]
    range    = ("–" | "-" | " to ") number            20–25 N·m, 20 to 25 N·m, 20 N·m to 25 N·m
    tolerance= ("±" | "+/-") number [unit | "%"]      25 ± 2 N·m, 25 N·m ± 10 %
    sum      = number unit {number smaller-unit}      1 h 30 min
    bound    = "at most" | "at least" | "≤" | "≥" …   at most 50 °C, 5 min or more
    second   = "(" amount ")" | "/" amount            24 N·m (18 lbf·ft)
    number   = 25 | 25.5 | 9/16 | 1 1/4 | 1-5/32 | 2½

Units are an allow-list of spellings; Pint never sees the text. A comma, a bare "pounds" for torque, a gallon
of no country, two units that disagree: each is refused with what to write instead. Time and space grow with
the length of the text and no faster: patterns are plain alternatives without nested repetition.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from difflib import get_close_matches
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from webapp.trade.units import LARGEST_ERROR, UNITS, Figure, Kind, System, convert, join, show, span

from .spellings import (
    ANY_CASE,
    EXAMPLES,
    MISSPELT,
    NAMES,
    POUNDS,
    SYMBOLS,
    TURNS,
    TWO_COUNTRIES,
    known,
    unit_at,
)

Code = Literal["amount-unclear", "unit-unknown", "unit-wrong-kind", "R21", "R26"]

LONGEST = 200  # characters of one amount
DIGITS, DECIMALS = 7, 6  # of one number
MOST_LOST = 0.12  # of an amount, by rounding


class AmountUnclear(ValueError):  # noqa: N818 - a finding in the making, not a fault of the program
    """A text that is no clear amount: what is wrong, why it matters, what to write instead."""

    def __init__(self, code: Code, what: str, why: str, write: str) -> None:
        super().__init__(f"{what}; {why}; write {write}")
        self.code: Code = code
        self.what, self.why, self.write = what, why, write


@dataclass(frozen=True, slots=True)
class Amount(Figure):
    """A figure as its author wrote it, with the second unit printed beside it if there was one."""

    text: str
    second: Amount | None = None
    named: bool = False  # the name of a size, as of a drill or a bolt: another figure is another thing

    def plain(self) -> dict[str, Any]:
        """Return the amount as plain data for templates, JSON and the phone."""
        return {
            "kind": self.kind,
            "form": self.form,
            "text": self.text,
            "us": self.shown("us"),
            "si": self.shown("si"),
            "low": None if self.low is None else float(self.low),
            "high": None if self.high is None else float(self.high),
            "nominal": None if self.nominal is None else float(self.nominal),
            "unit": self.unit,
        }

    def shown(self, system: System) -> str:
        """Return the amount for readers of one system: the author's own second unit before a conversion."""
        if self.named:
            return self.written
        second = self.second
        if second and second.form == self.form and UNITS[second.unit].system == system:
            return self.written if UNITS[self.unit].system == system else second.written
        return show(self.figure(), system)

    def figure(self) -> Figure:
        """Return the bare figure."""
        return Figure(*(getattr(self, field.name) for field in fields(Figure)))


# The grammar: tokens --------------------------------------------------------------------------------------

# One character for one, so that places in the text stay what they are.
_SAME = str.maketrans(
    {
        **dict.fromkeys(
            "\t\n\r\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u3000", " "
        ),
        **dict.fromkeys("\u2010\u2011\u2212", "-"),
        **dict.fromkeys("\u2044\u2215", "/"),
        **dict.fromkeys("\u22c5\u2219\u2022\u2027\u0387", "·"),
        **dict.fromkeys("\u2033\u201d", '"'),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u2126": "Ω",
    }
)
_UNEVEN = re.compile(f"[{''.join(map(chr, _SAME))}]")  # translating costs more than looking
_VULGAR = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3)} | {
    sign: (eighths, 8) for sign, eighths in zip("⅛⅜⅝⅞", (1, 3, 5, 7), strict=True)
}
_SIGNS = "".join(_VULGAR)
FIRST_OF_A_NUMBER = re.compile(rf"[0-9{_SIGNS}]")
NUMBER = re.compile(
    rf"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+ ?[{_SIGNS}]|[{_SIGNS}]|[0-9]+(?:[.,][0-9]+)*"
)
_FRACTION = re.compile(rf"[0-9]/[0-9]|[{_SIGNS}]")
_SIGN = re.compile(r"[-–]")
_OPERATOR = re.compile(r"(?P<band> ?(?:±|\+/-) ?)|(?: ?[-–] ?| to )(?P<minus>[-–])?")
_AND = re.compile(r" (?:and )?")
_PAIR = re.compile(r" ?(?:(\() ?| ?[/=] ?)")
_CLOSE = re.compile(r" ?\)")
MOST = r"at most|no more than|not more than|maximum|max\.?|≤|<="
LEAST = r"at least|no less than|not less than|minimum|min\.?|≥|>="
_BOUND_BEFORE = re.compile(
    rf"(?:(?P<most>{MOST}|up to|below|under|less than)|(?P<least>{LEAST}|above|over|more than)) ?", re.I
)
_BOUND_AFTER = re.compile(
    r" (?:(?P<most>max\.?|maximum|at most|or less)|(?P<least>minimum|at least|or more))(?!\w)", re.I
)

# Lengths of time that are written together, in minutes.
_MINUTES: dict[str | None, Decimal] = {
    "wk": Decimal(10080),
    "d": Decimal(1440),
    "h": Decimal(60),
    "min": Decimal(1),
    "s": Decimal(1) / 60,
}


class Tokens(NamedTuple):
    """The tokens of one amount, not yet judged."""

    start: int
    end: int
    bound: Literal["", "most", "least"]
    numbers: tuple[str, ...]  # one or two, or more for a sum
    units: tuple[str, ...]  # their spellings: one for each number, or one for all
    operator: Literal["", "range", "band", "sum"]

    def with_bound_before(self, match: re.Match[str] | None, start: int) -> Tokens:
        """Return the tokens with a bound that stands before them, if one does."""
        return self._replace(bound="most" if match["most"] else "least", start=start) if match else self

    def with_bound_after(self, text: str) -> Tokens:
        """Return the tokens with a bound that stands behind them, if one does."""
        match = None if self.bound else _BOUND_AFTER.match(text, self.end)
        return self._replace(bound="most" if match["most"] else "least", end=match.end()) if match else self


def level(text: str) -> str:
    """Return a text with one spelling for every space, dash, dot and degree; no character moves."""
    return text.translate(_SAME) if _UNEVEN.search(text) else text


def scan(text: str, at: int, in_field: bool = False) -> Tokens | None:
    """Return the tokens of the amount whose first number or minus sign stands at `at`, without its bounds."""
    sign = _SIGN.match(text, at)
    first = NUMBER.match(text, sign.end() if sign else at)
    if first is None:
        return None
    number = ("-" if sign else "") + first[0]
    unit = unit_at(text, first.end(), in_field)
    end = unit.end if unit else first.end()
    if unit and known(unit.spelling) in _MINUTES:
        together = _sum(text, at, number, unit.spelling, end)
        if together:
            return together
    operator = _OPERATOR.match(text, end)
    second = NUMBER.match(text, operator.end()) if operator else None
    if operator and second:
        after = unit_at(text, second.end(), in_field)
        band = operator["band"] is not None
        if (after and (unit is None or band or _alike(unit.spelling, after.spelling))) or (unit and band):
            other = ("-" if operator["minus"] else "") + second[0]
            units = tuple(spelled.spelling for spelled in (unit, after) if spelled)
            stop = after.end if after else second.end()
            return Tokens(at, stop, "", (number, other), units, "band" if band else "range")
    return Tokens(at, end, "", (number,), (unit.spelling,), "") if unit else None


class Second(NamedTuple):
    """The tokens of a second amount, and where it ends with its bracket."""

    tokens: Tokens
    end: int


def pair_at(text: str, at: int, in_field: bool = False) -> Second | None:
    """Return the amount in brackets or after a stroke that stands behind another."""
    pair = _PAIR.match(text, at)
    tokens = scan(text, pair.end(), in_field) if pair else None
    if pair is None or tokens is None:
        return None
    if not pair[1]:
        return Second(tokens, tokens.end)
    close = _CLOSE.match(text, tokens.end)
    return Second(tokens, close.end()) if close else None


def _alike(first: str, second: str) -> bool:
    return known(first) is not None and known(first) == known(second)


def _sum(text: str, at: int, number: str, unit: str, end: int) -> Tokens | None:
    """Return a length of time in several units, 1 h 30 min, or None for one in a single unit."""
    numbers, units = [number], [unit]
    while gap := _AND.match(text, end):
        more = NUMBER.match(text, gap.end())
        after = unit_at(text, more.end(), False) if more else None
        if more is None or after is None or known(after.spelling) not in _MINUTES:
            break
        if _MINUTES[known(after.spelling)] >= _MINUTES[known(units[-1])]:
            break
        numbers.append(more[0])
        units.append(after.spelling)
        end = after.end
    return Tokens(at, end, "", tuple(numbers), tuple(units), "sum") if len(numbers) > 1 else None


# Reading a field ------------------------------------------------------------------------------------------


@lru_cache(maxsize=8192)
def read(text: str, kind: Kind) -> Amount:
    """Return the amount a field of this kind holds. Raises AmountUnclear with what its author should hear."""
    return _read(text, kind)


@lru_cache(maxsize=8192)
def read_any(text: str) -> Amount:
    """Return the amount in a field of any kind: the unit decides. Raises AmountUnclear."""
    return _read(text, None)


def _read(text: str, kind: Kind | None) -> Amount:
    example = EXAMPLES[kind or "torque"]
    text = text.strip()
    if not text:
        raise AmountUnclear("amount-unclear", "no amount is written", "the step needs its figure", example)
    if len(text) > LONGEST:
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is {len(text)} characters long",
            "an amount is a number and its unit, nothing more",
            example,
        )
    if text[-1] == "." and text[-2:-1].isalpha():
        text = text[:-1]  # the full stop of an abbreviation: ft. lbs.
    same = level(text)
    first, end = _read_one(same, text, 0, kind)
    if end == len(same):
        return first
    other = pair_at(same, end, in_field=True)
    if other and other.end == len(same):
        words = text[other.tokens.start : other.tokens.end]
        return paired(first, judge(other.tokens, first.kind, words), _words(text))
    raise AmountUnclear(
        "amount-unclear",
        f"after “{_short(text[:end].strip())}” stands “{_short(text[end:].strip())}”",
        "one field holds one amount; what follows it would be lost",
        first.written,
    )


def _read_one(same: str, text: str, at: int, kind: Kind | None) -> tuple[Amount, int]:
    """Return the amount at a place in a field, with its bounds, and where it ends."""
    before = _BOUND_BEFORE.match(same, at)
    start = before.end() if before else at
    tokens = scan(same, start, in_field=True)
    if tokens is None:
        raise _no_amount(same[start:], kind, text)
    tokens = tokens.with_bound_before(before, at).with_bound_after(same)
    return judge(tokens, kind, text[at : tokens.end]), tokens.end


def _no_amount(rest: str, kind: Kind | None, text: str) -> AmountUnclear:
    """Say why no amount stands at the start of the rest of a field."""
    example = EXAMPLES[kind or "torque"]
    rest = rest.strip()
    if rest.startswith("+"):
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} begins with a plus sign",
            "it may mean so much, or so much more",
            _short(rest[1:].strip()) or example,
        )
    rest = rest.lstrip("-–")
    found = NUMBER.match(rest)
    if rest.startswith("."):
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} begins with its decimal point",
            "a point without a figure before it is lost under one drop of oil",
            f"0{_short(rest)}",
        )
    if found is None:
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is not a number and a unit",
            "a figure that cannot be read cannot be followed",
            example,
        )
    after = rest[found.end() :].strip()
    if after[:1] in ("e", "E") and after[1:2].isdigit():
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is written with an exponent",
            "nobody reads one with greasy hands, and a slip in it is a factor of ten",
            f"the number in full, as in {example}",
        )
    try:
        _value(found[0], kind, "")
    except AmountUnclear as unclear:
        return unclear
    if not any(sign.isalpha() for sign in after):
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} has no unit",
            "a bare number is read in whatever unit the reader is used to",
            join(found[0] if not after else f"{found[0]} {after}", example.lstrip("0123456789. ")),
        )
    return _unknown(after, found[0], kind)


def _unknown(spelling: str, number: str, kind: Kind | None) -> AmountUnclear:
    """Say that a unit is not known, and which one may have been meant."""
    units = _units_of(kind)
    close = get_close_matches(spelling[:20], [*units, *ANY_CASE, *SYMBOLS], n=3, cutoff=0.6)
    meant = next((unit for unit in map(known, close) if unit in units), None)
    what = f"“{_short(spelling)}” is not a unit Droplight knows"
    why = "a unit that is guessed is a figure that is guessed"
    if meant:
        return AmountUnclear("unit-unknown", f"{what}; did you mean {meant}?", why, join(number, meant))
    allowed = f"one of {', '.join(units)}" if kind else f"a unit as in {EXAMPLES['torque']}"
    return AmountUnclear("unit-unknown", what, why, allowed)


def _units_of(kind: Kind | None) -> list[str]:
    kind = "temperature" if kind == "temperature-difference" else kind
    return [unit for unit, one in UNITS.items() if kind in (None, one.kind)]


# Judging the tokens ---------------------------------------------------------------------------------------

_POSITIVE = ("torque", "length", "angle")  # nothing is tightened, wide or turned by nought
_FRACTIONS = ("length", "distance", "duration", "volume", "angle", "mass")
_DENOMINATORS = (2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64)


def judge(tokens: Tokens, kind: Kind | None, text: str) -> Amount:
    """Return the amount of some tokens; no kind: the unit decides. text: as its author wrote it.

    Raises AmountUnclear.
    """
    text = _words(text)
    if tokens.bound and tokens.operator in ("range", "band"):
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is a bound and a range at once",
            "nobody can tell which end counts",
            "either the range, or the bound alone",
        )
    percent = (
        tokens.operator == "band" and len(tokens.units) == 2 and tokens.units[1] == "%" != tokens.units[0]
    )
    spelled = tokens.units[:1] if percent else tokens.units
    units = [_unit(spelling, kind, tokens.numbers, text) for spelling in spelled]
    unit = units[-1]
    kind = kind or UNITS[unit].kind
    if tokens.operator != "sum" and len(set(units)) > 1:
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} has two units for one amount",
            "the two numbers are not of one measure",
            f"both numbers in {units[0]}",
        )
    scale, shown = TURNS.get(spelled[-1].lower(), (1, unit))
    values = [scale * _value(word, kind, unit) for word in tokens.numbers]
    for value in values:
        _check(value, kind, unit, text)
    words = [word.replace("-", "−", 1) if word[0] == "-" else word for word in tokens.numbers]
    if tokens.operator == "range":
        low, high = values
        _check_range(low, high, words, shown, text)
        return Amount(kind, "range", low, high, None, unit, span(words[0], words[1], shown), text)
    if tokens.operator == "band":
        middle, band = values
        band = middle * band / 100 if percent else band
        _check_band(middle, band, kind, join(words[0], shown), text)
        written = f"{join(words[0], shown)} ± {words[1]} %" if percent else join(" ± ".join(words), shown)
        return Amount(kind, "tolerance", middle - band, middle + band, middle, unit, written, text)
    value, written = values[0], join(words[0], shown)
    if tokens.operator == "sum":
        value, unit = _total(values, units, text), "min"
        written = " ".join(map(join, words, units))
    if tokens.bound == "most":
        return Amount(kind, "at-most", None, value, None, unit, f"at most {written}", text)
    if tokens.bound == "least":
        return Amount(kind, "at-least", value, None, None, unit, f"at least {written}", text)
    return Amount(kind, "figure", value, value, value, unit, written, text)


def _unit(spelling: str, kind: Kind | None, numbers: tuple[str, ...], text: str) -> str:
    """Return the unit of a spelling. Raises AmountUnclear where it is unknown, unclear or of another kind."""
    if kind == "torque" and POUNDS.fullmatch(spelling):
        raise bare_pounds(text, numbers)
    unit, shown = known(spelling), "–".join(numbers)
    if spelling in MISSPELT:
        mega = spelling.startswith("MN")
        raise AmountUnclear(
            "unit-unknown",
            f"“{spelling}” is not a unit Droplight knows; did you mean {MISSPELT[spelling]}?",
            "M is a million and m a thousandth: a slip of case is a factor of a thousand million"
            if mega
            else "a unit that is guessed is a figure that is guessed",
            join(shown, MISSPELT[spelling]),
        )
    if unit is None:
        us, imperial = TWO_COUNTRIES[spelling.lower()]
        raise AmountUnclear(
            "amount-unclear",
            f"“{text}” may be of the United States or imperial",
            "an imperial gallon is a fifth larger, an imperial fluid ounce a little smaller",
            f"{shown} {us}, or {shown} {imperial}",
        )
    own = UNITS[unit].kind
    if kind is None or own == kind or (own == "temperature" and kind == "temperature-difference"):
        return unit
    raise AmountUnclear(
        "unit-wrong-kind",
        f"“{text}” is {NAMES[own]}; here stands {NAMES[kind]}",
        "the two cannot be compared, so one of number, unit and field is a slip",
        f"one of {', '.join(_units_of(kind))}, as in {EXAMPLES[kind]}",
    )


def bare_pounds(text: str, numbers: tuple[str, ...]) -> AmountUnclear:
    """Return what to say of a torque in plain pounds (rule R21)."""
    shown = "–".join(numbers)
    return AmountUnclear(
        "R21",
        f"“{_words(text)}” may be lbf·ft or lbf·in",
        "the two differ by a factor of twelve: the bolt stays loose or breaks",
        f"{shown} lbf·ft, or {shown} lbf·in, whichever the source prints",
    )


def _value(text: str, kind: Kind | None, unit: str) -> Decimal:
    """Return the value of a number's text; its unit is for what to write. Raises AmountUnclear."""
    bare = text.lstrip("-")
    if bare != text and kind != "temperature":
        raise AmountUnclear(
            "amount-unclear",
            f"“{text.replace('-', '−')}” is below nought",
            "only temperatures go below nought here; a dash before a number may be a slip",
            join(bare, unit),
        )
    if "," in bare:
        raise _comma(bare, kind, unit)
    digits = [len(part) for part in re.findall("[0-9]+", bare)]
    if bare.count(".") > 1:
        raise AmountUnclear(
            "amount-unclear", f"“{_short(bare)}” has more than one decimal point", "it is no number", "25.5"
        )
    if any(count > DIGITS for count in digits[:1]) or any(count > DECIMALS for count in digits[1:]):
        raise AmountUnclear(
            "amount-unclear",
            f"“{_short(bare)}” has too many figures",
            f"no figure at a vehicle has more than {DIGITS} before its point or {DECIMALS} after it",
            "the figure as a gauge or wrench would show it",
        )
    sign = -1 if bare != text else 1
    if bare[-1] in _VULGAR:
        top, bottom = _VULGAR[bare[-1]]
        whole = bare[:-1].strip() or "0"
    elif "/" in bare:
        whole, _, fraction = bare.replace("-", " ").rpartition(" ")
        top, bottom = (int(part) for part in fraction.split("/"))
        whole = whole or "0"
    else:
        return sign * Decimal(bare)
    if kind is not None and kind not in _FRACTIONS:
        raise AmountUnclear(
            "amount-unclear",
            f"“{bare}” is a fraction",
            f"no scale of {NAMES[kind].partition(' ')[2]} is marked in fractions; it may be two figures",
            "a decimal number, or each figure with its unit",
        )
    if bottom not in _DENOMINATORS or (whole != "0" and top >= bottom):
        raise AmountUnclear(
            "amount-unclear",
            f"“{bare}” is not a fraction of the trade",
            "rules and drills are marked in halves down to sixty-fourths; this may be two figures",
            "a fraction such as 9/16 or 1-5/32, or a decimal number",
        )
    return sign * (int(whole) + Decimal(top) / bottom)


def _comma(text: str, kind: Kind | None, unit: str) -> AmountUnclear:
    joined, pointed = text.replace(",", ""), text.replace(",", ".")
    torque = "torque, and the thread goes with it" if kind == "torque" else "amount"
    if pointed.count(".") > 1:
        return AmountUnclear(
            "amount-unclear",
            f"“{_short(text)}” has commas in its number",
            "a comma parts thousands for some readers and decimals for others",
            _short(join(joined, unit)),
        )
    places = len(text) - text.index(",") - 1
    times = {1: "ten", 2: "a hundred", 3: "a thousand"}.get(places, f"10 to the power {places}")
    return AmountUnclear(
        "amount-unclear",
        f"“{_short(join(text, unit))}” may be {_short(pointed)} or {_short(joined)}",
        f"the wrong guess is {times} times the {torque}",
        _short(join(joined if places == 3 and text[0] != "0" else pointed, unit)),
    )


def _check(value: Decimal, kind: Kind, unit: str, text: str) -> None:
    """Raise AmountUnclear for a value that nothing at a vehicle can have."""
    if kind in _POSITIVE and value <= 0:
        raise AmountUnclear(
            "amount-unclear",
            f"“{text}” is {NAMES[kind]} of nought",
            "it asks for nothing to be done",
            EXAMPLES[kind],
        )
    if kind == "temperature" and convert(value, unit, "°C", kind) < -273.15:
        raise AmountUnclear(
            "amount-unclear", f"“{text}” is below absolute zero", "nothing is that cold", EXAMPLES[kind]
        )


def _check_range(low: Decimal, high: Decimal, words: list[str], shown: str, text: str) -> None:
    if low >= high:
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} runs from {words[0]} to {words[1]}",
            "a range is written from its least to its most; one of the two may be a slip",
            span(words[1], words[0], shown) if low > high else join(words[0], shown),
        )


def _check_band(middle: Decimal, band: Decimal, kind: Kind, figure: str, text: str) -> None:
    if band <= 0 or (band > middle and kind != "temperature"):
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} has a tolerance of {'nothing' if band <= 0 else 'more than the figure'}",
            "no work can be held to it",
            f"{figure} alone, or with the tolerance that its source prints",
        )


def _total(values: list[Decimal], units: list[str], text: str) -> Decimal:
    """Return a compound length of time in minutes. Raises AmountUnclear where a part overflows."""
    total = Decimal(0)
    for index, (value, unit) in enumerate(zip(values, units, strict=True)):
        if index and value * _MINUTES[unit] >= _MINUTES[units[index - 1]]:
            raise AmountUnclear(
                "amount-unclear",
                f"“{text}” holds a whole {units[index - 1]} in its {unit}",
                "one of the two numbers may be a slip",
                "1 h 30 min",
            )
        total += value * _MINUTES[unit]
    return total


def paired(first: Amount, second: Amount, text: str) -> Amount:
    """Return the first amount, the second beside it. Raises AmountUnclear (R26) where they disagree."""
    if not agrees(first, second):
        raise AmountUnclear(
            "R26",
            f"“{first.text}” and “{second.text}” are not the same",
            "somebody will work to the wrong one of the two",
            f"{first.written} alone, or {first.written} ({_other(first, second)})",
        )
    if first.form in ("at-most", "at-least") and second.form == "figure":
        low, high = (None, second.high) if first.form == "at-most" else (second.low, None)
        bound = f"{first.form.replace('-', ' ')} {second.written}"
        second = replace(second, form=first.form, low=low, high=high, nominal=None, written=bound)
    return replace(first, text=text, second=second)


def _other(first: Amount, second: Amount) -> str:
    system = UNITS[second.unit].system
    return first.shown("us" if system == "us" else "si")


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def _words(text: str) -> str:
    return " ".join(text.split())


def _quoted(text: str) -> str:
    return f"“{_short(_words(text))}”"


# Comparing ------------------------------------------------------------------------------------------------


def agrees(a: Amount, b: Amount) -> bool:
    """Return whether two amounts are one, within the rounding both are printed to.

    In one unit the numbers must be equal. Across units each number stands for all that would have been
    printed as it: half of its last place, either way. Zeros that end a whole number may be rounding too
    (110 N·m, 80 lbf·ft), but never more than 2 % of it; nor may times and other amounts both systems share.
    Between systems 1 % is always allowed, because that is what Droplight's own conversions are rounded to,
    and 12 % is the most: a rounding to one figure may lose it (3 N·m, 2 lbf·ft), a wrong gallon exceeds it.
    A figure agrees with a tolerance around it and with a bound of the same number; a range only with a range.
    """
    if a.kind != b.kind:
        return False
    if a.nominal is not None and b.nominal is not None:
        if a.form == b.form == "tolerance":
            return _same(a, a.low, b, b.low) and _same(a, a.high, b, b.high)
        return _same(a, a.nominal, b, b.nominal)
    if {a.form, b.form} == {"at-most", "at-least"}:
        return False
    if "figure" in (a.form, b.form):
        if "range" in (a.form, b.form):
            return False
        return _same(a, a.low if a.high is None else a.high, b, b.low if b.high is None else b.high)
    if (a.low is None) != (b.low is None) or (a.high is None) != (b.high is None):
        return False
    return all(
        _same(a, mine, b, yours) for mine, yours in ((a.low, b.low), (a.high, b.high)) if mine is not None
    )


def _same(a: Amount, mine: Decimal | None, b: Amount, yours: Decimal | None) -> bool:
    if mine is None or yours is None:
        return mine is yours
    if a.unit == b.unit:
        return mine == yours
    at, to = (convert(mine, a.unit, b.unit, a.kind), float(yours))
    zero = convert(0, a.unit, b.unit, a.kind)
    about = abs(convert(_rounding(mine, a), a.unit, b.unit, a.kind) - zero) + float(_rounding(yours, b))
    if UNITS[a.unit].system != "both" and a.kind != "temperature":
        size = max(abs(at), abs(to))
        about = min(max(about, LARGEST_ERROR * size), MOST_LOST * size)
    return abs(at - to) <= about * (1 + 1e-9) + 1e-12


def _rounding(value: Decimal, amount: Amount) -> Decimal:
    """Return how far the number that was printed as this may have been from it."""
    share = abs(value) / 50
    if _FRACTION.search(amount.written):
        return Decimal(0)  # a fraction is exact; its decimal twin was rounded
    exponent = int(value.as_tuple().exponent)
    if exponent < 0:
        last = Decimal(1).scaleb(exponent) / 2
    else:
        zeros = int(value.normalize().as_tuple().exponent) if value else 0
        last = max(Decimal("0.5"), min(Decimal(1).scaleb(zeros) / 2, share))
    return min(last, share) if UNITS[amount.unit].system == "both" else last
