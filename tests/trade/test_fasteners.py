"""What a bolt bears and what a torque makes of it. Published: tests/reference/test_bolt_strength.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.fasteners import (
    CONTRADICT,
    FIGURES,
    ISO,
    NUT_FACTORS,
    OVER,
    OWN,
    SAE,
    USUAL,
    WEAK,
    clamp_answer,
    engagement_answer,
    fits,
    lubricated,
    lubrication_answer,
    nominal_yield,
    nut_factor,
    preload,
    strength,
    strength_answer,
    torque_answer,
    torque_for,
)
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.threads import read_thread

DRY = "dry (common practice)"
OILED = "oiled (common practice)"
ANTI_SEIZE = "anti-seize (common practice)"


def nm(value):
    return Q_(float(value), "N*m")


bolts = st.one_of(
    st.tuples(
        st.sampled_from(["M4", "M6", "M8", "M8x1", "M10x1.25", "M14x1.5", "M16"]), st.sampled_from(list(ISO))
    ),
    st.tuples(st.sampled_from(["1/4-20", "3/8-16", "3/8-24", "1/2-13", "1-8"]), st.sampled_from(list(SAE))),
).map(lambda pair: strength(read_thread(pair[0]), pair[1]))
torques = st.floats(0.1, 500).map(nm)
factors = st.floats(0.05, 0.6)


@given(bolts)
def test_a_bolt_is_proof_before_it_yields_and_yields_before_it_tears(bolt):
    assert 0 < bolt.proof_stress < bolt.yield_stress < bolt.tensile_stress
    assert bolt.proof_load < bolt.tensile_load


@given(torques, bolts, factors)
def test_the_torque_of_a_preload_is_the_torque_that_made_it(torque, bolt, factor):
    load = preload(torque, bolt.thread, factor)
    assert torque_for(load, bolt.thread, factor).m_as("N*m") == pytest.approx(torque.m_as("N*m"))


@given(torques, bolts, factors, st.floats(1.01, 3))
def test_more_torque_or_less_friction_clamps_harder_in_proportion(torque, bolt, factor, times):
    share = fits(torque, bolt, factor).share
    assert fits(torque * times, bolt, factor).share == pytest.approx(share * times)
    if factor * times <= 0.6:
        assert fits(torque, bolt, factor * times).share == pytest.approx(share / times)


@given(factors, factors)
def test_oil_and_back_is_no_change(one, other):
    assert lubricated(one, other) * lubricated(other, one) == pytest.approx(1)
    assert (lubricated(one, other) > 1) == (one > other)


@given(torques, bolts, factors)
def test_the_verdict_goes_by_what_the_bolt_bears(torque, bolt, factor):
    found = fits(torque, bolt, factor)
    assert (found.verdict in ("yields", "breaks")) == (found.preload > bolt.proof_load)
    assert (found.verdict == "breaks") == (found.preload > bolt.tensile_load)
    assert (found.verdict == "low") == (found.share < 0.25)


@given(bolts, factors, st.floats(1, 100))
def test_a_torque_worked_out_for_a_share_of_proof_gives_that_share(bolt, factor, percent):
    answer = torque_answer(bolt.thread.designation, bolt.grade, OWN, factor, Q_(percent, "percent"))
    assert fits(answer.value["torque"], bolt, factor).share == pytest.approx(percent / 100)


@given(bolts, factors)
def test_the_usual_share_is_never_called_too_much(bolt, factor):
    answer = torque_answer(bolt.thread.designation, bolt.grade, OWN, factor)
    assert fits(answer.value["torque"], bolt, factor).verdict == "fits"
    shown = answer.lines[0].figure
    unit = "N*m" if shown.unit == "N·m" else "force_pound * foot"
    assert Q_(float(shown.nominal), unit) <= answer.value["torque"] * (1 + 1e-9)


def test_25_newton_metres_fit_a_dry_m8_and_yield_a_slick_one():
    """36.6 mm² · 580 MPa = 21.2 kN (ISO 898-1); 25 N·m / (0.20 · 8 mm) = 15.6 kN, with 0.12: 26.0 kN."""
    dry = clamp_answer(nm(25), "M8", "8.8", DRY)
    assert [line.text for line in dry.lines[:3]] == ["15.62 kN", "74 %", "It fits"]
    assert OVER not in dry.cautions
    assert "On slicker threads than said the same torque would go beyond proof load" in dry.cautions
    slick = clamp_answer(nm(25), "M8", "8.8", ANTI_SEIZE)
    assert [line.text for line in slick.lines[:2]] == ["26.04 kN", "123 %"]
    assert slick.value["verdict"] == "yields"
    assert slick.cautions[0] == OVER


@pytest.mark.parametrize(
    "torque, verdict, caution",
    [(8, "low", WEAK), (25, "fits", None), (30, "high", USUAL), (35, "yields", OVER), (60, "breaks", OVER)],
)
def test_each_verdict_comes_with_its_caution(torque, verdict, caution):
    answer = clamp_answer(nm(torque), "M8", "8.8", DRY)
    assert answer.value["verdict"] == verdict
    assert {WEAK, USUAL, OVER} & set(answer.cautions) == ({caution} if caution else set())


def test_the_torque_asked_about_is_never_changed_by_what_is_on_the_threads():
    answer = lubrication_answer(nm(25), DRY, OILED)
    assert answer.lines[0].text == "25 % harder"
    assert answer.value["same"].m_as("N*m") == pytest.approx(20)
    assert any("changes no figure" in caution for caution in answer.cautions)
    assert lubrication_answer(nm(25), OILED, DRY).lines[0].text == "20 % softer"
    assert lubrication_answer(nm(25), DRY, DRY).lines[0].text == "the same"


def test_two_lists_of_k_are_not_mixed_without_a_word():
    mixed = lubrication_answer(nm(25), "nonplated, black finish (Shigley)", OILED)
    assert any("come from different lists" in caution for caution in mixed.cautions)
    same = lubrication_answer(nm(25), "nonplated, black finish (Shigley)", "lubricated (Shigley)")
    assert not any("come from different lists" in caution for caution in same.cautions)


@pytest.mark.parametrize("state", NUT_FACTORS)
def test_k_is_never_shown_without_its_source_and_the_doubt_about_it(state):
    answer = clamp_answer(nm(25), "M8", "8.8", state)
    factor, source = NUT_FACTORS[state]
    assert answer.working[0] == f"K = {factor:g} ({state}): {source}"
    assert source in answer.source
    assert CONTRADICT in answer.cautions


def test_a_bolt_of_the_other_system_is_not_compared():
    with pytest.raises(Refused, match="belongs to the other system"):
        strength(read_thread("M8"), "grade 5")
    with pytest.raises(Refused, match=r"belongs to the other system.*grade 2, grade 5, grade 8"):
        strength(read_thread("3/8-16"), "8.8")


@pytest.mark.parametrize(
    "thread, grade, covers",
    [
        ("M20", "9.8", "1.6 to 16 mm"),
        ("M42", "8.8", "1.6 to 39 mm"),
        ("M1.4", "8.8", "1.6 to 39 mm"),
        ("#10-24", "grade 5", "0.25 to 1.5 in"),
        ("1 3/4-5", "grade 8", "0.25 to 1.5 in"),
    ],
)
def test_no_strength_is_said_that_the_standard_does_not_cover(thread, grade, covers):
    with pytest.raises(Refused) as refused:
        strength(read_thread(thread), grade)
    assert covers in refused.value.why


def test_a_marking_promises_less_than_it_guarantees_and_both_are_shown():
    answer = strength_answer("M8", "10.9")
    assert answer.working[-1] == "The marking 10.9 spells 1000 × 0.9 = 900 MPa; guaranteed are 940 MPa"
    assert answer.lines[0].text == "30.38 kN"  # 36.6 mm² · 830 MPa; ISO 898-1 prints 30 400 N
    with pytest.raises(Refused, match="spells no stress"):
        nominal_yield("grade 5")


def test_an_inch_bolt_is_answered_in_pounds():
    """0.1419 in² · 85 ksi (Shigley, Table 8-2; SAE J429)."""
    assert strength_answer("1/2-13", "grade 5").lines[0].text == "12060 lbf"


@pytest.mark.parametrize(
    "ask, what",
    [
        (lambda: clamp_answer(nm(0), "M8", "8.8", DRY), "torque is not more than 0"),
        (lambda: clamp_answer(nm("nan"), "M8", "8.8", DRY), "torque is not more than 0"),
        (lambda: clamp_answer(nm(25), "8 mm", "8.8", DRY), "no thread that can be read"),
        (lambda: clamp_answer(nm(25), "M8", "7.7", DRY), "is not known here"),
        (lambda: clamp_answer(nm(25), "M8", "8.8", OWN), "no number for K"),
        (lambda: clamp_answer(nm(25), "M8", "8.8", OWN, 2.0), "K is not between 0.05 and 0.6"),
        (lambda: clamp_answer(nm(25), "M8", "8.8", OWN, float("nan")), "K is not between"),
        (lambda: clamp_answer(nm(25), "M8", "8.8", DRY, 0.15), "K is given twice"),
        (lambda: clamp_answer(nm(25), "M8", "8.8", "greasy"), "in no list of K"),
        (lambda: torque_answer("M8", "8.8", DRY, share=Q_(110, "percent")), "share of proof load"),
        (lambda: torque_answer("M8", "8.8", DRY, share=Q_(0, "percent")), "share of proof load"),
        (lambda: torque_for(Q_(0, "N"), read_thread("M8"), 0.2), "preload is not more than 0"),
        (lambda: lubrication_answer(nm(-1), DRY, OILED), "torque is not more than 0"),
        (lambda: engagement_answer("M8", "wood"), "no rule for wood"),
    ],
)
def test_what_has_no_honest_answer_is_refused(ask, what):
    with pytest.raises(Refused, match=what):
        ask()


def test_the_same_k_said_twice_is_no_contradiction():
    assert nut_factor(DRY, 0.2) == nut_factor(DRY)


@given(bolts)
def test_aluminium_wants_half_as_much_thread_again_as_steel(bolt):
    """1 diameter in steel, 1.5 to 2 in aluminium: common practice, no source."""
    name = bolt.thread.designation
    steel, soft = engagement_answer(name, "steel").value, engagement_answer(name, "aluminium").value
    assert steel["least"] == bolt.thread.diameter
    assert soft["least"] == 1.5 * bolt.thread.diameter
    assert soft["most"] == 2 * bolt.thread.diameter


def test_the_length_that_must_hold_is_never_rounded_down():
    assert engagement_answer("1/4-20", "aluminium").lines[0].text == "0.38 in"  # 0.375


def test_the_figures_are_named():
    assert [each.name for each in FIGURES] == [
        "clamp",
        "strength",
        "bolt-torque",
        "lubrication",
        "engagement",
    ]
