"""Mixing coolant: what to pour on what stayed behind, how part changes add up, how to correct a full system.

A system never drains empty, and what stays in it, often the rinse water, thins the new fill. Every figure
here is a balance: the glycol that stays and the glycol that is poured are the glycol that is in it then.
Strengths are by volume, and volumes are taken to add; in truth a mix shrinks by about 1 %.
"""

from __future__ import annotations

from math import ceil, isfinite, log

from .answer import Answer, Ask, Declared, Line, line
from .glycol import HOT, LABEL_WINS, POISON, STRONG
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import said

LARGEST = 1000.0  # L: beyond any vehicle, common practice, no source
FASTEST_POUR = Q_(19, "L/min")  # US Army TM 5-3805-263-14&P-3
TOO_STRONG = 60.0  # %: from here on more glycol protects less, see `coolant`
MOST_CHANGES = 200
_BIT = 1e-9

BALANCE = "Volume balance: glycol in = glycol out"
SOURCE = f"{BALANCE}. Pour rate: US Army TM 5-3805-263-14&P-3"
VALIDITY = (
    "Strengths by volume, 0–1000 L. Volumes are added; one litre of ethylene glycol and one of water mix to "
    "1.98 L (density fit of CoolProp 8.0.0)"
)
SHRINKS = "Mixing shrinks the volume by about 1 %: top up with the same mix once it has run"
NEVER_MIX = "Never mix two kinds of coolant: their additives spoil each other (common practice, no source)"
WATER = "Use distilled or softened water (common practice, no source)"
PURE = "Concentrate in the jug is not all glycol: if its label gives another share for a strength, use that"
ALWAYS = (LABEL_WINS, PURE, NEVER_MIX, WATER, SHRINKS, HOT, POISON)


def mixed(capacity: Quantity, stayed: Quantity, stayed_strength: Quantity, poured: Quantity) -> Quantity:
    """Return the strength in percent once a system is filled up with one liquid.

    capacity: above 0 to 1000 L. stayed: 0 to the capacity. Strengths: 0–100 %.
    Source: BALANCE, (R·r + (V − R)·p) / V. Raises Refused outside.
    """
    v, r_volume = _system(capacity, stayed)
    r, p = _share(stayed_strength, "what stayed"), _share(poured, "what is poured")
    return Q_(100 * (r_volume * r + (v - r_volume) * p) / v, "percent")


def fill(
    capacity: Quantity,
    stayed: Quantity,
    stayed_strength: Quantity,
    target: Quantity,
    poured: Quantity | None = None,
    jug: Quantity | None = None,
) -> Answer:
    """Answer how much coolant and how much water to pour on what stayed behind.

    poured: the strength in the jug, 100 % when none is given. jug: its size, when jugs are to be counted.
    C = (f·V − r·R) / p and water = V − R − C, with V the capacity, R and r what stayed, f the target.

    Raises Refused when no pouring reaches the target, with the least that must be drained first.
    """
    v, left = _system(capacity, stayed)
    r, f = _share(stayed_strength, "what stayed"), _share(target, "the target")
    p = 1.0 if poured is None else _share(poured, "what is poured")
    room = v - left
    if room < _BIT:
        raise Refused(
            "the system is full",
            "nothing can be poured into it",
            "Drain first, or correct the filled system by swapping some of it",
        )
    if p == 0:
        raise Refused("water is poured for coolant", "it brings no glycol", "Give the strength in the jug")
    coolant = (f * v - r * left) / p
    if coolant < -_BIT * v:
        drain = left - f * v / r
        raise Refused(
            "what stayed is too strong",
            f"even filled up with water the mix would be {_pc(r * left / v)}, above {_pc(f)}",
            f"Drain at least {_up(drain)} L more, then fill up with water",
        )
    if coolant > room + _BIT * v:
        raise _too_weak(v, left, r, f, p)
    coolant = min(max(coolant, 0.0), room)
    water = room - coolant
    alone = (r * left + (p if p < 1 else f) * room) / v
    name = "Concentrate" if p == 1 else f"Coolant of {_pc(p)}"
    premix = f if p == 1 else p
    lines = [
        line(name, Q_(coolant, "L"), "L", "volume", "0.01"),
        line("Water", Q_(water, "L"), "L", "volume", "0.01"),
        line(f"A premix of {_pc(premix)} alone would give", Q_(100 * alone, "percent"), "%", "share", "1"),
        line("Pour no faster than", FASTEST_POUR, "L/min", "flow", "1", "down"),
    ]
    value = {
        "coolant": Q_(coolant, "L"),
        "water": Q_(water, "L"),
        "premix_alone": Q_(100 * alone, "percent"),
        "pour_time": (Q_(room, "L") / FASTEST_POUR).to("min"),
    }
    working = [
        f"Room: {_l(v)} − {_l(left)} = {_l(room)} L",
        f"Glycol wanted: {_pc(f)} of {_l(v)} L = {_l(f * v)} L",
        f"Glycol that stayed: {_pc(r)} of {_l(left)} L = {_l(r * left)} L",
        f"{name}: ({_l(f * v)} − {_l(r * left)}) / {said(p, '0.001')} = {_l(coolant)} L",
        f"Water: {_l(room)} − {_l(coolant)} = {_l(water)} L",
        f"{_pc(premix)} alone: ({_l(r * left)} + {_pc(premix)} of {_l(room)}) / {_l(v)} = {_pc(alone)}",
    ]
    _jugs(coolant, jug, lines, value, working)
    cautions = [*ALWAYS]
    if 100 * f > TOO_STRONG:
        cautions.insert(0, STRONG)
    return Answer(value, tuple(lines), tuple(working), SOURCE, VALIDITY, tuple(cautions))


