"""Pipe threads: which one a name means, and the drill before its tap.

The size of a pipe thread is not its width: 3/8 NPT is 0.675 in over the threads. NPT is taper, 60° between
the flanks, and seals on the thread (ASME B1.20.1). G is parallel, 55°, and seals on a washer or ring
(ISO 228-1). Rc is the taper hole of the 55° family, for the taper pipe R, and seals on the thread (ISO 7-1).
Both tapers are 1 in 16 on the diameter.

The drill lists for NPT disagree, because a straight hole in a taper thread is a compromise: the caller says
which list, and none is averaged. Drills for 1/2 and 3/4 NPT after a reamer, for G 3/8, 3/4 and 1, and all for
Rc are from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from math import atan
from typing import Literal

from .answer import Answer, Ask, Declared, Line, rounded_to
from .drills import INCH, Drill, both, pilots, read_drill
from .quantities import Q_, Quantity
from .refusal import Refused
from .tapping import CHIPS
from .threads import UNC, UNF
from .units import number

Family = Literal["NPT", "G", "Rc"]

# Size: outside of the pipe in inches, threads per inch. ASME B1.20.1.
_NPT = {
    "1/8": ("0.405", "27"),
    "1/4": ("0.540", "18"),
    "3/8": ("0.675", "18"),
    "1/2": ("0.840", "14"),
    "3/4": ("1.050", "14"),
    "1": ("1.315", "11.5"),
}
# Size: major diameter in mm, threads per inch. ISO 228-1; ISO 7-1 has the same in its gauge plane.
_BSP = {
    "1/8": ("9.728", "28"),
    "1/4": ("13.157", "19"),
    "3/8": ("16.662", "19"),
    "1/2": ("20.955", "14"),
    "3/4": ("26.441", "14"),
    "1": ("33.249", "11"),
}
FLANKS: dict[Family, int] = {"NPT": 60, "G": 55, "Rc": 55}
"""Angle between the flanks of the thread, degrees."""
TAPER = 1 / 16  # on the diameter, NPT and Rc
WHITWORTH = 1.280654  # major less minor diameter of a 55° thread, in pitches. ISO 228-1

LISTS: dict[str, dict[str, str]] = {
    "ASME without reamer": {"1/8": "Q", "1/4": "7/16", "3/8": "9/16", "1/2": "45/64", "3/4": "29/32"},
    "ASME with taper reamer": {"1/8": "21/64", "1/4": "27/64", "3/8": "9/16", "1/2": "11/16", "3/4": "57/64"},
    "shop chart": {
        "1/8": "R",
        "1/4": "7/16",
        "3/8": "37/64",
        "1/2": "23/32",
        "3/4": "59/64",
        "1": "1 5/32",
    },
}
"""Drills for NPT by list and size. The lists disagree."""
_G = {"1/8": "8.8", "1/4": "11.8", "3/8": "15.25", "1/2": "19", "3/4": "24.5", "1": "30.75"}
_RC = {"1/8": "8.4", "1/4": "11.2", "3/8": "14.75", "1/2": "18.25", "3/4": "23.75", "1": "30"}

SOURCE = (
    "NPT: ASME B1.20.1, its suggested drills, and the shop chart (common practice). "
    "G: ISO 228-1, drills of the usual tables. Rc: ISO 7-1, drills from memory"
)
VALIDITY = "Pipe threads NPT, G and Rc from 1/8 to 1. Not NPTF, NPS, Rp, nor other sizes"
DEPTH = (
    "A taper tap cuts wider the deeper it goes: stop when the fitting turns in three to four turns by hand "
    "(common practice, no source)"
)
SEAL_TAPER = "on the thread, with tape or paste; not where a sensor earths through it"
SEAL_PARALLEL = "on a washer or ring under the head; no tape"
SCATTER = "Lists for Rc differ by some tenths of a millimetre: the tap maker's own figure wins"


@dataclass(frozen=True, slots=True)
class PipeThread:
    """A pipe thread. threads_per_inch may be a half: 11.5. outside: over the threads, NPT: over the pipe."""

    family: Family
    size: str
    threads_per_inch: float
    outside: Quantity

    @property
    def name(self) -> str:
        """Its designation: 3/8-18 NPT, G 1/2, Rc 1/4."""
        if self.family == "NPT":
            return f"{self.size}-{self.threads_per_inch:g} NPT"
        return f"{self.family} {self.size}"

    @property
    def taper(self) -> bool:
        """Whether it grows narrower inward and seals on the thread."""
        return self.family != "G"

    @property
    def pitch(self) -> Quantity:
        """From thread to thread, mm."""
        return Q_(INCH / self.threads_per_inch, "mm")


def half_angle() -> Quantity:
    """Return how far the side of a taper pipe thread leans from its axis, degrees: atan(1/32).

    Source: taper 1 in 16 on the diameter, ASME B1.20.1 and ISO 7-1.
    """
    return Q_(atan(TAPER / 2), "radian").to("degree")


_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8"}
_NAMES: dict[str, Family] = {"NPT": "NPT", "G": "G", "BSPP": "G", "RC": "Rc", "BSPT": "Rc"}
_SIZE = r"(?P<size>\d(?:/\d)?) ?\"?"
_TPI = r"(?: ?- ?(?P<tpi>\d{1,2}(?:\.5)?))?"
_AFTER = re.compile(rf"{_SIZE}{_TPI} ?-? ?(?P<name>[A-Z]+)?", re.I)
_BEFORE = re.compile(rf"(?P<name>[A-Z]+) ?{_SIZE}{_TPI}(?: ?A| ?B)?", re.I)
_WRITE = "Write 3/8-18 NPT, G 3/8 or Rc 3/8"


def read_pipe(text: str) -> PipeThread:
    """Return the pipe thread a name means: 3/8-18 NPT, 3/8 NPT, 3/8-18, G 1/2, Rc 1/4, 1/4 BSPP, 1/4 BSPT.

    Without letters only where size and threads per inch belong to one thread: 3/8-18 is NPT, 1/2-14 may be
    NPT, G or Rc. Sizes 1/8 to 1. Raises Refused for what is unclear, and for families not known here.
    """
    said = " ".join(text.split())[:40]
    plain = said.replace("″", '"').replace("–", "-")
    for sign, written in _VULGAR.items():
        plain = plain.replace(sign, written)
    match = _AFTER.fullmatch(plain) or _BEFORE.fullmatch(plain)
    if not match or (match["name"] and match["name"].upper() not in _NAMES):
        raise _unread(said, match["name"] if match else "")
    size, tpi = match["size"], match["tpi"]
    if size not in _NPT:
        raise Refused(
            f"“{said}” is not one of the sizes {', '.join(_NPT)}",
            "no drill is known here for other pipe threads",
            "Ask the maker of the tap",
        )
    if match["name"]:
        family = _NAMES[match["name"].upper()]
        thread = _thread(family, size)
        if tpi is not None and float(tpi) != thread.threads_per_inch:
            raise Refused(
                f"“{said}” has {tpi} threads per inch, and {thread.name} has {thread.threads_per_inch:g}",
                "one of the two is a slip, and the other tap would strip the hole",
                "Lay a pitch gauge on the fitting and write it again",
            )
        return thread
    fits = [_thread(family, size) for family in FLANKS]
    if tpi is not None:
        fits = [thread for thread in fits if thread.threads_per_inch == float(tpi)]
    if len(fits) == 1:
        return fits[0]
    if not fits:
        raise Refused(
            f"“{said}” is no pipe thread",
            f"{size} pipe has other threads per inch",
            _WRITE.replace("3/8", size),
        )
    names = [thread.name for thread in fits]
    raise Refused(
        f"“{said}” may be {', '.join(names[:-1])} or {names[-1]}",
        "60° and 55° threads, taper and parallel ones, do not seal together",
        "Look whether the fitting is taper, lay a pitch gauge on it, and write one of these",
    )


def _unread(said: str, name: str | None) -> Refused:
    known = {
        "NPTF": "a dry sealing taper thread, cut with other taps",
        "NPS": "a parallel thread of the NPT family",
        "NPSM": "a parallel thread of the NPT family",
        "RP": "a parallel hole for a taper pipe, not G",
        "R": "the outside of a taper pipe, whose hole is Rc",
        "BSP": "either parallel, G, or taper, Rc",
        "UNC": "a screw thread, not a pipe thread",
        "UNF": "a screw thread, not a pipe thread",
    }
    what = known.get((name or "").upper())
    if what:
        return Refused(f"“{said}” is {what}", "the drill hangs on the thread", _WRITE)
    return Refused(f"“{said}” is no pipe thread that can be read", "the drill hangs on the thread", _WRITE)


def _thread(family: Family, size: str) -> PipeThread:
    outside, tpi = _NPT[size] if family == "NPT" else _BSP[size]
    return PipeThread(family, size, float(tpi), Q_(float(outside), "in" if family == "NPT" else "mm"))


def minor_diameter(thread: PipeThread) -> Quantity:
    """Return the basic minor diameter of a 55° thread, mm: D − 1.280654 · pitch, ISO 228-1.

    Of Rc, in its gauge plane. Raises Refused for NPT: its minor diameter changes along the thread.
    """
    if thread.family == "NPT":
        raise Refused(
            f"{thread.name} has no one minor diameter",
            "it is taper",
            "Choose a list of drills",
        )
    return Q_(float(thread.outside.m_as("mm")) - WHITWORTH * float(thread.pitch.m_as("mm")), "mm")


def pipe_drill(thread: PipeThread, by: str | None = None) -> Drill:
    """Return the drill before the tap of a pipe thread. by: a list of LISTS, for NPT alone.

    Sources: SOURCE. Raises Refused for NPT without a list, and where the list has no such size.
    """
    if thread.family != "NPT":
        return read_drill(f"{(_G if thread.family == 'G' else _RC)[thread.size]} mm")
    if by not in LISTS:
        held = "; ".join(f"{name}: {_of(name, thread.size)}" for name in LISTS)
        raise Refused(
            f"the drill for {thread.name} hangs on the list",
            f"they disagree ({held})",
            f"Choose one of: {', '.join(LISTS)}",
        )
    if thread.size not in LISTS[by]:
        holding = next(name for name in LISTS if thread.size in LISTS[name])
        raise Refused(
            f"the list “{by}” has no drill here for {thread.name}",
            "a drill that is guessed spoils the hole",
            f"Take the list “{holding}”, or ask the maker of the tap",
        )
    return read_drill(LISTS[by][thread.size])


def confusable(thread: PipeThread) -> tuple[str, ...]:
    """Return what a pipe thread is taken for, and why that fails, a sentence each.

    Source: geometry, from ASME B1.20.1, ISO 228-1, ISO 7-1 and ASME B1.1.
    """
    size = thread.size
    screws = [f"{size}-{table[size]} {name}" for name, table in (("UNC", UNC), ("UNF", UNF)) if size in table]
    sentences = []
    if screws:
        wide = both(float(thread.outside.m_as("mm")))
        sentences.append(f"Not {' or '.join(screws)}: {thread.name} is {wide} over the threads")
    other = _thread("G" if thread.family == "NPT" else "NPT", size)
    angles = f"{FLANKS[thread.family]}° against {FLANKS[other.family]}°"
    if other.threads_per_inch == thread.threads_per_inch:
        sentences.append(f"{other.name} has the same threads per inch and starts, but {angles}: it leaks")
    else:
        counts = f"{thread.threads_per_inch:g} against {other.threads_per_inch:g} threads per inch"
        sentences.append(f"Not {other.name}: {counts}, {angles}")
    if thread.family != "NPT":
        twin = _thread("Rc" if thread.family == "G" else "G", size)
        sentences.append(
            f"{twin.name} has the same pitch but is {'taper' if twin.taper else 'parallel'}: another tap"
        )
    return tuple(sentences)


def answer(thread: str, by: str | None = None) -> Answer:
    """Answer which drill goes before the tap of a pipe thread, and what the thread is.

    thread: as read_pipe reads it. by: a list of LISTS, needed for NPT, not looked at for G and Rc.
    Sources: SOURCE. Raises Refused as read_pipe and pipe_drill do.
    """
    read = read_pipe(thread)
    drill = pipe_drill(read, by)
    others = {} if read.family != "NPT" else {name: _of(name, read.size) for name in LISTS if name != by}
    first = pilots(drill.diameter, ("metric",) if drill.series == "metric" else ("fraction",))
    working = [
        f"{read.name}: {both(float(read.outside.m_as('mm')))} over the {_where(read)}",
        _pitch_line(read),
    ]
    cautions = [CHIPS, *confusable(read)]
    if read.family == "NPT":
        working.append(f"List “{by}”: {drill}")
    else:
        working.append(
            f"Core: {_plain(read.outside)} − {WHITWORTH:.4g} × {_plain(read.pitch)} = "
            f"{_plain(minor_diameter(read))} mm{'' if read.taper else ', so the drill is a little wider'}"
        )
    if read.taper:
        cautions.insert(1, DEPTH)
    if read.family == "Rc":
        cautions.append(SCATTER)
    return Answer(
        value={
            "thread": read.name,
            "drill": drill.name,
            "diameter": drill.diameter,
            "taper": read.taper,
            "threads_per_inch": read.threads_per_inch,
            "outside": read.outside,
            "flanks": Q_(FLANKS[read.family], "degree"),
            "other_lists": others,
            "pilots": [step.name for step in first],
        },
        lines=(
            Line("Drill", str(drill)),
            Line("Thread", f"{read.name}, {'taper' if read.taper else 'parallel'}"),
            Line("Threads per inch", f"{read.threads_per_inch:g}"),
            Line("Seals", SEAL_TAPER if read.taper else SEAL_PARALLEL),
            Line("Drill first", ", then ".join(step.name for step in first) or "a punch mark is enough"),
            *(Line(f"List “{name}”", has) for name, has in others.items()),
        ),
        working=tuple(working),
        source=SOURCE,
        validity=VALIDITY,
        cautions=tuple(cautions),
    )


def _of(name: str, size: str) -> str:
    return str(read_drill(LISTS[name][size])) if size in LISTS[name] else "none"


def _where(thread: PipeThread) -> str:
    return "pipe" if thread.family == "NPT" else "threads"


def _pitch_line(thread: PipeThread) -> str:
    return f"Pitch: 25.4 / {thread.threads_per_inch:g} = {_plain(thread.pitch)} mm"


def _plain(length: Quantity) -> str:
    return number(rounded_to(float(length.m_as("mm")), Decimal("0.001")))


FIGURES: tuple[Declared, ...] = (
    Declared(
        "pipe-drill",
        "Drill for a pipe thread",
        "Which drill goes before the tap of a pipe thread, taper or parallel, and what it is taken for",
        (
            Ask("thread", "Which pipe thread?", "text", "3/8-18 NPT", help="3/8-18 NPT, G 3/8 or Rc 3/8."),
            Ask(
                "by",
                "Whose list of drills?",
                "choice",
                "shop chart",
                required=False,
                choices=tuple(LISTS),
                help="For NPT only. The lists disagree.",
            ),
        ),
        answer,
    ),
)
