"""Amounts: an author's text becomes numbers and a unit by a strict grammar, or the text of a finding.

    amount   = [bound] number [unit] [(range | tolerance)] unit [bound] [second]
    range    = ("–" | "-" | " to ") number            20–25 N·m, 20 to 25 N·m, 20 N·m to 25 N·m
    tolerance= ("±" | "+/-") number [unit | "%"]      25 ± 2 N·m, 25 N·m ± 10 %
    bound    = "at most" | "at least" | "≤" | "≥" …   at most 50 °C, 5 min or more
    second   = "(" amount ")" | "/" amount            24 N·m (18 lbf·ft)
    number   = 25 | 25.5 | 9/16 | 1 1/4 | 1-5/32 | 2½

Units are an allow-list of spellings; Pint never sees the text. A comma, a bare "pounds" for torque, a gallon
of no country, two units that disagree: each is refused with what to write instead. Time and space grow with
the length of the text and no faster: patterns are plain alternatives without nested repetition.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from functools import lru_cache
from itertools import product
from typing import Any, Literal, NamedTuple

from webapp.trade.units import LARGEST_ERROR, UNITS, Figure, Form, Kind, convert, join, show, span

Code = Literal["amount-unclear", "unit-unknown", "unit-wrong-kind", "R21", "R26"]

LONGEST = 200  # characters of one amount
DIGITS, DECIMALS = 7, 6  # of one number


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

    def shown(self, system: Literal["us", "si"]) -> str:
        """Return the amount for readers of one system: the author's own second unit before a conversion."""
        own = UNITS[self.unit].system
        if (
            self.second is not None
            and own not in (system, "both")
            and UNITS[self.second.unit].system == system
        ):
            return self.second.written
        return show(self.figure(), system)

    def figure(self) -> Figure:
        """Return the bare figure."""
        return Figure(self.kind, self.form, self.low, self.high, self.nominal, self.unit, self.written)


class Found(NamedTuple):
    """A quantity in prose: text[start:end] is one amount, with its second unit if printed, or a problem."""

    start: int
    end: int
    amounts: tuple[Amount, ...]  # one, or none where there is a problem
    problem: AmountUnclear | None = None


# Spellings ------------------------------------------------------------------------------------------------

# Symbols: written exactly so, because a change of case changes the unit (mN·m, MN·m).
_SYMBOLS: dict[str, str] = {
    **{
        f"{prefix}N{dot}m": f"{prefix}N·m"
        for prefix in ("", "c", "m")
        for dot in ("·", "", " ", "-", "*", ".")
    },
    **{f"{force}{dot}m": "kgf·m" for force in ("kgf", "kg", "kp") for dot in ("·", "", " ", "-", "*", ".")},
    **{f"{force}{dot}cm": "kgf·cm" for force in ("kgf", "kg", "kp") for dot in ("·", "", " ", "-", "*", ".")},
    "mkp": "kgf·m",
    "mkg": "kgf·m",
    **{unit: unit for unit in UNITS if unit not in ("rpm", "mph", "psi", "°", "K")},
    "μm": "µm",  # the Greek letter for the micro sign
    "l": "L",
    "ml": "mL",
    "cm³": "mL",
    "cm3": "mL",
    "cc": "mL",
    "l/min": "L/min",
    "degC": "°C",
    "deg C": "°C",
    "° C": "°C",
    "℃": "°C",
    "degF": "°F",
    "deg F": "°F",
    "° F": "°F",
    "℉": "°F",
    "kgf/cm2": "kgf/cm²",
    "kg/cm²": "kgf/cm²",
    "kg/cm2": "kgf/cm²",
    "r/min": "rpm",
    "1/min": "rpm",
    "min⁻¹": "rpm",
    "W": "W",
    '"': "in",
    "°": "°",
}

_LENGTHS = {"ft": ("ft", "foot", "feet"), "in": ("in", "inch", "inches")}
_FORCES = ("lbf", "lb", "lbs", "pound-force", "pound", "pounds")
_JOINTS = ("·", "-", " ", ".", ". ", "*", "")

