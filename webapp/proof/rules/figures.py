"""R22: what a thread can take, and whether a figure fits it. The numbers are those of `trade/fasteners`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from webapp.pack import schema
from webapp.pack.amounts import Amount
from webapp.pack.stages import full_figures
from webapp.trade.fasteners import ISO, LOW, NUT_FACTORS, SAE, strength, torque_for
from webapp.trade.refusal import Refused
from webapp.trade.threads import Thread, read_thread
from webapp.trade.units import convert, number, to_base

from ..job import Job
from ..rule import Found, Severity, Spot

USUAL = {"metric": ("4.6", "10.9"), "unified": ("grade 2", "grade 8")}
"""The weakest and the strongest usual class, for a group that names none. Common practice, no source."""

SOFT: dict[str, tuple[float, dict[str, str]]] = {
    "aluminium": (0.9, {"metric": "8.8", "unified": "grade 5"}),
    "brass": (0.9, {"metric": "8.8", "unified": "grade 5"}),
    "plastic": (0.5, {"metric": "8.8", "unified": "grade 5"}),
}
"""What soft threads take at most: a share of what a bolt of this class takes. Common practice, no source."""

SLICK = NUT_FACTORS["anti-seize (common practice)"][0]
DRY = NUT_FACTORS["dry (common practice)"][0]
TWICE, QUARTER = 2.0, 0.25
PLUG = (
    12.0  # mm: from here up a fine thread is as often that of a plug as of a bolt. Common practice, no source
)
SOFT_LOW = (
    0.1  # of the least figure: what plastic is screwed to still holds a cap. Common practice, no source
)
_STEEL = {"metric": (ISO, re.compile(r"\d{1,2}\.\d")), "unified": (SAE, re.compile(r"grade ?\d"))}


@dataclass(frozen=True, slots=True)
class Band:
    """The figures, N·m, that are usual for a thread, and the words for what it was worked out from.

    plug: the thread may be that of a plug, sensor or union, which seals and clamps nothing.
    """

    low: float
    high: float
    what: str
    plug: bool = False


def grade(thread: Thread, text: str | None) -> str | None:
    """Return the class that an author's words name, if it is one class that the trade's tables know."""
    table, pattern = _STEEL[thread.system]
    named = {
        found.replace("grade", "grade ").replace("  ", " ") for found in pattern.findall((text or "").lower())
    }
    return named.pop() if len(named) == 1 and named <= table.keys() else None


def band(group: schema.Fasteners) -> Band | None:
    """Return what is usual for a group."""
    return usual_for(group.thread, group.class_, group.into, group.joint)


@lru_cache(maxsize=1_000)
def usual_for(designation: str, class_: str | None, into: str | None, joint: str | None) -> Band | None:
    """Return what is usual for a thread, or None where no table knows its thread (pipe threads, #10, M42).

    From a quarter of proof load on slick threads to all of it on dry ones: T = K · d · F, see
    trade/fasteners. Soft threads take less than the bolt.
    """
    try:
        thread = read_thread(designation)
        own = grade(thread, class_)
        weak, strong = (own, own) if own else USUAL[thread.system]
        most = to_proof(thread, strong)
        least = LOW * SLICK / DRY * (most if weak == strong else to_proof(thread, weak))
        words = own or f"no class given, so {weak} to {strong}"
        if into in SOFT:
            share, classes = SOFT[into]
            soft = classes[thread.system]
            least *= SOFT_LOW if into == "plastic" else share
            most = min(most, most if soft == strong else to_proof(thread, soft)) * share
    except Refused:
        return None
    what = f"{thread.designation}, {words}" + (f", into {into}" if into else "")
    fine = thread.kind != "coarse" and float(thread.diameter.m_as("mm")) >= PLUG
    return Band(least, most, what, fine and joint not in ("structural", "rotating"))


def to_proof(thread: Thread, class_: str) -> float:
    """Return the torque in N·m that loads a dry bolt up to its proof load; torque grows as load and K do."""
    return float(torque_for(strength(thread, class_).proof_load, thread, DRY).m_as("N*m"))


def judge(job: Job) -> Iterator[Found]:
    """Find figures that do not fit their thread."""
    for name, group in job.front.fasteners.items():
        usual = band(group)
        if usual is None:
            continue
        for path, amount in written(name, group):
            yield from fits(group, usual, path, amount)


def written(name: str, group: schema.Fasteners) -> Iterator[tuple[tuple[str | int, ...], Amount]]:
    """Yield each figure of a group with its place."""
    figures = [amount for _, amount in full_figures(group)]
    if group.torque in figures and group.torque is not None:
        yield ("fasteners", name, "torque"), group.torque
    for at, part in enumerate(group.lengths):
        if part.torque is not None:
            yield ("fasteners", name, "lengths", at, "torque"), part.torque


def fits(
    group: schema.Fasteners, usual: Band, path: tuple[str | int, ...], amount: Amount
) -> Iterator[Found]:
    """Find what is wrong with one figure. Before a turn by angle only a little torque is wanted."""
    low, high = ends(amount)
    severity: Severity = "warning"
    if high > usual.high:
        severity = "error" if high > TWICE * usual.high else "warning"
        much = "more than twice as much as" if severity == "error" else "more than"
    elif low < usual.low * (QUARTER / 2 if usual.plug else QUARTER):
        severity, much = "error", "less than a quarter of"
    elif low < usual.low and not group.angle and not usual.plug:
        much = "less than"
    else:
        return
    span = "–".join(shown(one, amount.unit) for one in (usual.low, usual.high))
    yield Found(
        Spot(None, path),
        f"{amount.written} for {group.name} is {much} what is usual for the thread "
        f"({usual.what}: {span} {amount.unit})",
        "figure, unit, thread and class as the source prints them; if it does print this, accept R22 with "
        "where it stands",
        severity=severity,
    )


def ends(amount: Amount) -> tuple[float, float]:
    """Return least and most of a torque, N·m. Of a figure with a tolerance, the figure itself."""
    own = [amount.nominal] if amount.nominal is not None else [amount.low, amount.high]
    values = [to_base(one, amount.unit, "torque") for one in own if one is not None]
    return min(values), max(values)


def shown(value: float, unit: str) -> str:
    """Return a torque in N·m in another unit, in two or three figures."""
    return number(Decimal(f"{convert(value, 'N·m', unit, 'torque'):.2g}"))
