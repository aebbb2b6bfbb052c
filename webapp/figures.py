"""The figures of the trade by name: what is typed becomes what a computation takes, or words for its field.

A text is read by the grammar that authors write by (`webapp.pack.amounts`), so 14 mm and 9/16 in both work in
a field for a length, and 1,5 mm is asked back in every one. Who prints or draws an answer needs only this.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from decimal import Decimal
from fractions import Fraction
from math import isfinite
from typing import Any, cast

from webapp.pack.amounts import NUMBER, Amount, AmountUnclear, level, read, read_any
from webapp.pack.findings import did_you_mean, listed, nearest
from webapp.pack.spellings import EXAMPLES, known
from webapp.trade import (
    conversion,
    cure,
    drills,
    fasteners,
    fill,
    glycol,
    heat,
    pipe,
    power,
    runs,
    tapping,
    tightening,
    weather,
    wrench,
)
from webapp.trade.answer import Answer, Ask, Declared
from webapp.trade.quantities import Q_, Quantity
from webapp.trade.units import LADDERS, UNITS, Figure, Kind, number

LONGEST_LINE = 200  # characters of a text of one line, as of an amount
LONGEST_TABLE = 200_000  # bytes of a text of many lines: some thousand rows of a run
MOST = 50  # entries of a list
DIGITS = 9  # of a plain number, before its point and after it


# In the order of the bench.
GROUPS: dict[str, tuple[Declared, ...]] = {
    "Wrench and bolts": (*wrench.FIGURES, *fasteners.FIGURES, *tightening.FIGURES),
    "Holes and threads": (*tapping.FIGURES, *pipe.FIGURES, *drills.FIGURES),
    "Waiting": (*cure.FIGURES, *heat.FIGURES),
    "Coolant": (*glycol.FIGURES, *fill.FIGURES),
    "Power": (*power.FIGURES, *weather.FIGURES, *runs.FIGURES),
    "Units": conversion.FIGURES,
}
FIGURES: tuple[Declared, ...] = tuple(one for group in GROUPS.values() for one in group)


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one field: what, why it matters, what to write. field: the name of its ask."""

    field: str
    what: str
    why: str
    write: str

    def plain(self) -> dict[str, str]:
        """Return the problem as JSON-ready data."""
        return {"field": self.field, "what": self.what, "why": self.why, "write": self.write}