# Words: any case, because shouting "FT-LB" changes nothing.
_WORDS: dict[str, str] = {
    **{
        f"{pair[0]}{joint}{pair[1]}": f"lbf·{length}"
        for length, names in _LENGTHS.items()
        for name, force, joint in product(names, _FORCES, _JOINTS)
        for pair in ((name, force), (force, name))
    },
    **{
        f"{pair[0]}{joint}{pair[1]}": "ozf·in"
        for name, force, joint in product(
            ("in", "inch"), ("ozf", "oz", "ounce", "ounces"), ("·", "-", " ", "")
        )
        for pair in ((name, force), (force, name))
    },
    **{
        f"newton{joint}{metre}": "N·m"
        for joint, metre in product(("-", " "), ("metre", "meter", "metres", "meters"))
    },
    **{f"{name}{s}": "mm" for name in ("millimetre", "millimeter") for s in ("", "s")},
    **{f"{name}{s}": "cm" for name in ("centimetre", "centimeter") for s in ("", "s")},
    **{f"{name}{s}": "m" for name in ("metre", "meter") for s in ("", "s")},
    **{f"{name}{s}": "km" for name in ("kilometre", "kilometer") for s in ("", "s")},
    **dict.fromkeys(("in", "inch", "inches"), "in"),
    **dict.fromkeys(("ft", "foot", "feet"), "ft"),
    "thou": "thou",
    **dict.fromkeys(("mile", "miles"), "mi"),
    **dict.fromkeys(("sec", "second", "seconds"), "s"),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("day", "days"), "d"),
    **dict.fromkeys(("week", "weeks"), "wk"),
    **{
        f"{degrees}{name}": unit
        for degrees in ("degrees ", "degree ", "deg ", "°", "° ")
        for name, unit in (("celsius", "°C"), ("centigrade", "°C"), ("fahrenheit", "°F"))
    },
    "degrees c": "°C",
    "degrees f": "°F",
    **{f"{name}{s}": "L" for name in ("litre", "liter") for s in ("", "s")},
    **{f"{name}{s}": "mL" for name in ("millilitre", "milliliter") for s in ("", "s")},
    **{
        spelling: f"{country} {measure}"
        for country, names in {
            "US": ("us", "u.s."),
            "imp": ("imp", "imp.", "imperial", "uk"),
        }.items()
        for measure, words in {
            "gal": ("gal", "gallon", "gallons"),
            "qt": ("qt", "quart", "quarts"),
            "pt": ("pt", "pint", "pints"),
            "fl oz": ("fl oz", "fl. oz", "fluid ounce", "fluid ounces"),
        }.items()
        for name, word in product(names, words)
        for spelling in (f"{name} {word}", f"{word} ({name})")
    },
    "us gpm": "US gal/min",
    **dict.fromkeys(("litres per minute", "liters per minute"), "L/min"),
    **dict.fromkeys(("psi", "psig", "lbf/in²", "pounds per square inch"), "psi"),
    "in hg": "inHg",
    "mm hg": "mmHg",
    **dict.fromkeys(("deg", "degree", "degrees"), "°"),
    **{f"{name}{s}": "kg" for name in ("kilogram", "kilo") for s in ("", "s")},
    **{f"gram{s}": "g" for s in ("", "s")},
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("volt", "volts"), "V"),
    **dict.fromkeys(("millivolt", "millivolts"), "mV"),
    **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "A"),
    **dict.fromkeys(("ohm", "ohms"), "Ω"),
    **dict.fromkeys(("rpm", "rev/min", "revs/min", "revolutions per minute"), "rpm"),
    **dict.fromkeys(("mph", "miles per hour"), "mph"),
    "kph": "km/h",
    **dict.fromkeys(("percent", "per cent", "pct"), "%"),
    **dict.fromkeys(("horsepower", "bhp"), "hp"),
}

# Angles counted in parts of a circle. A hexagon has six flats.
_TURNS: dict[str, tuple[int, str]] = {
    "turn": (360, "turn"),
    "turns": (360, "turns"),
    "flat": (60, "flat"),
    "flats": (60, "flats"),
}

# Measures of two countries: the text does not say whose.
_ASK: dict[str, tuple[str, str]] = {
    word: (f"US {measure}", f"imp {measure}")
    for measure, words in {
        "gal": ("gal", "gallon", "gallons"),
        "qt": ("qt", "quart", "quarts"),
        "pt": ("pt", "pint", "pints"),
        "fl oz": ("fl oz", "fl. oz", "fluid ounce", "fluid ounces"),
        "gal/min": ("gpm", "gal/min", "gallons per minute"),
    }.items()
    for word in words
}

# Spellings of a known unit that mean something else, or nothing; named so that prose does not hide them.
_WRONG: dict[str, str] = {
    **dict.fromkeys(("nm", "NM", "nM", "n·m", "N/m"), "N·m"),
    **dict.fromkeys(("MNm", "MN·m", "MN m", "MN-m"), "mN·m"),
    **{
        f"{length}/{force}": f"lbf·{length}"
        for length in _LENGTHS
        for force in ("lb", "lbs", "lbf", "pounds")
    },
    **{f"{force}/{length}": f"lbf·{length}" for length in _LENGTHS for force in ("lb", "lbs", "lbf")},
    **dict.fromkeys(("kpa", "KPA", "KPa", "Kpa"), "kPa"),
    "psia": "psi",
    "MM": "mm",
}

