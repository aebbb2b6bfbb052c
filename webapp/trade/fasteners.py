"""Bolts: what they bear, and what a torque makes of them.

A bolt clamps by its stretch. The torque only makes it: T = K · d · F, where most of K is friction under the
head and in the thread. So the same torque on an oiled thread clamps harder, and may stretch the bolt for
good. Handbooks disagree on K, so it is always an input with its source; nothing here picks one, and nothing
changes a maker's figure.

Strengths are the guaranteed ones of the standards, not those the marking spells: a 10.9 is marked for 900 MPa
and yields at 940.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Any, Literal, NamedTuple

from .answer import Answer, Ask, Declared, Line, line
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import exact, fine_step, four, unit_of
from .threads import SOURCE as THREADS
from .threads import Thread, read_thread, stress_area

SOURCE_ISO = "ISO 898-1:2013, Table 3 (classes 4.6, 4.8, 5.6 and 6.8 from memory)"
SOURCE_SAE = (
    "SAE J429; Budynas & Nisbett, Shigley's Mechanical Engineering Design (tensile strength from memory)"
)
SOURCE_TORQUE = "T = K · F · d: Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27"
VALIDITY = (
    "Headed bolts and screws of steel, M1.6–M39 by ISO 898-1 or 1/4–1 1/2 in by SAE J429, at 10–35 °C. "
    "Not for set screws, nor for bolts waisted below the thread"
)
VALIDITY_TORQUE = (
    f"{VALIDITY}. At one torque bolts scatter by a third (common practice, no source), "
    "and the twist of tightening, which lets it yield sooner, is not counted"
)

REUSABLE = Q_(75.0, "percent")
"""The usual preload of a joint that is opened again, as a share of proof load. Source: Shigley, eq. 8-31."""


class Strength(NamedTuple):
    """What a class guarantees up to a diameter, mm or in; stresses in MPa or ksi."""

    upto: float
    proof: float
    yields: float
    tensile: float


ISO: dict[str, tuple[Strength, ...]] = {
    "4.6": (Strength(39, 225, 240, 400),),
    "4.8": (Strength(39, 310, 340, 420),),
    "5.6": (Strength(39, 280, 300, 500),),
    "5.8": (Strength(39, 380, 420, 520),),
    "6.8": (Strength(39, 440, 480, 600),),
    "8.8": (Strength(16, 580, 640, 800), Strength(39, 600, 660, 830)),
    "9.8": (Strength(16, 650, 720, 900),),
    "10.9": (Strength(39, 830, 940, 1040),),
    "12.9": (Strength(39, 970, 1100, 1220),),
}
"""MPa by diameter in mm."""

SAE: dict[str, tuple[Strength, ...]] = {
    "grade 2": (Strength(0.75, 55, 57, 74), Strength(1.5, 33, 36, 60)),
    "grade 5": (Strength(1, 85, 92, 120), Strength(1.5, 74, 81, 105)),
    "grade 8": (Strength(1.5, 120, 130, 150),),
}
"""ksi by diameter in inches."""

CLASSES = (*ISO, *SAE)
OWN = "my own number"
_SHIGLEY = "Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., Table 8-15"
_BICKFORD = "Bickford & Nassar, Handbook of Bolts and Bolted Joints, ch. 2, as quoted by others"
_IFI = "IFI Technical Data N-12/N-16, as quoted in an equipment manual"
_PRACTICE = "common practice, no source"

NUT_FACTORS: dict[str, tuple[float, str]] = {
    "dry (common practice)": (0.20, _PRACTICE),
    "oiled (common practice)": (0.16, _PRACTICE),
    "anti-seize (common practice)": (0.12, _PRACTICE),
    "nonplated, black finish (Shigley)": (0.30, _SHIGLEY),
    "zinc-plated (Shigley)": (0.20, _SHIGLEY),
    "lubricated (Shigley)": (0.18, _SHIGLEY),
    "cadmium-plated (Shigley)": (0.16, _SHIGLEY),
    "anti-seize (Shigley)": (0.12, _SHIGLEY),
    "bare steel, dry (Bickford)": (0.20, _BICKFORD),
    "cadmium plate, dry (Bickford)": (0.20, _BICKFORD),
    "nonplated (IFI)": (0.20, _IFI),
    "plated (IFI)": (0.15, _IFI),
}
"""K by the state of the threads, with its source. They contradict each other: none is the right one."""

LEAST_K, MOST_K = 0.05, 0.60  # beyond, no list goes. Common practice, no source
LOW = 0.25  # of proof load: below it the figure is there for something else. Common practice, no source

ENGAGEMENT: dict[str, tuple[float, float]] = {"steel": (1.0, 1.0), "aluminium": (1.5, 2.0)}
"""Thread engagement for a bolt's full strength, in diameters. Common practice, no source."""

