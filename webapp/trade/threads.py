"""Screw threads: what a designation says, and the sizes that follow from it.

Metric threads are written M8 (the coarse pitch is meant), M8x1 or M8 x 1.25. Unified ones are written 1/4-20,
1/4-20 UNC, #10-24 or 1 1/4-12. Pipe threads are another family, with other angles and diameters: they are not
read here.

Both families have the same 60° profile, of height H = 0.866025 · pitch. Everything here follows from diameter
and pitch.

Sources: ISO 261 (coarse series), ISO 724 (pitch and minor diameter), ISO 898-1 (stress area of metric
threads), ASME B1.1 (series of unified threads and their stress area). The tables of pitches are from memory,
save the metric pitches of M5, M7, M8, M12 and M14.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import pi
from typing import Literal, NoReturn

from .quantities import Q_, Quantity
from .refusal import Refused

System = Literal["metric", "unified"]
Series = Literal["coarse", "fine", "extra fine", "constant pitch"]

SOURCE = "ISO 261, ISO 724 and ASME B1.1 (pitches and diameters); ISO 898-1 and ASME B1.1 (stress area)"

COARSE: dict[str, str] = {
    "1": "0.25",
    "1.2": "0.25",
    "1.4": "0.3",
    "1.6": "0.35",
    "1.8": "0.35",
    "2": "0.4",
    "2.2": "0.45",
    "2.5": "0.45",
    "3": "0.5",
    "3.5": "0.6",
    "4": "0.7",
    "4.5": "0.75",
    "5": "0.8",
    "6": "1",
    "7": "1",
    "8": "1.25",
    "9": "1.25",
    "10": "1.5",
    "11": "1.5",
    "12": "1.75",
    "14": "2",
    "16": "2",
    "18": "2.5",
    "20": "2.5",
    "22": "2.5",
    "24": "3",
    "27": "3",
    "30": "3.5",
    "33": "3.5",
    "36": "4",
    "39": "4",
    "42": "4.5",
    "45": "4.5",
    "48": "5",
    "52": "5",
    "56": "5.5",
    "60": "5.5",
    "64": "6",
}
"""Diameter and coarse pitch of metric threads, mm."""

# Every pitch of ISO 261, mm. One between them is a slip of the pen.
PITCHES = frozenset(map(Decimal, {*COARSE.values(), "0.2", "1", "1.5", "2", "3", "4"}))

UNC: dict[str, int] = {
    "#1": 64,
    "#2": 56,
    "#3": 48,
    "#4": 40,
    "#5": 40,
    "#6": 32,
    "#8": 32,
    "#10": 24,
    "#12": 24,
    "1/4": 20,
    "5/16": 18,
    "3/8": 16,
    "7/16": 14,
    "1/2": 13,
    "9/16": 12,
    "5/8": 11,
    "3/4": 10,
    "7/8": 9,
    "1": 8,
    "1 1/8": 7,
    "1 1/4": 7,
    "1 3/8": 6,
    "1 1/2": 6,
    "1 3/4": 5,
}
UNF: dict[str, int] = {
    "#0": 80,
    "#1": 72,
    "#2": 64,
    "#3": 56,
    "#4": 48,
    "#5": 44,
    "#6": 40,
    "#8": 36,
    "#10": 32,
    "#12": 28,
    "1/4": 28,
    "5/16": 24,
    "3/8": 24,
    "7/16": 20,
    "1/2": 20,
    "9/16": 18,
    "5/8": 18,
    "3/4": 16,
    "7/8": 14,
    "1": 12,
    "1 1/8": 12,
    "1 1/4": 12,
    "1 3/8": 12,
    "1 1/2": 12,
}
UNEF: dict[str, int] = {
    "#12": 32,
    "1/4": 32,
    "5/16": 32,
    "3/8": 32,
    "7/16": 28,
    "1/2": 28,
    "9/16": 24,
    "5/8": 24,
    "11/16": 24,
    "3/4": 20,
    "13/16": 20,
    "7/8": 20,
    "15/16": 20,
    "1": 20,
}
"""Size and threads per inch of unified threads: coarse, fine, extra fine."""

CONSTANT = (4, 6, 8, 12, 16, 20, 28, 32)
"""Threads per inch of the constant pitch series, UN."""

# Size and threads per inch that name a taper pipe thread (ASME B1.20.1), though no letters say so.
_PIPE = {("1/8", 27), ("1/4", 18), ("3/8", 18), ("1/2", 14), ("3/4", 14)}

_METRIC = re.compile(r"M ?(\d{1,2}(?:\.\d{1,2})?)(?: ?[x-] ?(\d{1,2}(?:\.\d{1,3})?))?(?: ?x ?\d{1,3})?", re.I)
_UNIFIED = re.compile(
    r"(?:(?P<number># ?\d{1,2})|(?P<whole>\d)|(?:(?P<more>\d)[ -])?(?P<top>\d{1,2})/(?P<bottom>\d{1,2}))"
    r' ?"? ?- ?(?P<tpi>\d{1,2})(?: ?(?P<series>UNC|UNF|UNEF|UN))?',
    re.I,
)
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_KINDS: dict[str, Series] = {"UNC": "coarse", "UNF": "fine", "UNEF": "extra fine", "UN": "constant pitch"}
_WHY = "strength, drill and figure all hang on the thread"


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread. diameter, pitch: mm. threads_per_inch: of a unified thread only."""

    designation: str
    diameter: Quantity
    pitch: Quantity
    system: System
    kind: Series
    threads_per_inch: int | None = None