# In prose these end a sentence, or are other things: "drill to 1/2 in. Then", "fit 2 C clamps".
_FIELD_ONLY: dict[str, str] = {"in.": "in", "ft.": "ft", "C": "°C", "F": "°F"}
_POUNDS = re.compile(r"(?:lbs?|pounds?)\.?", re.I)
_SPACED_IN = re.compile(r"[a-z-]+ in", re.I)

_NAMES: dict[Kind, str] = {
    "torque": "a torque",
    "length": "a length",
    "distance": "a distance",
    "duration": "a length of time",
    "temperature": "a temperature",
    "temperature-difference": "a difference of temperatures",
    "volume": "a volume",
    "flow": "a flow",
    "pressure": "a pressure",
    "angle": "an angle",
    "mass": "a mass",
    "voltage": "a voltage",
    "current": "a current",
    "resistance": "a resistance",
    "speed": "a speed of rotation",
    "road-speed": "a road speed",
    "share": "a share",
    "power": "a power",
}
EXAMPLES: dict[Kind, str] = {
    "torque": "25 N·m",
    "length": "3 mm",
    "distance": "100 km",
    "duration": "24 h",
    "temperature": "50 °C",
    "temperature-difference": "10 °C",
    "volume": "7.4 L",
    "flow": "10 L/min",
    "pressure": "100 kPa",
    "angle": "90°",
    "mass": "18 kg",
    "voltage": "12.6 V",
    "current": "10 A",
    "resistance": "120 Ω",
    "speed": "800 rpm",
    "road-speed": "50 km/h",
    "share": "50 %",
    "power": "15 kW",
}
_POSITIVE = (
    "torque",
    "length",
    "angle",
)  # nothing is tightened to nought, and no path or turn is nought long
_FRACTIONS = ("length", "distance", "duration", "volume", "angle", "mass")
_DENOMINATORS = (2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64)
_MINUTES: dict[str, Decimal] = {
    "wk": Decimal(10080),
    "d": Decimal(1440),
    "h": Decimal(60),
    "min": Decimal(1),
    "s": Decimal(1) / 60,
}

# Patterns -------------------------------------------------------------------------------------------------

# One character for one, so that places in the text stay what they are.
_SAME = str.maketrans(
    {
        **dict.fromkeys(
            "\t\n\r\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000", " "
        ),
        **dict.fromkeys("\u2010\u2011\u2212", "-"),
        "\u2013": "–",
        **dict.fromkeys("\u2044\u2215", "/"),
        **dict.fromkeys("\u22c5\u2219\u2022\u2027\u30fb\u0387", "·"),
        "\u2033": '"',
        "\u201d": '"',
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u2126": "Ω",
        "\u00d7": "×",
    }
)
_VULGAR = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3)} | {
    sign: (eighths, 8) for sign, eighths in zip("⅛⅜⅝⅞", (1, 3, 5, 7), strict=True)
}
_SIGNS = "".join(_VULGAR)
_FRACTION = re.compile(rf"[0-9]/[0-9]|[{_SIGNS}]")
_ANY_NUMBER = re.compile(rf"[0-9{_SIGNS}]")
_NUMBER = re.compile(
    rf"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+ ?[{_SIGNS}]|[{_SIGNS}]|[0-9]+(?:[.,][0-9]+)*"
)
_PROSE_NUMBER = re.compile(rf"(?<![\w.,/°·×^~+])(?:{_NUMBER.pattern})")


def _one_of(spellings: Iterator[str] | list[str]) -> str:
    return "|".join(re.escape(spelling) for spelling in sorted(spellings, key=len, reverse=True))