Verdict = Literal["low", "fits", "high", "yields", "breaks"]
_SAYS: dict[Verdict, str] = {
    "low": "Low: it clamps little",
    "fits": "It fits",
    "high": "High: more than the usual 75 % of proof",
    "yields": "Too much: beyond proof, the bolt stretches for good",
    "breaks": "Too much: beyond what tears the bolt",
}
CONTRADICT = "Handbooks contradict each other on K. The figure of the part's maker wins"
OVER = "Beyond proof load the bolt yields: check thread, class, unit and what is on the threads"
USUAL = "Above the usual preload of a bolt that comes out again; makers go there for bolts used once"
WEAK = (
    "So low a figure is right for gaskets, covers and soft parts. For a joint that bears load, "
    "check its unit and the thread (common practice, no source)"
)


@dataclass(frozen=True, slots=True)
class Bolt:
    """What a bolt bears: stresses guaranteed by its class, and the loads they make on its stress area."""

    thread: Thread
    grade: str
    area: Quantity  # mm²
    proof_stress: Quantity
    yield_stress: Quantity
    tensile_stress: Quantity

    @property
    def proof_load(self) -> Quantity:
        """The load it bears and springs back from, N: stress area · proof stress."""
        return (self.area * self.proof_stress).to("N")

    @property
    def tensile_load(self) -> Quantity:
        """The least load that tears it, N: stress area · tensile strength."""
        return (self.area * self.tensile_stress).to("N")


@dataclass(frozen=True, slots=True)
class Clamp:
    """What a torque makes of a bolt. share: preload as a share of proof load, 1 = all of it."""

    preload: Quantity  # N
    share: float
    verdict: Verdict


def strength(thread: Thread, grade: str) -> Bolt:
    """Return what a bolt of a class or grade guarantees.

    grade: one of CLASSES. Metric threads M1.6–M39 take the classes of ISO 898-1 (class 8.8 is stronger above
    16 mm; 9.8 ends there). Their stress area is rounded to three figures, as that standard prints it. Unified
    threads of 1/4–1 1/2 in take the grades of SAE J429 (grade 2 is weaker above 3/4 in, grade 5 above 1 in).
    The last diameter of a band belongs to it.

    Raises Refused for a class of the other system and for diameters the standard does not cover.
    """
    metric = thread.system == "metric"
    table, other = (ISO, SAE) if metric else (SAE, ISO)
    if grade not in table:
        system = "a metric" if metric else "a unified"
        belongs = "belongs to the other system" if grade in other else "is not known here"
        raise Refused(
            f"{grade} on {system} thread {thread.designation} {belongs}",
            "strengths are guaranteed by the marking on the head, and each system has its own",
            f"Read the head again: {', '.join(table)}",
        )
    unit, size, stress = ("mm", 1.6, "MPa") if metric else ("inch", 0.25, "ksi")
    diameter = float(thread.diameter.m_as(unit))
    band = next((each for each in table[grade] if diameter <= each.upto * (1 + 1e-9)), None)
    if band is None or diameter < size * (1 - 1e-9):
        most = table[grade][-1].upto
        raise Refused(
            f"{grade} is not laid down for {thread.designation}",
            f"its standard covers {four(size)} to {four(most)} {'mm' if metric else 'in'}",
            "Read thread and marking again, or ask the bolt's maker",
        )
    area = stress_area(thread)
    return Bolt(
        thread,
        grade,
        Q_(float(f"{area.m_as('mm**2'):.3g}"), "mm**2") if metric else area,
        Q_(band.proof, stress),
        Q_(band.yields, stress),
        Q_(band.tensile, stress),
    )