@lru_cache(maxsize=1_000)
def read_thread(text: str) -> Thread:
    """Return the thread that a designation names.

    Metric: M1–M64, without a pitch the coarse one is meant (ISO 261). A third number is a bolt's length and
    is not looked at. Unified: #0–1 3/4 in; without letters only where size and threads per inch name a
    coarse, fine or extra fine thread (ASME B1.1). The designation of the answer is always
    written out: M8x1.25, 1/4-20 UNC.

    Raises Refused for a pipe thread, and for what names no thread or no certain one.
    """
    said = text.strip()
    plain = said.replace("×", "x").replace("″", '"').replace("–", "-")
    for sign, written in _VULGAR.items():
        plain = plain.replace(sign, f" {written}")
    plain = " ".join(plain.split())
    if match := _METRIC.fullmatch(plain):
        return _metric(said, match[1], match[2])
    if match := _UNIFIED.fullmatch(plain):
        return _unified(said, match)
    if re.search(r"NP[TS]|\b(G|R|Rc|Rp|BSP[PT]?)\b", plain):
        raise Refused(
            f"“{said[:40]}” is a pipe thread",
            "it has another angle or another diameter than a screw thread of the same name",
            "Ask for the pipe thread's drill instead",
        )
    return _unclear(said)


def stress_area(thread: Thread) -> Quantity:
    """Return the area that carries the load, mm²: that of a rod of the mean of pitch and root diameter.

    Metric: π/4 · (d − 0.938194 · pitch)², ISO 898-1. Unified: π/4 · (D − 0.9743 / n)², ASME B1.1.
    The tables of both standards print it rounded to three figures.
    """
    share = 0.938194 if thread.system == "metric" else 0.9743
    diameter, pitch = _mm(thread)
    return Q_(pi / 4 * (diameter - share * pitch) ** 2, "mm**2")


def pitch_diameter(thread: Thread) -> Quantity:
    """Return the basic pitch diameter, mm: where ridge and groove are equally wide. d − 3/4 · H, ISO 724."""
    diameter, pitch = _mm(thread)
    return Q_(diameter - 0.75 * height(pitch), "mm")


def minor_diameter(thread: Thread) -> Quantity:
    """Return the basic minor diameter, mm: that of the hole of a full nut. d − 5/4 · H, ISO 724.

    A bolt's own root lies deeper: see root_diameter.
    """
    diameter, pitch = _mm(thread)
    return Q_(diameter - 1.25 * height(pitch), "mm")


def root_diameter(thread: Thread) -> Quantity:
    """Return the root diameter of the bolt, mm: d − 17/12 · H, the rounded root of ISO 68-1, from memory."""
    diameter, pitch = _mm(thread)
    return Q_(diameter - 17 / 12 * height(pitch), "mm")


def height(pitch: float) -> float:
    """Return the height of the sharp triangle of a 60° thread, in the unit of its pitch: pitch · √3 / 2."""
    return pitch * 3**0.5 / 2


def _mm(thread: Thread) -> tuple[float, float]:
    return float(thread.diameter.m_as("mm")), float(thread.pitch.m_as("mm"))