def changed(capacity: Quantity, each: Quantity, start: Quantity, fresh: Quantity, times: int) -> Quantity:
    """Return the strength in percent after so many part changes, the system mixed through between them.

    Source: BALANCE, s = s_new − (s_new − s₀)·(1 − q/V)ⁿ. Raises Refused when more is changed than there is.
    """
    v, q = _system(capacity, each)
    s0, s1 = _share(start, "the strength now"), _share(fresh, "the fresh coolant")
    return Q_(100 * (s1 - (s1 - s0) * (1 - q / v) ** _times(times)), "percent")


def changes_until(
    capacity: Quantity, each: Quantity, start: Quantity, fresh: Quantity, target: Quantity
) -> int:
    """Return how many part changes bring a system to a strength or past it; 0 when it is there.

    Source: `changed`, solved for n. Raises Refused for a strength the changes never reach.
    """
    v, q = _system(capacity, each)
    s0, s1 = _share(start, "the strength now"), _share(fresh, "the fresh coolant")
    s = _share(target, "the target")
    if s == s0:
        return 0
    whole = q >= v - _BIT * v
    reached = s1 >= s > s0 or s1 <= s < s0
    if q <= 0 or not reached or (s == s1 and not whole):
        raise Refused(
            f"part changes never bring {_pc(s0)} to {_pc(s)}",
            f"each comes closer to the fresh {_pc(s1)} and never quite there",
            "Change with stronger coolant, or drain the whole system",
        )
    if whole:
        return 1
    return ceil(log((s1 - s) / (s1 - s0)) / log(1 - q / v) - _BIT)


def change(
    capacity: Quantity,
    each: Quantity,
    start: Quantity,
    fresh: Quantity,
    times: int | None = None,
    target: Quantity | None = None,
) -> Answer:
    """Answer what repeated part changes come to, and how many bring the system to a target.

    times: 1 to 200; when none is given, as many as the target needs, or 1. Raises Refused as `changed` and
    `changes_until` do.
    """
    needed = None if target is None else changes_until(capacity, each, start, fresh, target)
    count = _times(times) if times is not None else (1 if needed is None else max(needed, 1))
    if count > MOST_CHANGES:
        raise Refused(
            f"it would take {count} changes",
            "so little is changed each time",
            "Change more at once",
        )
    end = changed(capacity, each, start, fresh, count)
    v, q = _system(capacity, each)
    s0, s1 = _share(start, "the strength now"), _share(fresh, "the fresh coolant")
    lines = [line(f"After {count} change{'s' * (count != 1)}", end, "%", "share", "0.1")]
    value: dict[str, object] = {"strength": end, "times": count, "used": Q_(count * q, "L")}
    if needed is not None and target is not None:
        value["needed"] = needed
        lines.append(Line(f"Changes until {_pc(_share(target, 'the target'))}", str(needed)))
    lines.append(line("Fresh coolant in all", Q_(count * q, "L"), "L", "volume", "0.1", "up"))
    old = (1 - q / v) ** count
    lines.append(line("Of the old fill there stays", Q_(100 * old, "percent"), "%", "share", "1"))
    value["old"] = Q_(100 * old, "percent")
    after = tuple(
        (float(n), float(changed(capacity, each, start, fresh, n).m_as("percent"))) for n in range(count + 1)
    )
    stays = said(1 - q / v, "0.0001")
    working = (
        f"Each change leaves 1 − {_l(q)}/{_l(v)} = {stays} of what was in it",
        f"{_pc(s1)} − ({_pc(s1)} − {_pc(s0)}) × {stays}^{count} = {_pc(float(end.m) / 100)}",
    )
    mix = "Run the engine warm between changes, or the old and the new do not mix through"
    return Answer(
        value,
        tuple(lines),
        working,
        SOURCE,
        VALIDITY,
        (mix, *ALWAYS),
        ("changes", "% by volume"),
        {"strength": after},
    )