def nominal_yield(grade: str) -> Quantity:
    """Return what a metric marking spells, MPa: first number · second · 10. Source: ISO 898-1, clause 5.

    It only decodes the marking: what is guaranteed stands in ISO, and is more for several classes.
    Raises Refused for a grade of SAE J429, whose number spells nothing.
    """
    if grade not in ISO:
        raise Refused(f"{grade} spells no stress", "only metric markings do", "Look its strength up instead")
    first, second = grade.split(".")
    return Q_(float(int(first) * int(second) * 10), "MPa")


def preload(torque: Quantity, thread: Thread, nut_factor: float) -> Quantity:
    """Return how hard a torque clamps, N: F = T / (K · d). K: 0.05–0.6. Source: SOURCE_TORQUE."""
    _sensible(torque, nut_factor)
    return (torque / (nut_factor * thread.diameter)).to("N")


def torque_for(load: Quantity, thread: Thread, nut_factor: float) -> Quantity:
    """Return the torque that clamps so hard, N·m: T = K · F · d. K: 0.05–0.6. Source: SOURCE_TORQUE."""
    value = float(load.m_as("N"))
    if not 0 < value < float("inf"):
        raise Refused("the preload is not more than 0", "the torque is worked out from it", "Give it in kN")
    _sensible(None, nut_factor)
    return (nut_factor * load * thread.diameter).to("N*m")


def fits(torque: Quantity, bolt: Bolt, nut_factor: float) -> Clamp:
    """Return how a torque fits a bolt: its preload against proof load.

    low: less than a quarter of proof load. fits: up to 75 %. high: up to all of it. yields: beyond. breaks:
    beyond the tensile load.
    """
    load = preload(torque, bolt.thread, nut_factor)
    share = float((load / bolt.proof_load).m_as(""))
    return Clamp(load, share, _verdict(load, share, bolt))


def lubricated(figure_factor: float, now_factor: float) -> float:
    """Return how many times as hard the same torque clamps on other threads: K of the figure / K now.

    Source: T = K · F · d with T and d unchanged.
    """
    _sensible(None, figure_factor)
    _sensible(None, now_factor)
    return figure_factor / now_factor


def nut_factor(state: str, own: float | None = None) -> tuple[float, str]:
    """Return K and its source for a state of NUT_FACTORS, or a person's own number for OWN."""
    if state == OWN:
        if own is None:
            raise Refused("there is no number for K", "own was chosen", "Give K, such as 0.18")
        return own, "a number given by you"
    if own is not None and own != NUT_FACTORS.get(state, (own, ""))[0]:
        raise Refused(
            f"K is given twice, and {four(own)} is not the list's number",
            "only one of them can hold",
            f"Leave the number out, or choose “{OWN}”",
        )
    if state not in NUT_FACTORS:
        raise Refused(f"“{state[:40]}” is in no list of K", "K is never guessed", "Choose one of the list")
    return NUT_FACTORS[state]


def strength_answer(thread: str, grade: str) -> Answer:
    """Answer what a bolt bears: see strength."""
    bolt = strength(read_thread(thread), grade)
    unit, stress = ("N", "MPa") if bolt.thread.system == "metric" else ("lbf", "ksi")
    area = _area(bolt)

    def load(name: str, of: Quantity, makes: Quantity) -> str:
        return f"{name}: {area} × {four(of.m_as(stress))} {stress} = {_force(makes, unit)}"

    working = [
        _area_line(bolt),
        load("Proof load", bolt.proof_stress, bolt.proof_load),
        load("Tensile load", bolt.tensile_stress, bolt.tensile_load),
    ]
    values: dict[str, Any] = {
        "thread": bolt.thread.designation,
        "area": bolt.area,
        "proof_stress": bolt.proof_stress,
        "yield_stress": bolt.yield_stress,
        "tensile_stress": bolt.tensile_stress,
        "proof_load": bolt.proof_load,
        "tensile_load": bolt.tensile_load,
    }
    if grade in ISO:
        first, second = grade.split(".")
        spelt = nominal_yield(grade)
        values["nominal_yield"] = spelt
        working.append(
            f"The marking {grade} spells {first}00 × 0.{second} = {exact(spelt)}; "
            f"guaranteed are {exact(bolt.yield_stress)}"
        )
    lines = (
        Line("Bears (proof load)", _both(bolt.proof_load, bolt)),
        Line("Tears at (at least)", _both(bolt.tensile_load, bolt)),
        Line("Yields at", f"{four(bolt.yield_stress.m_as(stress))} {stress}"),
        Line("Stress area", area),
    )
    source = SOURCE_ISO if grade in ISO else SOURCE_SAE
    return Answer(values, lines, tuple(working), f"{source}. {THREADS}", VALIDITY)