_END = r"(?![A-Za-z0-9°·²³µΩ⁻]|[-/*^.][A-Za-z])"
_GAP = r"(?: {0,2}|-)"
_ANY_CASE = list(_WORDS) + list(_TURNS) + list(_ASK)
_UNIT = re.compile(rf"{_GAP}(?:({_one_of([*_SYMBOLS, *_WRONG])}){_END}|((?i:{_one_of(_ANY_CASE)})){_END})")
_FIELD_UNIT = re.compile(rf"{_GAP}({_one_of(list(_FIELD_ONLY))})(?![A-Za-z0-9])()")
_OPERATOR = re.compile(r"(?P<band> ?(?:±|\+/-) ?)|(?: ?[-–] ?| to )(?P<minus>[-–])?")
_AND = re.compile(r" (?:and )?")
_PAIR = re.compile(r" ?(?:(\() ?| ?[/=] ?)")
_CLOSE = re.compile(r" ?\)")
_MOST = r"at most|no more than|not more than|maximum|max\.?|up to|≤|<="
_LEAST = r"at least|no less than|not less than|minimum|min\.?|≥|>="
_BOUND = re.compile(rf"(?:(?P<most>{_MOST})|(?P<least>{_LEAST})) ?$", re.I)
_FIELD_BOUND = re.compile(
    rf"(?:(?P<most>{_MOST}|below|under|less than)|(?P<least>{_LEAST}|above|over|more than)) ?", re.I
)
_BOUND_AFTER = re.compile(
    r" (?:(?P<most>max\.?|maximum|at most|or less)|(?P<least>minimum|at least|or more))(?!\w)", re.I
)
_COMMA = re.compile(r"[0-9]+(?:[.,][0-9]+)*,[0-9]+(?:[.,][0-9]+)*")
_SIGN = re.compile(r"[-–]")


class _Raw(NamedTuple):
    """The tokens of one amount, not yet judged."""

    start: int
    end: int
    bound: Literal["", "most", "least"]
    numbers: tuple[str, ...]  # one or two, or more for a compound length of time
    units: tuple[str, ...]  # spellings: one for each number, or one for all
    operator: Literal["", "range", "band", "sum"]


def _unit_at(text: str, at: int, field: bool) -> re.Match[str] | None:
    return _UNIT.match(text, at) or (_FIELD_UNIT.match(text, at) if field else None)


def _spelling(match: re.Match[str]) -> str:
    return match[1] or match[2]


def _known(spelling: str) -> str | None:
    """Return the unit a spelling stands for; None for one that only asks or errs."""
    if spelling in _SYMBOLS:
        return _SYMBOLS[spelling]
    if spelling in _WRONG:
        return None
    low = spelling.lower()
    if low in _TURNS:
        return "°"
    return _WORDS.get(low) or _FIELD_ONLY.get(spelling)


def _scan(text: str, at: int, field: bool) -> _Raw | None:
    """Return the tokens of the amount whose first number or minus sign stands at `at`, without its bounds."""
    sign = _SIGN.match(text, at)
    first = _NUMBER.match(text, sign.end() if sign else at)
    if first is None:
        return None
    numbers = [("-" if sign else "") + first[0]]
    unit = _unit_at(text, first.end(), field)
    end = unit.end() if unit else first.end()
    if unit and _known(_spelling(unit)) in _MINUTES:
        total = _sum(text, at, numbers[0], unit)
        if total:
            return total
    operator = _OPERATOR.match(text, end)
    second = _NUMBER.match(text, operator.end()) if operator else None
    if operator and second:
        after = _unit_at(text, second.end(), field)
        band = operator["band"] is not None
        if (after and (unit is None or band or _alike(unit, after))) or (unit and band):
            numbers.append(("-" if operator["minus"] else "") + second[0])
            units = tuple(_spelling(match) for match in (unit, after) if match)
            return _Raw(at, (after or second).end(), "", tuple(numbers), units, "band" if band else "range")
    if unit is None:
        return None
    return _Raw(at, end, "", tuple(numbers), (_spelling(unit),), "")


def _alike(first: re.Match[str], second: re.Match[str]) -> bool:
    one, other = _known(_spelling(first)), _known(_spelling(second))
    return one is not None and one == other


def _sum(text: str, at: int, first: str, unit: re.Match[str]) -> _Raw | None:
    """Return a compound length of time, 1 h 30 min, or None for a single one."""
    numbers, units, end = [first], [_spelling(unit)], unit.end()
    while True:
        gap = _AND.match(text, end)
        more = _NUMBER.match(text, gap.end()) if gap else None
        after = _UNIT.match(text, more.end()) if more else None
        if more is None or after is None:
            break
        smaller, larger = _known(_spelling(after)), _known(units[-1])
        if smaller not in _MINUTES or larger is None:
            break
        if _MINUTES[smaller] >= _MINUTES[larger]:
            break
        numbers.append(more[0])
        units.append(_spelling(after))
        end = after.end()
    return _Raw(at, end, "", tuple(numbers), tuple(units), "sum") if len(numbers) > 1 else None


