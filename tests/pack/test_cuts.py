"""What a cut leaves to be worked out stands in its drill line, marked, and never beside an author's own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.cuts import METALS, in_drawers, turning
from webapp.trade.drills import read_drill

from .writing import pack, result, step

DRILLS = "actions:\n  - drill: hole\n"


def line_of(cut: str):
    """Return the drill action's line of a pack with this cut, whatever else the compiler warns of."""
    text = pack(f"cuts:\n  hole: {{name: bracket hole, {cut}}}\n", step("Drill the hole", DRILLS))
    found = result(text)
    assert found.pack is not None, [finding.text() for finding in found.findings]
    (one,) = found.pack.steps
    return one.lines[0]


def cut_of(cut: str):
    """Return the cut itself, as the compiler read it."""
    found = result(pack(f"cuts:\n  hole: {{name: bracket hole, {cut}}}\n", step("Drill the hole", DRILLS)))
    assert found.pack is not None
    return found.pack.front.cuts["hole"]


def figures(line) -> list[tuple[str, str]]:
    return [(one.label, one.text or one.amount.written) for one in line.figures]


def notes(line) -> str:
    return " · ".join(line.notes)


def test_a_thread_without_a_drill_gets_the_usual_one_with_the_thread_it_leaves():
    """M8x1.25 is tapped after 6.8 mm: ISO 2306. 17/64 in leaves (8 − 6.747) / (1.299 × 1.25) = 77 %."""
    line = line_of("into: steel, thread: M8x1.25")
    assert ("drill with, worked out", "6.8 mm") in figures(line)
    assert "worked out: 6.8 mm leaves 74 % of the thread" in line.notes
    assert "worked out: from an inch drawer 17/64 in, leaves 77 % of the thread" in line.notes


def test_a_unified_thread_is_drilled_from_the_inch_drawer():
    """1/4-20 is tapped after #7, 0.201 in: the usual chart of tap drills, Machinery's Handbook."""
    assert ("drill with, worked out", "#7") in figures(line_of("into: brass, thread: 1/4-20 UNC"))


def test_an_authors_drill_stands_alone_with_the_thread_it_leaves():
    line = line_of("into: steel, drill: 7 mm, thread: M8x1.25")
    assert ("drill with", "7 mm") in figures(line)
    assert not [label for label, _ in figures(line) if label.startswith("drill with, worked out")]
    assert "worked out: 7 mm leaves 62 % of the thread" in line.notes
    assert "inch drawer" not in notes(line)


@pytest.mark.parametrize(
    "drill, said",
    [
        ("7.5 mm", "strips before its screw breaks"),
        ("6.5 mm", "the tap turns hard and may break"),
        ("8 mm", "nothing is left to cut a thread in"),
        ("5 mm", "the tap does not go in"),
    ],
)
def test_a_drill_that_does_not_suit_its_thread_is_never_passed_over_in_silence(drill, said):
    assert said in notes(line_of(f"into: steel, drill: {drill}, thread: M8x1.25"))


def test_a_drill_beyond_what_finds_its_own_way_gets_pilot_steps():
    """No wider than 6 mm first, and no step more than twice as wide as the hole before it."""
    assert figures(line_of("into: steel, drill: 6 mm")) == [("drill with", "6 mm")]
    line = line_of("into: steel, drill: 13 mm")
    wanted = [("pilot, worked out", "3.3 mm"), ("pilot, worked out", "6.5 mm"), ("drill with", "13 mm")]
    assert figures(line) == wanted


def test_an_authors_pilots_are_not_added_to():
    line = line_of("into: steel, drill: 12 mm, pilot: [4 mm]")
    assert figures(line) == [("pilot", "4 mm"), ("drill with", "12 mm")]


def test_the_speed_is_that_of_the_list_and_half_of_it_by_hand():
    """80–110 ft/min for mild steel (NAVEDTRA 14345): 24.4 m/min / (π × 10 mm) = 776 rpm, 33.5 gives 1067."""
    said = notes(line_of("into: steel, drill: 10 mm"))
    assert (
        "turn it at 380–530 rpm by hand, 770–1060 rpm in a drill press (for mild steel: NAVEDTRA 14345)"
        in said
    )


@given(into=st.sampled_from(["steel", "cast-iron", "aluminium", "brass"]), tenths=st.integers(10, 250))
def test_every_speed_says_the_slow_end_first_and_the_hand_slower_than_the_press(into, tenths):
    said = turning(read_drill(f"{tenths / 10:g} mm"), METALS[into])
    hand, press = said.removeprefix("turn it at ").split(" rpm by hand, ")
    (slow, fast), (least, most) = (part.split(" rpm")[0].split("–") for part in (hand, press))
    assert int(slow) <= int(fast) <= int(most)
    assert int(slow) <= int(least) <= int(most)


@pytest.mark.parametrize("drill", ["'#7'", "letter F", "17/64 in"])
def test_a_drill_by_name_has_a_speed_too(drill):
    assert "rpm by hand" in notes(line_of(f"into: steel, drill: {drill}"))


@pytest.mark.parametrize("cut", ["into: plastic, drill: 10 mm", "into: plastic, thread: M8x1.25"])
def test_nothing_is_worked_out_for_plastic(cut):
    line = line_of(cut)
    assert "worked out" not in notes(line) + str(figures(line))


@pytest.mark.parametrize("cut", ["into: steel, drill: step drill", "into: steel, thread: G 1/4"])
def test_nothing_is_worked_out_for_what_is_no_twist_drill_and_no_screw_thread(cut):
    line = line_of(cut)
    assert "worked out" not in notes(line) + str(figures(line))


def test_the_same_pack_is_always_the_same_bytes():
    text = pack("cuts:\n  hole: {name: bracket hole, into: steel, drill: 12 mm}\n", step("Drill", DRILLS))
    one, other = result(text).pack, result(text).pack
    assert one is not None
    assert other is not None
    assert one.canonical == other.canonical


def test_the_nearest_drill_of_each_series_says_how_far_it_is_off_and_what_thread_it_leaves():
    """M8x1.25 after 6.8 mm: 17/64 in is 6.747 mm; H is 0.266 in, 6.756 mm; the widest number drill is #1."""
    found = {
        series: (off, words) for series, off, words in in_drawers(cut_of("into: steel, thread: M8x1.25"))
    }
    assert found["metric"] == (0, "6.8 mm")
    off, left = found["fraction"][1].split("; ")
    assert off == "17/64 in (0.2656 in, 6.75 mm), 0.05 mm (0.0021 in) smaller"
    assert left == "17/64 in leaves 77 % of the thread"
    assert found["letter"][1].startswith("H (")
    assert "number" not in found