def _metric(said: str, size: str, pitch: str | None) -> Thread:
    diameter = Decimal(size).normalize()
    name = f"{diameter:f}"
    coarse = COARSE.get(name)
    if pitch is None:
        if coarse is None:
            raise Refused(
                f"“{said[:40]}” has no coarse pitch",
                "a thread without a pitch means the coarse one, and this diameter has none",
                f"Measure the pitch and write it, such as M{name}x1.5",
            )
        pitch = coarse
    step = Decimal(pitch)
    # A diameter outside the coarse series takes no coarser pitch than the next larger one in it.
    most = next((Decimal(own) for at, own in COARSE.items() if Decimal(at) >= diameter), None)
    if most is None or diameter < 1:
        raise Refused(
            f"“{said[:40]}” is not between M1 and M64", _WHY, "Read the size again, such as M8x1.25"
        )
    example = f"M{name}x{coarse or '1.5'}"
    if step > most:
        raise Refused(
            f"“{said[:40]}” has a pitch of {pitch} mm, coarser than any thread of that diameter",
            f"the coarsest is {most} mm. A bolt's length comes after the pitch",
            f"Write diameter and pitch, such as {example}",
        )
    if step not in PITCHES:
        raise Refused(
            f"“{said[:40]}” has a pitch of {pitch} mm, which no metric thread has",
            _WHY,
            f"Lay a pitch gauge on it and write it, such as {example}",
        )
    kind: Series = "coarse" if coarse and step == Decimal(coarse) else "fine"
    written = f"{step.normalize():f}"
    return Thread(f"M{name}x{written}", Q_(float(diameter), "mm"), Q_(float(step), "mm"), "metric", kind)


def _unified(said: str, match: re.Match[str]) -> Thread:
    tpi, letters = int(match["tpi"]), (match["series"] or "").upper()
    inches, size = _size(said, match)
    known = {"UNC": UNC.get(size), "UNF": UNF.get(size), "UNEF": UNEF.get(size)}
    if (size, tpi) in _PIPE:
        raise Refused(
            f"“{said[:40]}” is the taper pipe thread {size}-{tpi} NPT",
            f"its outside is much wider than {size} in, and it seals where a screw thread leaks",
            f"Ask for the pipe thread's drill, or write {_offer(size)}",
        )
    if not letters:
        letters = next((name for name, own in known.items() if own == tpi), "")
    if letters == "UN":
        ok = tpi in CONSTANT or tpi in known.values()
    else:
        ok = bool(letters) and known[letters] == tpi
    if not ok:
        raise Refused(f"“{said[:40]}” is no common unified thread", _WHY, f"Write {_offer(size)}")
    return Thread(
        f"{size}-{tpi} {letters}",
        Q_(float(inches * Fraction(254, 10)), "mm"),
        Q_(25.4 / tpi, "mm"),
        "unified",
        _KINDS[letters],
        tpi,
    )


def _size(said: str, match: re.Match[str]) -> tuple[Fraction, str]:
    """Return a unified thread's diameter in inches, and its name. Numbers: 0.060 + 0.013 · n, ASME B1.1."""
    if match["number"]:
        number = int(match["number"].strip("# "))
        return Fraction(60 + 13 * number, 1000), f"#{number}"
    if match["whole"]:
        inches = Fraction(int(match["whole"]))
    else:
        top, bottom = int(match["top"]), int(match["bottom"])
        if bottom not in (2, 4, 8, 16, 32) or not 0 < top < bottom:
            _unclear(said)
        inches = int(match["more"] or 0) + Fraction(top, bottom)
    if not 0 < inches <= Fraction(7, 4):
        raise Refused(f"“{said[:40]}” is not between #0 and 1 3/4 in", _WHY, "Read the size again")
    whole, rest = divmod(inches, 1)
    return inches, " ".join(str(part) for part in (whole, rest) if part)


def _offer(size: str) -> str:
    """Return the threads of a size as they are written."""
    named = [
        f"{size}-{table[size]} {name}"
        for name, table in (("UNC", UNC), ("UNF", UNF), ("UNEF", UNEF))
        if size in table
    ]
    return " or ".join(named or ["size, threads per inch and series, such as 3/8-16 UNC"])


def _unclear(said: str) -> NoReturn:
    raise Refused(
        f"“{said[:40]}” is no thread that can be read",
        _WHY,
        "Write M8, M8x1.25, 1/4-20, 3/8-16 UNC or #10-24",
    )