# Reading --------------------------------------------------------------------------------------------------


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
    if len(text) > LONGEST:
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is {len(text)} characters long",
            "an amount is a number and its unit, nothing more",
            example,
        )
    same = text.translate(_SAME)
    trimmed = same.strip()
    if not trimmed:
        raise AmountUnclear("amount-unclear", "no amount is written", "the step needs its figure", example)
    if trimmed[-1] == "." and trimmed[-2:-1].isalpha():
        trimmed = trimmed[:-1]  # the full stop of an abbreviation: ft. lbs.
    at = len(same) - len(same.lstrip())
    stop = at + len(trimmed)
    same = same[:stop]
    first = _whole(same, at, kind, text.strip())
    amount, end = first
    if end == stop:
        return amount
    pair = _PAIR.match(same, end)
    if pair:
        second, end = _whole(same, pair.end(), amount.kind, text[pair.end() : stop])
        close = _CLOSE.match(same, end) if pair[1] else None
        end = close.end() if close else end
        if end == stop and bool(pair[1]) == bool(close):
            return _paired(amount, second, text.strip())
    raise AmountUnclear(
        "amount-unclear",
        f"after “{same[at:end].strip()}” stands “{_short(same[end:stop].strip())}”",
        "one field holds one amount; what follows it would be lost",
        amount.written,
    )


def _whole(text: str, at: int, kind: Kind | None, shown: str) -> tuple[Amount, int]:
    """Return the amount at a place in a field, with its bounds, and where it ends."""
    before = _FIELD_BOUND.match(text, at)
    raw = _scan(text, before.end() if before else at, field=True)
    if raw is None:
        raise _no_amount(text[before.end() if before else at :], kind, shown)
    if before:
        raw = raw._replace(bound="most" if before["most"] else "least", start=at)
    raw = _with_bound_after(text, raw)
    return _amount(raw, kind, text[at : raw.end]), raw.end


def _with_bound_after(text: str, raw: _Raw) -> _Raw:
    after = _BOUND_AFTER.match(text, raw.end)
    if after is None or raw.bound:
        return raw
    return raw._replace(bound="most" if after["most"] else "least", end=after.end())


def _no_amount(rest: str, kind: Kind | None, shown: str) -> AmountUnclear:
    """Say why no amount stands at the start of the text."""
    example = EXAMPLES[kind or "torque"]
    rest = rest.strip()
    found = _NUMBER.match(rest.lstrip("-–+"))
    if rest.startswith("."):
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(shown)} begins with its decimal point",
            "a point without a figure before it is lost under one drop of oil",
            f"0{_short(rest)}",
        )
    if found is None:
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(shown)} is not a number and a unit",
            "a figure that cannot be read cannot be followed",
            example,
        )
    after = rest.lstrip("-–+")[found.end() :].strip()
    if after[:1] in ("e", "E") and after[1:2].isdigit():
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(shown)} is written with an exponent",
            "nobody reads one with greasy hands, and a slip in it is a factor of ten",
            f"the number in full, as in {example}",
        )
    try:
        _value(found[0], kind, "")
    except AmountUnclear as unclear:
        return unclear
    if not after:
        return AmountUnclear(
            "amount-unclear",
            f"{_quoted(shown)} has no unit",
            "a bare number is read in whatever unit the reader is used to",
            join(found[0], example.lstrip("0123456789. ")),
        )
    allowed = _units_of(kind)
    close = get_close_matches(after[:20], [*allowed, *_ANY_CASE, *_SYMBOLS], n=3, cutoff=0.6)
    meant = next((unit for unit in map(_known, close) if unit in allowed), None)
    return AmountUnclear(
        "unit-unknown",
        f"“{_short(after)}” is not a unit Droplight knows" + (f"; did you mean {meant}?" if meant else ""),
        "a unit that is guessed is a figure that is guessed",
        join(found[0], meant)
        if meant
        else f"one of {', '.join(allowed)}"
        if kind
        else f"a unit as in {example}",
    )


def _units_of(kind: Kind | None) -> list[str]:
    if kind == "temperature-difference":
        return ["°C", "°F"]
    return [unit for unit, known in UNITS.items() if kind in (None, known.kind)]