def clamp_answer(torque: Quantity, thread: str, grade: str, state: str, own: float | None = None) -> Answer:
    """Answer how a torque fits a bolt, and what other states of its threads would make of it: see fits."""
    bolt = strength(read_thread(thread), grade)
    factor, said = nut_factor(state, own)
    found = fits(torque, bolt, factor)
    diameter = _diameter(bolt)
    working = [
        f"K = {four(factor)} ({state}): {said}",
        f"Preload: {exact(torque)} / ({four(factor)} × {diameter}) = {_both(found.preload, bolt)}",
        _area_line(bolt),
        f"Proof load: {_both(bolt.proof_load, bolt)}. Share: {_percent(found.share)}",
    ]
    others = {
        name: fits(torque, bolt, each).share for name, (each, _) in NUT_FACTORS.items() if name != state
    }
    working += [
        f"With K {four(NUT_FACTORS[name][0])} ({name}): {_percent(share)}" for name, share in others.items()
    ]
    cautions = [CONTRADICT]
    if found.verdict in ("yields", "breaks"):
        cautions.insert(0, OVER)
    elif found.verdict == "high":
        cautions.insert(0, USUAL)
    elif found.verdict == "low":
        cautions.insert(0, WEAK)
    if found.share <= 1 < max(others.values()):
        cautions.append("On slicker threads than said the same torque would go beyond proof load")
    values = {
        "preload": found.preload,
        "share": found.share,
        "verdict": found.verdict,
        "proof_load": bolt.proof_load,
        "nut_factor": factor,
        "others": others,
    }
    span = f"{_percent(min(others.values()))} to {_percent(max(others.values()))}"
    lines = (
        Line("Preload", _both(found.preload, bolt)),
        Line("Share of proof load", _percent(found.share)),
        Line("Verdict", _SAYS[found.verdict]),
        Line("With other threads", f"{span} of proof load"),
    )
    return Answer(values, lines, tuple(working), _sources(grade, said), VALIDITY_TORQUE, tuple(cautions))


def torque_answer(
    thread: str,
    grade: str,
    state: str,
    own: float | None = None,
    share: Quantity = REUSABLE,
) -> Answer:
    """Answer which torque brings a bolt to a share of its proof load, for when its maker gives none.

    share: more than 0 up to 100 %.
    """
    part = float(share.m_as("percent")) / 100
    if not 0 < part <= 1:
        raise Refused(
            "the share of proof load is not between 0 and 100 %",
            "beyond proof load the bolt stretches for good",
            "Leave it at 75 %, usual for a bolt that comes out again",
        )
    bolt = strength(read_thread(thread), grade)
    factor, said = nut_factor(state, own)
    load = part * bolt.proof_load
    torque = torque_for(load, bolt.thread, factor)
    unit = "N·m" if bolt.thread.system == "metric" else "lbf·ft"
    shown = torque.to("N*m" if unit == "N·m" else "force_pound * foot")
    working = (
        f"K = {four(factor)} ({state}): {said}",
        _area_line(bolt),
        f"Preload: {_percent(part)} of {_both(bolt.proof_load, bolt)} = {_both(load, bolt)}",
        f"Torque: {four(factor)} × {_diameter(bolt)} × {_both(load, bolt)} = {exact(shown)}",
    )
    values = {"torque": torque, "preload": load, "proof_load": bolt.proof_load, "nut_factor": factor}
    lines = (
        line("Torque", shown, unit, "torque", fine_step(shown), "down"),
        Line("Preload", _both(load, bolt)),
        Line("Share of proof load", _percent(part)),
    )
    cautions = (
        "Worked out, for when the part's maker prints no figure. What it screws into may bear less",
        CONTRADICT,
    )
    return Answer(values, lines, working, _sources(grade, said), VALIDITY_TORQUE, cautions)