def swap(capacity: Quantity, strength: Quantity, target: Quantity, poured: Quantity) -> Quantity:
    """Return the volume in litres to draw off and replace, so that a filled system comes to a strength.

    Source: BALANCE, V·(f − s) / (p − s), with s the strength now and p that of what is poured.
    Raises Refused when what is poured does not lead past the target.
    """
    v, _ = _system(capacity, Q_(0, "L"))
    s, f = _share(strength, "the strength now"), _share(target, "the target")
    p = _share(poured, "what is poured")
    if s == f:
        return Q_(0.0, "L")
    if not (s < f <= p or p <= f < s):
        raise Refused(
            f"{_pc(p)} does not bring {_pc(s)} to {_pc(f)}",
            "what is poured must be at least as far on as the target",
            f"Pour {'something stronger' if f > s else 'water or something weaker'}",
        )
    return Q_(v * (f - s) / (p - s), "L")


def correct(
    capacity: Quantity,
    strength: Quantity,
    target: Quantity,
    poured: Quantity | None = None,
    jug: Quantity | None = None,
) -> Answer:
    """Answer how much of a filled system to swap so that it comes to the target.

    poured: what goes in instead; when none is given, concentrate to make it stronger, water for weaker.
    Raises Refused as `swap` does.
    """
    s, f = _share(strength, "the strength now"), _share(target, "the target")
    if poured is None:
        poured = Q_(100 if f > s else 0, "percent")
    p = _share(poured, "what is poured")
    out = swap(capacity, strength, target, poured)
    v, litres = float(capacity.m_as("L")), float(out.m_as("L"))
    name = "water" if p == 0 else "concentrate" if p == 1 else f"coolant of {_pc(p)}"
    lines = [line(f"Draw off, and replace with {name}", out, "L", "volume", "0.01")]
    value: dict[str, Quantity | int] = {"swap": out, "poured": poured}
    working = [
        "Nothing to swap"
        if litres == 0
        else f"{_l(v)} L × ({_pc(f)} − {_pc(s)}) / ({_pc(p)} − {_pc(s)}) = {_l(litres)} L"
    ]
    if p > 0:
        _jugs(litres, jug, lines, value, working)
    cautions = ["Draw off first, then pour: poured first, some of it is drawn off again", *ALWAYS]
    if 100 * f > TOO_STRONG:
        cautions.insert(0, STRONG)
    return Answer(value, tuple(lines), tuple(working), SOURCE, VALIDITY, tuple(cautions))


def _too_weak(v: float, left: float, r: float, f: float, p: float) -> Refused:
    best = _pc((r * left + p * (v - left)) / v)
    if p < f:
        return Refused(
            f"{_pc(p)} is too weak to come to {_pc(f)}",
            f"filled up with it, the mix would be {best}, and draining more does not help",
            "Pour something stronger",
        )
    drain = left - v * (p - f) / (p - r)
    return Refused(
        "too much stayed behind",
        f"filled up with {_pc(p)} and no water, the mix would be {best}, below {_pc(f)}",
        f"Drain at least {_up(drain)} L more, then fill up with {_pc(p)} alone",
    )