def _amount(raw: _Raw, kind: Kind | None, text: str) -> Amount:
    """Judge the tokens and return their amount. Raises AmountUnclear."""
    text = " ".join(text.split())
    if raw.bound and raw.operator in ("range", "band"):
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} is a bound and a range at once",
            "nobody can tell which end counts",
            "either the range, or the bound alone",
        )
    share_of = raw.operator == "band" and len(raw.units) == 2 and raw.units[1] == "%" != raw.units[0]
    spelled = raw.units[:1] if share_of else raw.units
    units = [_unit(spelling, kind, raw.numbers, text) for spelling in spelled]
    unit = units[-1]
    kind = kind if kind is not None else UNITS[unit].kind
    values = [_value(word, kind, unit, signed=kind == "temperature") for word in raw.numbers]
    if raw.operator != "sum" and len(set(units)) > 1:
        raise AmountUnclear(
            "amount-unclear",
            f"{_quoted(text)} has two units for one amount",
            "the two numbers are not of one measure",
            f"both numbers in {units[0]}",
        )
    scale, shown = _TURNS.get(spelled[-1].lower(), (1, unit))
    values = [value * scale for value in values]
    for value in values:
        _check(value, kind, unit, text)
    words = [word.replace("-", "−", 1) if word[0] == "-" else word for word in raw.numbers]
    nominal: Decimal | None = None
    if raw.operator == "sum":
        low = high = nominal = _total(values, units, text)
        written = " ".join(f"{word} {unit}" for word, unit in zip(words, units, strict=True))
    elif raw.operator == "range":
        low, high = values
        if low >= high:
            raise AmountUnclear(
                "amount-unclear",
                f"{_quoted(text)} runs from {words[0]} to {words[1]}",
                "a range is written from its least to its most; one of the two may be a slip",
                span(words[1], words[0], shown) if low > high else join(words[0], shown),
            )
        written = span(words[0], words[1], shown)
    elif raw.operator == "band":
        nominal = values[0]
        band = nominal * values[1] / 100 if share_of else values[1]
        low, high = nominal - band, nominal + band
        if band <= 0 or (low < 0 and kind != "temperature"):
            raise AmountUnclear(
                "amount-unclear",
                f"{_quoted(text)} has a tolerance of {'nothing' if band <= 0 else 'more than the figure'}",
                "no work can be held to it",
                f"{join(words[0], shown)} ± a tenth of it, or the figure alone",
            )
        if share_of:
            written = f"{join(words[0], shown)} ± {words[1]} %"
        else:
            written = join(f"{words[0]} ± {words[1]}", shown)
    else:
        low = high = nominal = values[0]
        written = join(words[0], shown)
    form: Form = {"": "figure", "sum": "figure", "range": "range", "band": "tolerance"}[raw.operator]  # type: ignore[assignment]
    if raw.bound == "most":
        return Amount(kind, "at-most", None, high, None, unit, f"at most {written}", text)
    if raw.bound == "least":
        return Amount(kind, "at-least", low, None, None, unit, f"at least {written}", text)
    return Amount(kind, form, low, high, nominal, unit if raw.operator != "sum" else "min", written, text)


def _unit(spelling: str, kind: Kind | None, numbers: tuple[str, ...], text: str) -> str:
    """Return the unit of a spelling. Raises AmountUnclear where it is unknown, unclear or of another kind."""
    if kind == "torque" and _POUNDS.fullmatch(spelling):
        raise bare_pounds(text, numbers)
    unit = _known(spelling)
    if unit is None and spelling.lower() in _ASK and spelling not in _WRONG:
        us, imperial = _ASK[spelling.lower()]
        raise AmountUnclear(
            "amount-unclear",
            f"“{text}” may be of the United States or imperial",
            "an imperial gallon is a fifth larger, an imperial fluid ounce a little smaller",
            f"{'–'.join(numbers)} {us}, or {'–'.join(numbers)} {imperial}",
        )
    if unit is None:
        meant = _WRONG.get(spelling, "")
        why = (
            "M is a million, m is a thousandth: a slip of case is a factor of a thousand million"
            if spelling.startswith("MN")
            else "a unit that is guessed is a figure that is guessed"
        )
        raise AmountUnclear(
            "unit-unknown",
            f"“{spelling}” is not a unit Droplight knows; did you mean {meant}?",
            why,
            join("–".join(numbers), meant),
        )
    is_kind = UNITS[unit].kind
    if kind is None or is_kind == kind or (is_kind == "temperature" and kind == "temperature-difference"):
        return unit
    raise AmountUnclear(
        "unit-wrong-kind",
        f"“{text}” is {_NAMES[is_kind]}; here stands {_NAMES[kind]}",
        "the two cannot be compared, so one of number, unit and field is a slip",
        f"one of {', '.join(_units_of(kind))}, as in {EXAMPLES[kind]}",
    )


def bare_pounds(text: str, numbers: tuple[str, ...]) -> AmountUnclear:
    """Return what to say of a torque in plain pounds (rule R21)."""
    shown = "–".join(numbers)
    return AmountUnclear(
        "R21",
        f"“{text}” may be lbf·ft or lbf·in",
        "the two differ by a factor of twelve: the bolt stays loose or breaks",
        f"{shown} lbf·ft, or {shown} lbf·in, whichever the source prints",
    )


