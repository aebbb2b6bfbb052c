"""The drill for a hole and its speed. Published values: tests/reference/test_drill_sizes.py and others."""

import contextlib
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.drills import (
    BY_HAND,
    CARBON_STEEL,
    DRAWERS,
    DRILLS,
    FIRST,
    MATERIALS,
    SLOWER,
    SOURCE,
    SPEEDS,
    STEP,
    VALIDITY,
    cutting_speed,
    drill,
    drills,
    nearest,
    pilots,
    read_drill,
    speed,
)
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

drawers = st.sampled_from(list(DRAWERS.values()))
holes = st.floats(0.6, 27)
every = [each for series in DRILLS.values() for each in series]


def mm(size):
    return Q_(size, "mm")


@pytest.mark.parametrize("known", every, ids=lambda known: known.name)
def test_every_drill_is_found_again_by_its_own_size(known):
    found = nearest(known.diameter, (known.series,))
    assert found.drill == known
    assert found.off.m_as("mm") == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("known", every, ids=lambda known: known.name)
def test_every_drill_is_read_by_its_own_name(known):
    assert read_drill(known.name).mm == pytest.approx(known.mm, abs=1e-9)


@pytest.mark.parametrize(
    "text, size",
    [
        ("27/64", 27 / 64 * 25.4),
        ("1 11/64 in", 75 / 64 * 25.4),
        ('1-11/64"', 75 / 64 * 25.4),
        ("0.201 in", 0.201 * 25.4),
        (".201 in", 0.201 * 25.4),
        ("f", 0.257 * 25.4),
        ("6.8mm", 6.8),
        (" #7 ", 0.201 * 25.4),
    ],
)
def test_a_drill_is_read_as_the_trade_writes_it(text, size):
    assert read_drill(text).mm == pytest.approx(size)


@pytest.mark.parametrize(
    "text", ["", "7", "#81", "AA", "6,8 mm", "0 mm", "1/0", "0/64", "-3 mm", "6.8", "nan mm"]
)
def test_what_may_be_another_drill_is_not_guessed(text):
    with pytest.raises(Refused, match="names no drill"):
        read_drill(text)


@given(hole=holes, series=drawers)
def test_no_drill_of_the_drawer_is_nearer(hole, series):
    found = nearest(mm(hole), series)
    assert abs(found.off.m_as("mm")) <= min(abs(known.mm - hole) for known in drills(series)) + 2e-6
    assert found.drill.mm - hole == pytest.approx(found.off.m_as("mm"), abs=1e-9)


@given(hole=holes, series=drawers)
def test_up_is_never_smaller_and_down_never_larger(hole, series):
    up, down = nearest(mm(hole), series, "up"), nearest(mm(hole), series, "down")
    assert up.drill.mm >= hole - 1e-6
    assert down.drill.mm <= hole + 1e-6
    assert nearest(mm(hole), series).drill in (up.drill, down.drill)
    assert up.drill == down.drill or up.smaller == down.drill


@given(hole=holes, more=st.floats(0, 5), series=drawers)
def test_a_wider_hole_never_takes_a_smaller_drill(hole, more, series):
    assert nearest(mm(hole + more), series).drill.mm >= nearest(mm(hole), series).drill.mm


def test_of_two_equally_near_the_larger_is_taken():
    """6.75 mm lies between 6.7 and 6.8 mm: the tap turns easier in the larger hole."""
    assert nearest(mm(6.75), ("metric",)).drill.name == "6.8 mm"


def test_the_neighbours_stand_beside_the_drill():
    found = nearest(Q_(0.201, "in"), DRAWERS["inch"])
    assert (found.smaller.name, found.drill.name, found.larger.name) == ("#8", "#7", "13/64 in")


def test_a_quarter_inch_drill_is_not_listed_twice():
    assert [known.name for known in drills(DRAWERS["inch"]) if abs(known.mm - 6.35) < 1e-6] == ["1/4 in"]


@pytest.mark.parametrize("series", DRAWERS.values(), ids=str)
def test_a_drawer_is_sorted_and_holds_no_size_twice(series):
    assert all(small.mm < large.mm for small, large in pairwise(drills(series)))


@given(cutting=st.floats(5, 120), size=st.floats(0.5, 40), times=st.floats(1.1, 10))
def test_the_rim_always_cuts_at_the_same_speed(cutting, size, times):
    """Twice the width, half the turns: what the rim runs in a minute is the cutting speed again."""
    turns = speed(mm(size), Q_(cutting, "m/min")).m_as("rpm")
    assert turns * 3.141592653589793 * size / 1000 == pytest.approx(cutting)
    assert speed(mm(size * times), Q_(cutting, "m/min")).m_as("rpm") == pytest.approx(turns / times)
    assert speed(Q_(size / 25.4, "in"), Q_(cutting / 0.3048, "ft/min")).m_as("rpm") == pytest.approx(turns)


@given(size=holes, series=drawers)
def test_no_step_of_the_pilots_is_too_wide_for_the_hole_before(size, series):
    final = nearest(mm(size), series).drill
    steps = [*pilots(final.diameter, series), final]
    assert all(small.mm < large.mm <= STEP * small.mm + 1e-6 for small, large in pairwise(steps))
    assert steps[0].mm <= FIRST + 1e-6
    assert set(steps) <= set(drills(series)) | {final}


