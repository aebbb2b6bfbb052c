"""What the phone's modules need to know of a pack beside its words: plain data for `data-*` attributes."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from webapp.drawing import Tightening, tightening
from webapp.pack.actions import Apply, Join, Tighten, Turn
from webapp.pack.amounts import Amount
from webapp.pack.compiled import CompiledPack, Reading, Step, Wait
from webapp.pack.render import quantity_html
from webapp.pack.schema import Fasteners
from webapp.pack.stages import full_figures, pass_figures
from webapp.trade.quantities import Q_
from webapp.trade.tightening import in_flats
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


def orders(pack: CompiledPack, step: Step) -> list[tuple[str, Fasteners, Tightening]]:
    """Return the groups tightened in a step whose pattern the author told: id, group, drawn order."""
    names = dict.fromkeys(act.target() for act in step.actions if isinstance(act, Tighten | Turn))
    groups = [(name, pack.front.fasteners[name]) for name in names]
    return [(name, group, drawn) for name, group in groups if (drawn := tightening(group))]


def bolts(step: Step, name: str, group: Fasteners, drawn: Tightening) -> dict[str, Any]:
    """Return what the phone follows bolt by bolt: the order, and each round that the step goes through it.

    A round's `id` names it in the log. After the last pass comes a check at the full figure, unless the group
    is turned by an angle: after a turn a click says nothing.
    """
    rounds: list[dict[str, Any]] = []
    for action in step.actions:
        if isinstance(action, Tighten | Turn) and action.target() == name:
            rounds += _turned(group, action.stage) if isinstance(action, Turn) else _tightened(group, action)
    turned = bool(group.angle or group.touch_plus)
    if turned:
        rounds = [one for one in rounds if one["id"] != "check"]
    elif rounds and rounds[-1]["id"] == str(len(group.passes) or 1) and rounds[-1]["figures"]:
        rounds.append(_check(group))
    once = {one["id"]: one for one in rounds}
    return {
        "group": name,
        "name": group.name,
        "order": drawn.order,
        "numbering": drawn.numbering,
        "rounds": list(once.values()),
    }


def _tightened(group: Fasteners, action: Tighten) -> list[dict[str, Any]]:
    if action.to == "check":
        return [_check(group)] if full_figures(group) else []
    if action.to != "final":
        return [{"id": action.to, "name": action.to.capitalize(), "figures": []}]
    if group.touch_plus:
        touch = {"id": "touch", "name": "Until it touches", "figures": []}
        return [touch, _turn(group.touch_plus, 1, 1)]
    if not full_figures(group):
        return [{"id": "snug", "name": "Snug", "figures": []}]
    count = len(group.passes) or 1
    wanted = [action.pass_] if action.pass_ and action.pass_ <= count else range(1, count + 1)
    return [
        {
            "id": str(number),
            "name": f"Pass {number} of {count}",
            "figures": _figures(group, pass_figures(group, number) if group.passes else full_figures(group)),
        }
        for number in wanted
    ]


def _check(group: Fasteners) -> dict[str, Any]:
    return {"id": "check", "name": "Check pass", "figures": _figures(group, full_figures(group))}


def _turned(group: Fasteners, stage: int | None) -> list[dict[str, Any]]:
    angles = group.angle or ([group.touch_plus] if group.touch_plus else [])
    return [
        _turn(angle, number, len(angles))
        for number, angle in enumerate(angles, start=1)
        if stage in (None, number)
    ]


def _turn(angle: Amount, number: int, count: int) -> dict[str, Any]:
    degrees = next(part for part in (angle.nominal, angle.low, angle.high) if part is not None)
    return {
        "id": f"turn {number}",
        "name": f"Turn {number} of {count}" if count > 1 else "Turn",
        "figures": [{"us": angle.shown("us"), "si": angle.shown("si")}],
        "flats": in_flats(Q_(float(degrees), "degree")),
    }


def _figures(group: Fasteners, amounts: list[tuple[str, Amount]]) -> list[dict[str, Any]]:
    """Return figures for the wrench. wanted, low, high: in `unit`; a band only where the author gave one.

    Of a limit alone, the other end of the band lies 10 % away, as for a figure without a band.
    """
    own = [part.at for part in group.lengths if part.torque]
    found = []
    for number, (words, amount) in enumerate(amounts):
        own_at = number - (len(amounts) - len(own))
        low, high = (None if end is None else float(end) for end in (amount.low, amount.high))
        middle = amount.nominal if amount.nominal is not None else _middle(amount)
        figure: dict[str, Any] = {"us": amount.shown("us"), "si": amount.shown("si"), "unit": amount.unit}
        figure["system"] = UNITS[amount.unit].system
        figure["wanted"] = float(middle)
        if low != high:
            figure["low"] = 0.9 * figure["wanted"] if low is None else low
            figure["high"] = 1.1 * figure["wanted"] if high is None else high
        if words:
            figure["words"] = words
        if own_at >= 0 and own[own_at]:
            figure["at"] = own[own_at]
        found.append(figure)
    return found


def _middle(amount: Amount) -> Decimal:
    """Return the middle of a range; the limit itself where there is only one."""
    ends = [end for end in (amount.low, amount.high) if end is not None]
    return sum(ends, Decimal(0)) / len(ends)


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


IMPORT = re.compile(r"""^import\b[^"';]*["'](\.\.?/[\w/-]+\.js)["']""", re.M)
LATER = re.compile(r"""\bimport\(["'](\.\.?/[\w/-]+\.js)["']\)""")


def imported(module: str, *, later: bool = False) -> list[str]:
    """Return the neighbours that a module imports, by paths from it. later: those it asks for on the way."""
    return [path.removeprefix("./") for path in (LATER if later else IMPORT).findall(module)]