def _value(text: str, kind: Kind | None, unit: str, signed: bool = False) -> Decimal:
    """Return the value of a number's text; its unit is for what to write. Raises AmountUnclear."""
    bare = text.lstrip("-")
    if bare != text and not signed:
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
            f"no scale of {_NAMES[kind].split(' ', 1)[1]} is marked in fractions; it may be two figures",
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
            f"“{text}” is {_NAMES[kind]} of nought",
            "it asks for nothing to be done",
            EXAMPLES[kind],
        )
    if kind == "temperature" and convert(value, unit, "°C", kind) < -273.15:
        raise AmountUnclear(
            "amount-unclear", f"“{text}” is below absolute zero", "nothing is that cold", EXAMPLES[kind]
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


def _paired(first: Amount, second: Amount, text: str) -> Amount:
    """Return the first amount, the second beside it. Raises AmountUnclear (R26) where they disagree."""
    if not agrees(first, second):
        raise AmountUnclear(
            "R26",
            f"“{first.text}” and “{second.text}” are not the same",
            "somebody will work to the wrong one of the two",
            f"{first.written} alone, or {first.written} ({_other(first, second)})",
        )
    return Amount(
        first.kind, first.form, first.low, first.high, first.nominal, first.unit, first.written, text, second
    )


def _other(first: Amount, second: Amount) -> str:
    system = UNITS[second.unit].system
    return first.shown("us" if system == "us" else "si")


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def _quoted(text: str) -> str:
    return f"“{_short(' '.join(text.split()))}”"


# Comparing ------------------------------------------------------------------------------------------------


def agrees(a: Amount, b: Amount) -> bool:
    """Return whether two amounts are one, within the rounding both are printed to.

    In one unit the numbers must be equal. Across units each number stands for all that would have been
    printed as it: half of its last place, either way. Zeros that end a whole number may be rounding too
    (110 N·m, 80 lbf·ft), but never more than 2 % of it; nor may times and other amounts both systems share.
    Between systems 1 % is always allowed, because that is what Droplight's own conversions are rounded to.
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
        about = max(about, LARGEST_ERROR * max(abs(at), abs(to)))
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


# Prose ----------------------------------------------------------------------------------------------------

_LABEL = re.compile(
    r"\b(?:all|bolts?|nuts?|screws?|studs?|steps?|stages?|pass(?:es)?|positions?|cylinders?|no\.?|numbers?|"
    r"items?|points?|holes?|figures?|pages?|tables?) $",
    re.I,
)
_NAME_OF_A_TOOL = re.compile(
    r" (?:[a-z]+ )?(?:sockets?|spanners?|wrench(?:es)?|hex|keys?|drives?|heads?|"
    r"bolts?|nuts?|screws?|studs?|threads?)\b",
    re.I,
)
_TIMES = re.compile(r"[x×] ?$", re.I)
_TIGHTEN = re.compile(r"\b(?:tighten|torque|snug|click|wrench|nip)", re.I)
_DIFFERENCE_BEFORE = re.compile(
    r"\b(?:by|difference of|rises?|rose|drops?|dropped|falls?|fell|within|warms?|cools?)"
    r"(?: (?:about|another))? $",
    re.I,
)
_DIFFERENCE_AFTER = re.compile(
    r" (?:warmer|colder|hotter|cooler|higher|lower|apart|difference|more|less|rise|drop|above|below)\b", re.I
)
_SENTENCE = re.compile(r"[.!?] ")


def find(text: str) -> list[Found]:
    """Return the quantities in a paragraph, in order, none overlapping. Never raises.

    The unit decides the kind; a torque is a torque, not an energy, and a temperature after "rises by" or
    before "warmer" is a difference. Not taken for quantities: whole numbers before a bare "in" that may be a
    word ("put 4 in the tray"), thread designations, and the sizes by which tools and fasteners are named
    ("10 mm socket"): nobody owns the converted one.
    """
    if not _ANY_NUMBER.search(text):
        return []
    same = text.translate(_SAME)
    found: list[Found] = []
    end = 0
    for match in _PROSE_NUMBER.finditer(same):
        if match.start() < end:
            continue
        one = _find_at(same, text, match)
        if one is not None:
            found.append(one)
            end = one.end
    return found


def _find_at(same: str, text: str, match: re.Match[str]) -> Found | None:
    at = match.start()
    before = same[at - 1 : at]
    if before and before in "-–":
        if at > 1 and (same[at - 2].isalnum() or same[at - 2] in ")]"):
            return None  # the end of a name or of a range that was none: RTV-3, 1/4-20
        at -= 1
    raw = _scan(same, at, field=False)
    if raw is None and at != match.start():
        return None
    if raw is None:
        return None
    if at != match.start() and _kind_of(raw) != "temperature":
        at = match.start()  # a dash before it, not a minus sign
        raw = _scan(same, at, field=False)
        if raw is None:
            return None
    lead = same[max(0, at - 40) : at]
    if raw.operator == "range":
        raw = _not_a_label(same, lead, raw)
        if raw is None:
            return None
        at = raw.start
        lead = same[max(0, at - 40) : at]
    if not _is_meant(same, lead, raw):
        return None
    bound = _BOUND.search(lead)
    if bound:
        raw = raw._replace(bound="most" if bound["most"] else "least", start=at - len(bound[0]))
    raw = _with_bound_after(same, raw)
    kind: Kind | None = None
    if _kind_of(raw) == "temperature" and (
        _DIFFERENCE_BEFORE.search(lead) or _DIFFERENCE_AFTER.match(same, raw.end)
    ):
        kind = "temperature-difference"
    if _POUNDS.fullmatch(raw.units[-1]) and _is_tightened(same, at):
        shown = " ".join(text[raw.start : raw.end].split())
        return Found(raw.start, raw.end, (), bare_pounds(shown, raw.numbers))
    try:
        amount = _amount(raw, kind, text[raw.start : raw.end])
    except AmountUnclear as unclear:
        return Found(raw.start, raw.end, (), unclear)
    return _with_second(same, text, raw, amount)


def _kind_of(raw: _Raw) -> Kind | None:
    unit = _known(raw.units[0])
    return UNITS[unit].kind if unit else None


def _not_a_label(same: str, lead: str, raw: _Raw) -> _Raw | None:
    """Return the range, or its second number alone: "tighten bolts 1 to 25 N·m" holds no range."""
    if len(raw.units) == 2:
        return raw
    torque = _kind_of(raw) == "torque" and " to " in same[raw.start : raw.end]
    if not _LABEL.search(lead) and not (torque and _wide(raw)):
        return raw
    place = same.index(raw.numbers[1].lstrip("-"), raw.start + len(raw.numbers[0]))
    return _scan(same, place, field=False)


def _wide(raw: _Raw) -> bool:
    try:
        low, high = (_value(word, "torque", "N·m") for word in raw.numbers)
    except AmountUnclear:
        return False
    return high > 2 * low


def _is_meant(same: str, lead: str, raw: _Raw) -> bool:
    """Return whether these tokens are a quantity and not a word, a thread or the name of a tool."""
    spelling = raw.units[-1]
    whole = all(word.isdigit() for word in raw.numbers)
    if spelling == '"' and whole:
        return False
    after = same[raw.end : raw.end + 1]
    if (spelling.lower() == "in" and whole) or _SPACED_IN.fullmatch(spelling):
        space = same[raw.end - len(spelling) - 1] == " "
        if space and after == " " and same[raw.end + 1 : raw.end + 2].isalpha():
            return False
    if _kind_of(raw) == "length":
        return not _TIMES.search(lead) and not _NAME_OF_A_TOOL.match(same, raw.end)
    return True


def _is_tightened(same: str, at: int) -> bool:
    start = max(0, at - 120)
    sentence = same[start:at]
    for stop in _SENTENCE.finditer(sentence):
        start = stop.end()
    return bool(_TIGHTEN.search(sentence[start if start < len(sentence) else 0 :]))


def _with_second(same: str, text: str, raw: _Raw, amount: Amount) -> Found:
    """Return what was found, with a second unit printed in brackets or after a stroke taken in."""
    alone = Found(raw.start, raw.end, (amount,))
    pair = _PAIR.match(same, raw.end)
    other = _scan(same, pair.end(), field=False) if pair else None
    if pair is None or other is None:
        return alone
    close = _CLOSE.match(same, other.end) if pair[1] else None
    if bool(pair[1]) != bool(close):
        return alone
    end = close.end() if close else other.end
    try:
        second = _amount(other, amount.kind, text[other.start : other.end])
    except AmountUnclear:
        return alone
    if second.unit == amount.unit or (UNITS[amount.unit].system == "both" and not agrees(amount, second)):
        return alone
    shown = " ".join(text[raw.start : end].split())
    try:
        return Found(raw.start, end, (_paired(amount, second, shown),))
    except AmountUnclear as unclear:
        return Found(raw.start, end, (), unclear)