def test_a_small_hole_needs_no_pilot():
    assert pilots(mm(6), ("metric",)) == ()
    assert [step.name for step in pilots(mm(14.5), ("metric",))] == ["3.7 mm", "7.3 mm"]


def ask(hole=8.5, drawer="metric", material="mild steel", speeds="NAVEDTRA 14345", **more):
    return drill(mm(hole), drawer, material, speeds, **more)


def test_a_drill_held_by_hand_turns_at_half_the_speed():
    press, hand = ask(machine="drill press").value, ask().value
    assert hand["slowest"].m_as("rpm") == pytest.approx(BY_HAND * press["slowest"].m_as("rpm"))
    assert hand["fastest"].m_as("rpm") == pytest.approx(BY_HAND * press["fastest"].m_as("rpm"))


def test_a_carbon_steel_drill_turns_at_half_the_speed():
    fast, slow = ask().value, ask(tool="carbon steel").value
    assert slow["fastest"].m_as("rpm") == pytest.approx(CARBON_STEEL * fast["fastest"].m_as("rpm"))


def test_a_machine_is_never_asked_for_more_than_it_turns():
    held = ask(hole=3, material="aluminium", fastest=Q_(1500, "rpm"))
    assert held.value["fastest"].m_as("rpm") == pytest.approx(1500)
    assert any("1500 rpm at most" in caution for caution in held.cautions)
    free = ask(fastest=Q_(3000, "rpm"))
    assert free.cautions == (SLOWER,)
    assert free.value["fastest"] == ask().value["fastest"]


def test_the_working_can_be_followed_with_a_pencil():
    got = ask()
    assert got.working == (
        "Hole 8.5 mm (0.3346 in), nearest of the drawer “metric”: 8.5 mm (0.3346 in)",
        "1000 × 24.38 m/min / (π × 8.5 mm) = 913 rpm, × 0.5 = 457 rpm",
        "1000 × 33.53 m/min / (π × 8.5 mm) = 1256 rpm, × 0.5 = 628 rpm",
        "No step more than 2 times as wide as the hole before, the first at most 6 mm",
    )
    assert pytest.approx(913, abs=0.5) == 1000 * 24.38 / 3.14159 / 8.5
    assert [(line.label, line.text) for line in got.lines] == [
        ("Drill", "8.5 mm (0.3346 in)"),
        ("Off by", "nothing"),
        ("Speed", "450 rpm"),
        ("Speed at most", "620 rpm"),
        ("Drill first", "4.3 mm"),
        ("Next smaller", "8.4 mm (0.3307 in)"),
        ("Next larger", "8.6 mm (0.3386 in)"),
    ]
    assert (got.source, got.validity) == (SOURCE, VALIDITY)


def test_how_far_the_nearest_drill_is_off_is_said_in_both_units():
    assert ask(drawer="inch fractions").lines[1].text == "0.17 mm (0.0065 in) smaller"


@given(hole=holes, material=st.sampled_from(MATERIALS), speeds=st.sampled_from(list(SPEEDS)))
def test_a_shown_speed_never_exceeds_the_list(hole, material, speeds):
    with contextlib.suppress(Refused):
        got = ask(hole=hole, material=material, speeds=speeds, machine="drill press")
        most = got.value["fastest"].m_as("rpm")
        shown = [float(line.figure.low) for line in got.lines if line.figure]
        assert max(shown) <= most + 1e-6
        rim = most * 3.141592653589793 * got.value["diameter"].m_as("mm") / 1000
        assert rim == pytest.approx(cutting_speed(material, speeds)[1].m_as("m/min"))


@pytest.mark.parametrize(
    "question, what",
    [
        ({"hole": 0}, "the diameter is no number above 0"),
        ({"hole": float("nan")}, "the diameter is no number above 0"),
        ({"hole": 40}, "no drill for 40 mm (1.5748 in) in this drawer"),
        ({"hole": 0.2}, "no drill for 0.2 mm (0.0079 in) in this drawer"),
        ({"drawer": "letters"}, "no drawer is called “letters”"),
        ({"material": "brass", "speeds": "shop rule"}, "the list “shop rule” has no cutting speed for brass"),
        ({"material": "glass"}, "the list “NAVEDTRA 14345” has no cutting speed for glass"),
        ({"fastest": Q_(0, "rpm")}, "the machine's own speed is no number above 0"),
        ({"fastest": Q_(float("nan"), "rpm")}, "the machine's own speed is no number above 0"),
    ],
)
def test_what_has_no_honest_answer_is_refused_in_words(question, what):
    with pytest.raises(Refused) as refused:
        ask(**question)
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


def test_a_list_without_the_material_names_the_one_that_has_it():
    with pytest.raises(Refused, match="Take the list “NAVEDTRA 14345”"):
        cutting_speed("brass", "shop rule")


@pytest.mark.parametrize("cutting", [0.0, -3.0, float("nan"), float("inf")])
def test_a_rim_that_does_not_cut_has_no_speed(cutting):
    with pytest.raises(Refused, match="the cutting speed is no number above 0"):
        speed(mm(5), Q_(cutting, "m/min"))


@given(size=st.floats(), most=st.none() | st.floats())
def test_no_number_whatever_gives_anything_but_an_answer_or_a_refusal(size, most):
    with contextlib.suppress(Refused):
        ask(hole=size, fastest=None if most is None else Q_(most, "rpm"))
    with contextlib.suppress(Refused):
        pilots(mm(size), ("metric",))