def lubrication_answer(
    torque: Quantity,
    figure_state: str,
    now_state: str,
    figure_own: float | None = None,
    now_own: float | None = None,
) -> Answer:
    """Answer how much harder or softer a figure clamps on threads in another state than it is meant for.

    The torque that would clamp the same is shown; it changes no figure.
    """
    _sensible(torque, LEAST_K)
    meant, source = nut_factor(figure_state, figure_own)
    now, other = nut_factor(now_state, now_own)
    times = lubricated(meant, now)
    same = torque / times
    working = (
        f"The figure is meant for K = {four(meant)} ({figure_state}): {source}",
        f"Now K = {four(now)} ({now_state}): {other}",
        f"Preload: {four(meant)} / {four(now)} = {four(times)} times as much",
        f"The same preload: {exact(torque)} / {four(times)} = {exact(same)}",
    )
    lines = (
        Line("The same torque clamps", f"{_change(times)}"),
        line("The same preload would take", same, unit_of(torque), "torque", fine_step(same), "down"),
    )
    cautions = [
        "This changes no figure. Bring the threads to the state the figure is meant for, or ask its maker",
        CONTRADICT,
    ]
    if source != other:
        cautions.append("The two K come from different lists: their ratio may mean nothing")
    values = {"times": times, "same": same}
    return Answer(
        values,
        lines,
        working,
        f"{SOURCE_TORQUE}. K: {'; '.join(dict.fromkeys((source, other)))}",
        "The same bolt, once with each state of its threads. What the state is under the head counts as much",
        tuple(cautions),
    )


def engagement_answer(thread: str, material: str) -> Answer:
    """Answer how much thread must hold: 1 diameter in steel, 1.5 to 2 in aluminium (common practice).

    Raises Refused for a material that has no rule here.
    """
    read = read_thread(thread)
    if material not in ENGAGEMENT:
        raise Refused(
            f"there is no rule for {material[:40]}",
            "a soft part strips before the bolt breaks",
            f"Choose {' or '.join(ENGAGEMENT)}, or follow the part's maker",
        )
    least, most = (share * read.diameter for share in ENGAGEMENT[material])
    turns = least / read.pitch
    unit = "mm" if read.system == "metric" else "in"
    step = "0.1" if unit == "mm" else "0.01"
    low, high = ENGAGEMENT[material]
    many = f"{four(low)} to {four(high)}" if high > low else four(low)
    lines = [line("Thread that must hold, at least", least, unit, "length", step, "up")]
    if high > low:
        lines.append(line("Better", most, unit, "length", step, "up"))
    lines.append(Line("Turns, at least", four(float(turns.m_as("")))))
    return Answer(
        {"least": least, "most": most, "turns": float(turns.m_as(""))},
        tuple(lines),
        (f"{many} × {four(read.diameter.m_as('mm'))} mm in {material}",),
        "Common practice, no source",
        "Full threads only: what is chamfered or worn does not count. Bolts up to class 8.8 or grade 5",
    )


def _sensible(torque: Quantity | None, factor: float) -> None:
    if torque is not None and not 0 < float(torque.m_as("N*m")) < float("inf"):
        raise Refused("the torque is not more than 0", "the clamp comes from it", "Write it, such as 25 N·m")
    if not isfinite(factor) or not LEAST_K <= factor <= MOST_K:
        raise Refused(
            f"K is not between {LEAST_K:g} and {MOST_K:g}",
            "no list of K goes beyond",
            "Take one from a list, such as 0.2, or leave it to the list",
        )


def _verdict(load: Quantity, share: float, bolt: Bolt) -> Verdict:
    if float(load.m_as("N")) > float(bolt.tensile_load.m_as("N")):
        return "breaks"
    if share > 1:
        return "yields"
    if share > float(REUSABLE.m_as("percent")) / 100 * (1 + 1e-9):
        return "high"
    return "low" if share < LOW else "fits"


def _sources(grade: str, factor: str) -> str:
    return f"{SOURCE_TORQUE}. {SOURCE_ISO if grade in ISO else SOURCE_SAE}. K: {factor}"


def _force(load: Quantity, unit: str) -> str:
    if unit == "lbf":
        return f"{four(load.m_as('force_pound'))} lbf"
    return f"{four(load.m_as('kN'))} kN"


def _both(load: Quantity, bolt: Bolt) -> str:
    """Return a load in the system of its bolt."""
    return _force(load, "N" if bolt.thread.system == "metric" else "lbf")