class Problems(ValueError):  # noqa: N818 - an answer, not a fault of the program
    """What was typed cannot be asked with. problems: at least one, in the order of the fields."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{one.field}: {one.what}" for one in self.problems))


class Unknown(LookupError):  # noqa: N818 - an answer, not a fault of the program
    """There is no figure of a name. what: one sentence, with the name that was most likely meant."""

    def __init__(self, name: str) -> None:
        self.what = f"There is no figure “{name[:60]}”{did_you_mean(name, by_name()) or '.'}"
        super().__init__(self.what)


def by_name() -> dict[str, Declared]:
    """Return every figure under its name, in the order of the bench."""
    return {declared.name: declared for declared in FIGURES}


def find(name: str) -> Declared:
    """Return the figure of a name. Raises Unknown."""
    try:
        return by_name()[name]
    except KeyError:
        raise Unknown(name) from None


def answer(name: str, texts: Mapping[str, str]) -> Answer:
    """Return what a figure answers to what was typed, by the names of its asks.

    Raises Unknown for a name that is no figure's, Problems for texts that cannot be read, and the trade's
    Refused where there is no honest answer.
    """
    return ask(find(name), texts)


def ask(declared: Declared, texts: Mapping[str, str]) -> Answer:
    """Return what a declared figure answers to what was typed. Raises Problems and Refused."""
    names = [one.name for one in declared.asks]
    problems = [_no_such_field(name, names) for name in texts if name not in names]
    values: dict[str, Any] = {}
    for one in declared.asks:
        text = texts.get(one.name, "")
        try:
            if text.strip():
                values[one.name] = value(one, text)
            elif one.required:
                raise _Unclear("nothing is written here", "the answer needs it", _example(one))
        except (_Unclear, AmountUnclear) as unclear:
            problems.append(Problem(one.name, unclear.what, unclear.why, unclear.write))
    if problems:
        raise Problems(problems)
    return declared.answer(**values)


def examples(declared: Declared) -> dict[str, str]:
    """Return a text for every ask that, together, have a sensible answer."""
    return {one.name: one.example for one in declared.asks if one.example}


def of_many_lines(one: Ask) -> bool:
    """Return whether an ask is answered with a table, not with a line."""
    return one.kind == "text" and "\n" in one.example


def units_of(one: Ask) -> list[str]:
    """Return the units that an ask takes, none for what is no amount."""
    kind = "temperature" if one.kind == "temperature-difference" else one.kind
    return [name for name, unit in UNITS.items() if unit.kind == kind]


def usual_units(one: Ask) -> list[str]:
    """Return the units of an ask that its answers are shown in, or all where both systems share them."""
    ladders = LADDERS.get(cast(Kind, one.kind), {})
    shown = {rung.unit for rungs in ladders.values() for rung in rungs}
    return [unit for unit in units_of(one) if not shown or unit in shown]


# Reading --------------------------------------------------------------------------------------------------


class _Unclear(ValueError):  # noqa: N818 - a problem whose field is not yet named
    def __init__(self, what: str, why: str, write: str) -> None:
        super().__init__(what)
        self.what, self.why, self.write = what, why, write


def value(one: Ask, text: str) -> Any:
    """Return what a text means for an ask: a quantity, float, int or str, or a list of them."""
    if not one.many:
        return _value(one, text)
    if of_many_lines(one):
        parts = [part for part in re.split(r"\n[ \t]*\n", text.replace("\r\n", "\n")) if part.strip()]
    else:
        parts = text.strip().removesuffix(";").split(";")
    if len(parts) > MOST:
        raise _Unclear(
            f"the list has {len(parts)} entries",
            f"more than {MOST} of one thing are not laid out on a bench",
            f"no more than {MOST}",
        )
    if not all(part.strip() for part in parts):
        raise _Unclear(
            "a place in the list is empty",
            "what follows it would be taken for what stands before it",
            _example(one),
        )
    return [_value(one, part) for part in parts]


def _value(one: Ask, text: str) -> Any:
    if one.kind == "text":
        return _text(one, text)
    text = text.strip()
    if len(text) > LONGEST_LINE:
        raise _Unclear(
            f"what is written here is {len(text)} characters long",
            "this field holds a word or a number",
            _example(one),
        )
    if one.kind == "choice":
        return _choice(one, text)
    if one.kind == "number":
        return float(_number(one, text))
    if one.kind == "whole":
        return _whole(one, text)
    if one.kind == "amount":
        return read_any(text).figure()
    return _quantity(one, one.kind, text)


def _text(one: Ask, text: str) -> str:
    if of_many_lines(one):
        size = len(text.encode("utf-8", "replace"))
        if size > LONGEST_TABLE:
            raise _Unclear(
                f"the table is {size // 1000} kB long",
                f"at most {LONGEST_TABLE // 1000} kB are read: some thousand rows say all there is to a run",
                "fewer rows, such as every tenth",
            )
        return text
    if len(text) > LONGEST_LINE:
        raise _Unclear(
            f"what is written here is {len(text)} characters long",
            f"this field holds at most {LONGEST_LINE}",
            _example(one),
        )
    return " ".join(text.split())


def _choice(one: Ask, text: str) -> str:
    plain = " ".join(text.split()).casefold()
    for choice in one.choices:
        if choice.casefold() == plain:
            return choice
    meant = nearest(plain, one.choices)
    raise _Unclear(
        f"“{_short(text)}” is none of the choices{f'; did you mean “{meant}”?' if meant else ''}",
        "the answer is another one for each of them",
        meant or f"one of {listed(one.choices)}",
    )


def _number(one: Ask, text: str) -> Fraction:
    """Return a plain number: 25, −3, 25.5, 9/16, 1 1/4, 2½."""
    same = level(text).replace("–", "-")
    bare = same.removeprefix("-").strip()
    if not NUMBER.fullmatch(bare):
        raise _Unclear(
            f"“{_short(text)}” is not a plain number",
            "here stands a number without a unit",
            _example(one),
        )
    if "," in bare:
        parts, joined = bare.split(","), bare.replace(",", "")
        pointed = ".".join(parts)
        plain = len(parts) == 2 and "." not in bare
        raise _Unclear(
            f"“{_short(text)}” may be {_short(pointed)} or {_short(joined)}"
            if plain
            else f"“{_short(text)}” has commas in its number",
            "a comma parts thousands for some readers and decimals for others",
            _short(pointed if plain and (len(parts[1]) != 3 or parts[0] == "0") else joined),
        )
    if bare.count(".") > 1:
        raise _Unclear(f"“{_short(text)}” has more than one decimal point", "it is no number", _example(one))
    if any(len(part) > DIGITS for part in re.findall("[0-9]+", bare)):
        raise _Unclear(
            f"“{_short(text)}” has too many figures",
            f"no number at a vehicle has more than {DIGITS} before its point or after it",
            "the number as you would say it",
        )
    sign = -1 if same.startswith("-") else 1
    if "/" not in bare and (bare[-1].isascii()):
        return sign * Fraction(bare)
    try:
        # The authors' grammar knows the fractions of the trade; a length is what they are marked on.
        return sign * Fraction(cast(Decimal, read(f"{bare} in", "length").nominal))
    except AmountUnclear as unclear:
        raise _Unclear(
            f"“{_short(text)}” is not a fraction of the trade", unclear.why, _example(one)
        ) from None


def _whole(one: Ask, text: str) -> int:
    count = _number(one, text)
    if count.denominator != 1:
        raise _Unclear(f"“{_short(text)}” is not a whole number", "here something is counted", _example(one))
    return int(count)


def _quantity(one: Ask, kind: Kind, text: str) -> Quantity:
    same = level(text)
    nought = re.fullmatch(r"0(?:\.0{1,6})? ?(.+)", same)
    if nought and known(nought[1].strip()) in units_of(one):
        # A step never asks for a turn by nought; a figure may be asked about one.
        return _of(0.0, cast(str, known(nought[1].strip())), kind)
    try:
        amount = read(text, kind)
    except AmountUnclear as unclear:
        if re.search(r"[^\W\d_]|[%°\"″'′Ω]", same):
            raise
        units = ", ".join(units_of(one))
        if "," in same:
            raise _Unclear(
                unclear.what.replace(" ”", "”"), unclear.why, f"{unclear.write.strip()} and its unit: {units}"
            ) from None
        raise _Unclear(
            f"“{_short(text)}” has no unit",
            "a bare number is read in whatever unit the reader is used to",
            f"{unclear.write}; these units work: {units}" if len(units_of(one)) > 1 else unclear.write,
        ) from None
    if amount.form != "figure" or amount.nominal is None:
        raise _more_than_a_figure(amount)
    return _of(float(amount.nominal), amount.unit, kind)


def _of(size: float, unit: str, kind: Kind) -> Quantity:
    delta = "delta_" if kind == "temperature-difference" else ""
    return Q_(size, delta + UNITS[unit].pint)


def _more_than_a_figure(amount: Amount) -> _Unclear:
    is_a = {
        "range": "a range",
        "tolerance": "a figure with a tolerance",
        "at-most": "a bound",
        "at-least": "a bound",
    }[amount.form]
    ends = [number(end) for end in (amount.nominal, amount.low, amount.high) if end is not None]
    alone = f"{ends[0]} {amount.unit}"
    return _Unclear(
        f"“{_short(amount.written)}” is {is_a}",
        "one figure is asked with here, and the answer would be another at each end",
        f"{alone}, and once more {ends[1]} {amount.unit}" if amount.form == "range" else f"{alone} alone",
    )


def _no_such_field(name: str, names: list[str]) -> Problem:
    meant = nearest(name, names)
    return Problem(
        name[:60],
        f"“{name[:60]}” is nothing this figure asks{did_you_mean(name, names) or ''}",
        "what it says would be left out of the answer",
        meant or (f"one of {listed(names)}" if names else "nothing: it asks nothing"),
    )


def _example(one: Ask) -> str:
    if one.kind == "choice" and one.choices:
        return f"one of {listed(one.choices)}"
    first = one.example.strip().split("\n")[0]
    if of_many_lines(one):
        return f"{first} …, as in the example"
    # What is asked only beside another choice has no example of its own.
    return first or {"number": "1.5", "whole": "4", "text": "a word"}.get(one.kind, EXAMPLES["torque"])


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:39] + "…"


# Giving away ----------------------------------------------------------------------------------------------


def plain(answered: Answer) -> dict[str, Any]:
    """Return an answer as JSON-ready data; a quantity is {"value", "unit"}."""
    return {
        "value": _data(answered.value),
        "lines": [{"label": line.label, "text": line.text} for line in answered.lines],
        "working": list(answered.working),
        "source": answered.source,
        "validity": answered.validity,
        "cautions": list(answered.cautions),
        **({"axes": list(answered.axes or ()), "curves": _data(answered.curves)} if answered.curves else {}),
    }


_WRITTEN = {str(Q_(1, unit.pint).units): name for name, unit in UNITS.items()}


def _data(thing: Any) -> Any:
    if isinstance(thing, Quantity):
        units = str(thing.units)
        unit = _WRITTEN.get(units) or _WRITTEN.get(units.removeprefix("delta_")) or f"{thing.units:~P}"
        return {"value": _data(thing.magnitude), "unit": unit}
    if isinstance(thing, Figure):
        return thing.written
    if is_dataclass(thing):
        return {one.name: _data(getattr(thing, one.name)) for one in fields(thing)}
    if isinstance(thing, Mapping):
        return {str(name): _data(inside) for name, inside in thing.items()}
    if isinstance(thing, list | tuple | set | frozenset):
        return [_data(inside) for inside in thing]
    if isinstance(thing, bool | str | int) or thing is None:
        return thing
    size = float(thing)  # a Decimal, a Fraction
    return size if isfinite(size) else None
