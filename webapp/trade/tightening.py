"""How a group is tightened: the order, the passes one after another, a last pass, and the angle after.

The maker's own order and passes always come first; what is worked out here says that it was.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from .answer import Answer, Ask, Declared, Line
from .passes import staged
from .pattern import NUMBERING, positions, tightening_order
from .quantities import Quantity
from .refusal import Refused
from .units import Figure, convert, join, number

SOURCE = (
    "Straight row and passes: US Army TM 5-3805-248-23-1 (from memory). Ring: legacy cross-pattern of ASME "
    "PCC-1 (from memory). Centre outwards and crosswise for other joints: common practice, no source"
)
VALIDITY = "Joints whose maker prints no order. 2 to 60 bolts of one length and one figure"
MAKER = "This order is worked out. A maker's own order and passes come first"
SAME_WAY = "Last pass: the same order and the same figure, to find a bolt that still turns"
LARGE = Figure("torque", "figure", Decimal(41), Decimal(41), Decimal(41), "N·m", "41 N·m")
MOST = 60  # bolts: more than any joint on an engine
FLAT = 60  # ° from one flat of a hexagon to the next


class Turn(NamedTuple):
    """One bolt in one pass. share: of the full figure; check: the last pass."""

    pass_: int
    bolt: int
    share: Decimal
    check: bool


def checked(order: Sequence[int], bolts: int) -> list[int]:
    """Return an explicit order of bolts 1 … bolts, each of which it names exactly once. Raises Refused."""
    counted = Counter(order)
    twice = sorted(bolt for bolt, count in counted.items() if count > 1)
    strange = sorted(bolt for bolt in counted if not 1 <= bolt <= bolts)
    missing = [bolt for bolt in range(1, bolts + 1) if bolt not in counted]
    for wrong, bad in (("names bolts that are not there", strange), ("names bolts twice", twice)):
        if bad:
            raise Refused(
                f"the order {wrong}: {_listed(bad)}",
                f"the joint has the bolts 1 to {bolts}, each tightened once in a pass",
                "Write each number once",
            )
    if missing:
        raise Refused(
            f"the order leaves out {_listed(missing)}",
            "a bolt that no pass names stays loose",
            f"Write all the numbers from 1 to {bolts}",
        )
    return list(order)


def turns(order: Sequence[int], shares: Sequence[Decimal]) -> list[Turn]:
    """Return every turn of the wrench: each pass in order, then the last pass at the full figure.

    shares: of the full figure, more than 0, each no less than the one before, the last one 1. Raises Refused.
    """
    if not shares or shares[-1] != 1 or any(share <= 0 for share in shares) or list(shares) != sorted(shares):
        raise Refused(
            "the passes do not rise to the full figure",
            "each pass loads the joint a little more, and the last one fully",
            "Write shares such as 50 %, 100 %",
        )
    passes = [
        Turn(count, bolt, share, False) for count, share in enumerate(shares, start=1) for bolt in order
    ]
    return [*passes, *(Turn(len(shares) + 1, bolt, Decimal(1), True) for bolt in order)]


@dataclass(frozen=True, slots=True)
class Turned:
    """How far one fastener was turned after its torque. seated: the torque was reached."""

    seated: bool = False
    angle: Decimal = Decimal(0)  # °

    def seat(self) -> Turned:
        """Tighten to the torque from which the angle counts. Raises Refused after a turn."""
        if self.angle:
            raise Refused(
                "a torque wrench set after the turn",
                f"the bolt was turned {join(number(self.angle), '°')}, and a click no longer says how tight",
                "Take a new bolt where the maker asks for one, and begin again from its torque",
            )
        return Turned(True)

    def turn(self, angle: Quantity) -> Turned:
        """Turn on by an angle, more than 0° and at most 360° at once. Raises Refused before the torque."""
        degrees = Decimal(repr(round(float(angle.m_as("degree")), 6)))
        if not 0 < degrees <= 360:
            raise Refused(
                f"a turn of {join(number(degrees), '°')}",
                "a turn is more than nothing and at most once round",
                "Give the angle as the maker prints it, such as 90°",
            )
        if not self.seated:
            raise Refused(
                "a turn before the torque",
                "the angle counts from a seated bolt",
                "Tighten to the first figure, then turn",
            )
        return Turned(True, self.angle + degrees)


def in_flats(angle: Quantity) -> str:
    """Return an angle as a hand sees it: quarter turns, or flats of a hexagon (60° each, by definition)."""
    degrees = Fraction(repr(round(float(angle.m_as("degree")), 6)))
    parts = []
    if (degrees / 90).denominator == 1:
        quarters = int(degrees / 90)
        parts.append("a quarter turn" if quarters == 1 else f"{quarters} quarter turns")
    if (degrees / FLAT).denominator <= 4:
        flats = degrees / FLAT
        parts.append(f"{_mixed(flats)} {'flat' if flats == 1 else 'flats'} of the hexagon")
    return ", ".join(parts)


def sequence(layout: str, bolts: str, *, torque: Figure | None = None, order: str | None = None) -> Answer:
    """Return order and passes of a joint. layout: a key of NUMBERING; bolts: its count or counts, in numbers.

    Two passes, half and full, and above 41 N·m 70 % and full; then a last one. Raises Refused.
    """
    if torque is not None and torque.kind != "torque":
        raise Refused(
            f"{torque.written} is no torque", "bolts are tightened to one", "Write it as 24 N·m or 18 lbf·ft"
        )
    counts = _numbers(bolts)
    if layout == "points":
        if len(counts) % 2:
            raise Refused("a point lacks its second number", "a bolt stands at x and y", "Write x y, x y, …")
        named: object = [list(pair) for pair in zip(counts[::2], counts[1::2], strict=True)]
        total = len(counts) // 2
    else:
        whole = [int(count) for count in counts]
        if any(count != int(count) or count < 1 for count in counts):
            raise Refused("a part of a bolt", "bolts are counted whole", "Write whole numbers from 1 up")
        need = {"circle": 1, "row": 1, "rectangle": 2, "vee": 2}.get(layout)
        if need and len(whole) != need:
            raise Refused(
                f"a {layout} is not told by {len(whole)} number{'' if len(whole) == 1 else 's'}",
                f"it takes {need}",
                {1: "Write the count of its bolts", 2: "Write two counts, such as 4 3"}[need],
            )
        named = whole[0] if need == 1 else whole
        total = 2 * (sum(whole) - 2) if layout == "rectangle" else sum(whole)
    if not 2 <= total <= MOST:
        raise Refused(
            f"{total} bolts", f"an order is for 2 to {MOST} of them", "Count the bolts of the joint again"
        )
    places = positions(**{layout: named})  # type: ignore[arg-type]
    worked = not order
    sequence_ = (
        tightening_order(**{layout: named})  # type: ignore[arg-type]
        if worked
        else checked([int(one) for one in _numbers(order or "")], total)
    )
    shares = [Decimal("0.5"), Decimal(1)]
    working = [f"Bolts are numbered {NUMBERING[layout]}", "Hand-tight first, all round"]
    lines = [Line("Order", " ".join(map(str, sequence_)))]
    if torque is not None:
        largest = max(end for end in (torque.low, torque.high) if end is not None)
        large = convert(largest, torque.unit, LARGE.unit, "torque") > float(LARGE.nominal or 0)
        if large:
            shares[0] = Decimal("0.7")
        first = join(number(shares[0] * 100), "%")
        working.append(f"{'Above' if large else 'Up to'} {LARGE.written}: first pass {first}")
    for count, share in enumerate(shares, start=1):
        percent = join(number(share * 100), "%")
        part = staged(torque, share) if torque and share < 1 else torque
        lines.append(
            Line(f"Pass {count}, {percent}", part.written if part else f"{percent} of the figure", part)
        )
    lines.append(Line("Last pass", "same order, full figure: none may turn"))
    value: dict[str, object] = {
        "order": list(sequence_),
        "ring": layout == "circle",
        "positions": [list(place) for place in places],
        "shares": [float(share) for share in shares],
        "turns": len(turns(sequence_, shares)),
    }
    cautions = (MAKER, SAME_WAY) if worked else ("Passes are worked out. A maker's own come first", SAME_WAY)
    return Answer(value, tuple(lines), tuple(working), SOURCE, VALIDITY, cautions)


def _numbers(text: str) -> list[float]:
    try:
        found = [float(part) for part in text.replace(",", " ").replace(";", " ").split()]
        if all(abs(part) < 1e6 for part in found):
            return found
    except ValueError:
        pass
    raise Refused(
        f"“{text[:40]}” is not a list of numbers", "bolts are counted", "Write numbers such as 5 4 5"
    )


def _listed(bolts: Sequence[int]) -> str:
    return ", ".join(map(str, bolts[:8])) + (" …" if len(bolts) > 8 else "")


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    part = {
        Fraction(1, 2): "½",
        Fraction(1, 4): "¼",
        Fraction(3, 4): "¾",
        Fraction(1, 3): "⅓",
        Fraction(2, 3): "⅔",
    }
    return f"{int(whole) or ''}{part.get(rest, '')}" or "0"


FIGURES: tuple[Declared, ...] = (
    Declared(
        "order",
        "Tightening order",
        "In what order and passes a joint is tightened when no maker says.",
        (
            Ask("layout", "Layout", "choice", "row", choices=tuple(NUMBERING)),
            Ask(
                "bolts",
                "How many bolts",
                "text",
                "9",
                help="Rows: one count each, such as 5 4 5. Rectangle: along and across. Points: x y, x y, …",
            ),
            Ask("torque", "Full figure", "amount", "48 N·m", required=False),
            Ask(
                "order",
                "The maker's order",
                "text",
                "5 6 4 7 3 8 2 9 1",
                required=False,
                help="Where the maker prints one: it is checked, and it wins.",
            ),
        ),
        sequence,
    ),
)