def _jugs(
    litres: float,
    jug: Quantity | None,
    lines: list[Line],
    value: dict[str, Quantity | int],
    working: list[str],
) -> None:
    """Add how many jugs of one size it takes, and what is spare."""
    if jug is None:
        return
    size = float(jug.m_as("L"))
    if not (isfinite(size) and 0.01 <= size <= LARGEST):
        raise Refused("the jug has no size", "jugs are counted by it", "Give what one jug holds")
    count = max(0, ceil(litres / size - _BIT))
    spare = max(0.0, count * size - litres)
    value |= {"jugs": count, "spare": Q_(spare, "L")}
    lines.append(Line("Jugs", str(count)))
    lines.append(line("To spare", Q_(spare, "L"), "L", "volume", "0.01", "down"))
    working.append(
        f"{_l(litres)} / {_l(size)} rounded up: {count}; {count} × {_l(size)} − {_l(litres)} = {_l(spare)} L"
    )


def _system(capacity: Quantity, part: Quantity) -> tuple[float, float]:
    v, inside = float(capacity.m_as("L")), float(part.m_as("L"))
    if not (isfinite(v) and 0 < v <= LARGEST):
        raise Refused(
            f"a capacity of {_l(v)} L is not between 0 and {LARGEST:g} L"
            if isfinite(v)
            else "the capacity is no number",
            "everything is worked out from it",
            "Take it from the maker's data",
        )
    if not (isfinite(inside) and -_BIT <= inside <= v * (1 + _BIT)):
        raise Refused(
            f"{_l(inside)} L is not between nothing and the {_l(v)} L of the system"
            if isfinite(inside)
            else "a volume is no number",
            "no more can stay in it or come out of it than it holds",
            "Measure again: capacity less what came out is what stayed",
        )
    return v, min(max(inside, 0.0), v)


def _share(strength: Quantity, name: str) -> float:
    value = float(strength.m_as("dimensionless"))
    if not (isfinite(value) and -_BIT <= value <= 1 + _BIT):
        raise Refused(
            f"the strength of {name} is not between 0 and 100 %",
            "a mix holds between none and nothing but coolant",
            "Give its share by volume",
        )
    return min(max(value, 0.0), 1.0)


def _times(times: int) -> int:
    if not 0 <= times <= MOST_CHANGES:
        raise Refused(
            f"{times} changes are not between 0 and {MOST_CHANGES}",
            "nobody changes so often",
            "Change more at once",
        )
    return times


def _l(litres: float) -> str:
    return said(litres, "0.01")


def _up(litres: float) -> str:
    return said(ceil(litres * 100 - _BIT) / 100, "0.01")


def _pc(share: float) -> str:
    return f"{said(100 * share, '0.1')} %"


_CAPACITY = Ask("capacity", "How much does the system hold?", "volume", "9.5 L")
_JUG = Ask("jug", "How much is in one jug?", "volume", "5 L", required=False)
_TARGET = Ask("target", "How strong shall it be?", "share", "50 %", help="By volume")
FIGURES: tuple[Declared, ...] = (
    Declared(
        "fill",
        "Fill with coolant",
        "How much concentrate and water to pour on what stayed in the system",
        (
            _CAPACITY,
            Ask(
                "stayed", "How much stayed in it?", "volume", "2.1 L", help="The capacity less what came out"
            ),
            Ask(
                "stayed_strength",
                "How strong is what stayed?",
                "share",
                "0 %",
                help="Rinse water is 0 %. By volume",
            ),
            _TARGET,
            Ask(
                "poured",
                "How strong is what you pour?",
                "share",
                "100 %",
                required=False,
                help="Concentrate is 100 %, a premix what its label says",
            ),
            _JUG,
        ),
        fill,
    ),
    Declared(
        "change",
        "Change part of the coolant",
        "How strong the mix is after several part changes, and how many it takes",
        (
            _CAPACITY,
            Ask("each", "How much comes out each time?", "volume", "3 L"),
            Ask("start", "How strong is it now?", "share", "30 %", help="By volume"),
            Ask("fresh", "How strong is the fresh coolant?", "share", "50 %", help="By volume"),
            Ask("times", "How many changes?", "whole", "3", required=False),
            Ask("target", "How strong shall it be at least?", "share", "45 %", required=False),
        ),
        change,
    ),
    Declared(
        "correct",
        "Correct a filled system",
        "How much to draw off and replace so that the strength is right",
        (
            _CAPACITY,
            Ask("strength", "How strong is it now?", "share", "42 %", help="By volume"),
            _TARGET,
            Ask(
                "poured",
                "How strong is what you pour?",
                "share",
                "100 %",
                required=False,
                help="Left out: concentrate to make it stronger, water to make it weaker",
            ),
            _JUG,
        ),
        correct,
    ),
)
