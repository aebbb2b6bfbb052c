"""What the phone's modules need to know of a pack beside its words: plain data for `data-*` attributes."""

from __future__ import annotations

import re
from typing import Any

from markupsafe import Markup

from webapp.drawing import Tightening, tightening
from webapp.pack.actions import Apply, Join, Tighten, Turn
from webapp.pack.amounts import Amount
from webapp.pack.compiled import CompiledPack, Reading, Step, Wait
from webapp.pack.render import quantity_html
from webapp.pack.schema import Fasteners
from webapp.trade.units import UNITS, convert

WORDS = {"danger": "DANGER", "warning": "WARNING", "caution": "CAUTION", "notice": "NOTICE"}
"""Signal words as ANSI Z535.4 prints them."""

CLOCKS = {"open-time": "open", "tacky": "tacky", "set": "set", "full-cure": "full"}
"""The kinds of wait that a sealant's label gives a time for, by the name the cure clock has for them."""


BOUND = re.compile(r"(at least|at most) ")
THREAD = re.compile(
    r"(?<![\w./–-])(?:\d+ × )?(?:M\d+(?:\.\d+)?(?:[x×]\d+(?:\.\d+)?)?|#?\d+(?:/\d+)?-\d+)(?![\w/–-])"
)
"""A thread as ISO 965-1 or ASME B1.1 designates it, its series left aside, with the count before it."""


def big(amount: Amount) -> Markup:
    """Return an amount to be read at arm's length: number and unit in one line, its bound small."""
    return between_tags(quantity_html(amount), BOUND, r"<small>\1</small> ")


def threads_whole(html: str) -> Markup:
    """Return HTML in which no line ends inside a thread or between a thread and its count."""
    return between_tags(html, THREAD, r'<span class="whole">\g<0></span>')


def between_tags(html: str, wanted: re.Pattern[str], instead: str) -> Markup:
    """Return HTML of our own making with something in its words, not in its tags, replaced."""
    parts = re.split(r"(<[^>]*>)", html)
    shown = [part if part.startswith("<") else wanted.sub(instead, part) for part in parts]
    return Markup("".join(shown))  # noqa: S704 - it was HTML before, and only marks are added


def orders(pack: CompiledPack, step: Step) -> list[tuple[Fasteners, Tightening]]:
    """Return the groups tightened in a step whose pattern the author told, each with its drawn order."""
    names = dict.fromkeys(act.target() for act in step.actions if isinstance(act, Tighten | Turn))
    groups = [pack.front.fasteners[name] for name in names]
    return [(group, drawn) for group in groups if (drawn := tightening(group))]


def only_if(pack: CompiledPack, when: dict[str, list[str]]) -> list[str]:
    """Return each question that a step hangs on, with the answers that it is for."""
    questions = pack.front.questions
    return [
        f"{questions[name].ask} – {' or '.join(questions[name].answers[answer] for answer in answers)}"
        for name, answers in when.items()
    ]


def rewritten(step: Step) -> dict[str, list[str]]:
    """Return the amounts of a step as its author wrote them, each with the other forms it is shown in."""
    forms = {one.text: [one.shown("us"), one.shown("si")] for one in step.amounts}
    others = {text: [form for form in dict.fromkeys(shown) if form != text] for text, shown in forms.items()}
    return {text: shown for text, shown in others.items() if shown}


def closes(pack: CompiledPack, step: Step) -> list[str]:
    """Return the open times that end when this step is ticked: of the beads that it closes joints on."""
    joined = {action.join for action in step.actions if isinstance(action, Join)}
    if not joined:
        return []
    beads = {pack.front.items[item].sealed_by for item in joined}
    for earlier in pack.steps:
        beads |= {act.apply for act in earlier.actions if isinstance(act, Apply) and act.to in joined}
    waits = (wait for earlier in pack.steps for wait in earlier.waits)
    return [wait.id for wait in waits if wait.kind == "open-time" and wait.sealant in beads]


def strips(step: Step) -> list[tuple[str, str, bool]]:
    """Return what begins or ends to hold at the vehicle when the step is ticked."""
    return [(strip.id, strip.text, strip.begins) for strip in step.strips]


def clock(wait: Wait) -> dict[str, Any]:
    """Return a wait, its times in milliseconds."""
    return {
        "kind": wait.kind,
        "name": wait.name,
        "least": None if wait.least is None else round(wait.least * 1000),
        "most": None if wait.most is None else round(wait.most * 1000),
        "until": wait.until,
        "stopIf": wait.stop_if,
        "attended": wait.attended,
        "stretches": wait.stretches,
    }


def cure(pack: CompiledPack, wait: Wait) -> dict[str, Any] | None:
    """Return what the cure clock needs of the label: minutes, °C, %, mm. None for a wait that is no cure."""
    if not wait.stretches or wait.sealant is None or wait.least is None:
        return None
    sealant = pack.front.sealants[wait.sealant]
    return {
        "label": wait.least / 60,
        "clock": CLOCKS.get(wait.kind, "full"),
        "labelTemperature": number(sealant.at.temperature, "°C"),
        "labelHumidity": number(sealant.at.humidity, "%"),
        "labelPath": None if sealant.label_path is None else number(sealant.label_path, "mm"),
        "path": None if sealant.path is None else number(sealant.path, "mm"),
    }


def number(amount: Amount, unit: str) -> float:
    """Return an amount's figure in a unit: its nominal value, else its lower, else its upper limit."""
    value = next(part for part in (amount.nominal, amount.low, amount.high) if part is not None)
    return round(convert(value, amount.unit, unit, amount.kind), 4)


def limits(amount: Amount) -> dict[str, Any]:
    """Return a range to judge a reading by."""
    plain = amount.plain()
    return {key: plain[key] for key in ("kind", "low", "high", "unit")}


def units(amount: Amount) -> list[str]:
    """Return the units that a value of this range may be given in: the author's, then the other system's."""
    shown = (unit_at_end(amount.shown(system)) for system in ("us", "si"))
    return list(dict.fromkeys([amount.unit, *shown]))


def unit_at_end(text: str) -> str:
    """Return the unit that a shown figure ends with."""
    return max((unit for unit in UNITS if text.endswith(unit)), key=len)


def system(unit: str) -> str:
    """Return which system a unit belongs to: us, si, both or other."""
    return UNITS[unit].system if unit in UNITS else "both"


def reading_units(reading: Reading) -> list[str]:
    """Return the units that a reading may be given in; none for a look."""
    if reading.range is not None:
        return units(reading.range)
    return [reading.unit] if reading.unit else []


IMPORT = re.compile(r"""^import\b[^"';]*["']\./([\w-]+\.js)["']""", re.M)


def imported(module: str) -> list[str]:
    """Return the neighbours that a module imports."""
    return IMPORT.findall(module)