def _diameter(bolt: Bolt) -> str:
    if bolt.thread.system == "metric":
        return f"{four(bolt.thread.diameter.m_as('mm'))} mm"
    return f"{four(bolt.thread.diameter.m_as('inch'))} in"


def _area(bolt: Bolt) -> str:
    if bolt.thread.system == "metric":
        return f"{four(bolt.area.m_as('mm**2'))} mm²"
    return f"{four(bolt.area.m_as('inch**2'))} in²"


def _area_line(bolt: Bolt) -> str:
    if bolt.thread.system == "metric":
        size = f"({_diameter(bolt)} − 0.9382 × {four(bolt.thread.pitch.m_as('mm'))} mm)²"
    else:
        size = f"({_diameter(bolt)} − 0.9743 / {bolt.thread.threads_per_inch})²"
    rounded = ", in three figures as ISO 898-1 has it" if bolt.thread.system == "metric" else ""
    return f"Stress area of {bolt.thread.designation}: π/4 × {size} = {_area(bolt)}{rounded}"


def _percent(share: float) -> str:
    """Return a share in whole percents, finer about 100 %, where it decides."""
    percent = share * 100
    return f"{four(percent) if 99 < percent < 101 else f'{percent:.0f}'} %"


def _change(times: float) -> str:
    if abs(times - 1) < 1e-9:
        return "the same"
    return f"{abs(times - 1) * 100:.0f} % {'harder' if times > 1 else 'softer'}"


_THREAD = Ask("thread", "Which thread", "text", "M8x1.25", help="M8, M8x1, 3/8-16 UNC, #10-24.")
_GRADE = Ask(
    "grade",
    "Which class is on the head",
    "choice",
    "8.8",
    choices=CLASSES,
    help="Metric: numbers. Inch: marks.",
)
_OWN_HELP = "Only where the state is “my own number”. 0.05–0.6."


def _states(name: str, ask: str, example: str) -> Ask:
    return Ask(
        name,
        ask,
        "choice",
        example,
        choices=(*NUT_FACTORS, OWN),
        help="The lists contradict each other, so choose yours.",
    )


FIGURES: tuple[Declared, ...] = (
    Declared(
        "clamp",
        "Does a torque fit the bolt",
        "How hard a torque clamps, as a share of what the bolt bears, and what oil on the threads changes.",
        (
            Ask("torque", "Which torque", "torque", "25 N·m"),
            _THREAD,
            _GRADE,
            _states("state", "What are the threads like", "dry (common practice)"),
            Ask("own", "Own number for K", "number", "0.2", required=False, help=_OWN_HELP),
        ),
        clamp_answer,
    ),
    Declared(
        "strength",
        "What a bolt bears",
        "Proof load, tearing load and yield by thread and class.",
        (_THREAD, _GRADE),
        strength_answer,
    ),
    Declared(
        "bolt-torque",
        "Torque where none is printed",
        "The torque that brings a bolt to a share of its proof load.",
        (
            _THREAD,
            _GRADE,
            _states("state", "What are the threads like", "dry (common practice)"),
            Ask("own", "Own number for K", "number", "0.2", required=False, help=_OWN_HELP),
            Ask(
                "share",
                "Share of proof load",
                "share",
                "75 %",
                required=False,
                help="75 % is usual for a bolt that comes out again.",
            ),
        ),
        torque_answer,
    ),
    Declared(
        "lubrication",
        "Other threads than the figure's",
        "How much harder a figure for dry threads clamps on oiled ones, and the reverse.",
        (
            Ask("torque", "Which torque", "torque", "25 N·m"),
            _states("figure_state", "What is the figure meant for", "dry (common practice)"),
            _states("now_state", "What are the threads like now", "oiled (common practice)"),
            Ask("figure_own", "Own K of the figure", "number", "0.2", required=False, help=_OWN_HELP),
            Ask("now_own", "Own K now", "number", "0.16", required=False, help=_OWN_HELP),
        ),
        lubrication_answer,
    ),
    Declared(
        "engagement",
        "How much thread must hold",
        "The least length of thread for a bolt's full strength.",
        (_THREAD, Ask("material", "What it screws into", "choice", "steel", choices=tuple(ENGAGEMENT))),
        engagement_answer,
    ),
)
