"""Minutes until it is cool or warm: an estimate from two readings that says how far it may be off."""

import contextlib
import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from webapp.trade.heat import (
    COOL_SOURCE,
    COOL_VALIDITY,
    DECIDES,
    INSIDE,
    LATE,
    POCKET,
    WARM_SOURCE,
    WARM_VALIDITY,
    answer_cool_down,
    answer_warm_up,
    cool_down,
    time_constant,
    warm_up,
)
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused


def celsius(degrees):
    return Q_(degrees, "degC")


def minutes(count):
    return Q_(count, "min")


def cooling(first=88, second=76, between=10, bay=20, target=50):
    return celsius(first), celsius(second), minutes(between), celsius(bay), celsius(target)


def warming(first=40, second=60, between=5, opening=88):
    return celsius(first), celsius(second), minutes(between), celsius(opening)


def test_from_88_to_76_in_ten_minutes_leaves_about_32_to_50():
    """10 / ln(68/56) = 51.5 min; 51.5 · ln(56/30) = 32.1 min. By hand."""
    got = answer_cool_down(*cooling())
    assert got.value["time_constant"].m_as("min") == pytest.approx(51.5, abs=0.05)
    assert got.value["left"].m_as("min") == pytest.approx(32.1, abs=0.1)
    assert [(line.label, line.text) for line in got.lines] == [
        ("About", "32 min"),
        ("At least", "29 min"),
        ("At most", "36 min"),
    ]
    assert got.working == (
        "Warmer than the bay: 68 °C at first, then 56 °C, 30 °C wanted",
        "τ = 10 min / ln(68 / 56) = 51.5 min",
        "51.5 min × ln(56 / 30) = 32.1 min",
        "Least and most: each reading 0.5 °C off, either way",
    )
    assert (got.source, got.validity) == (COOL_SOURCE, COOL_VALIDITY)


def test_the_reading_decides_and_the_answer_says_so():
    assert answer_cool_down(*cooling()).cautions == (DECIDES, INSIDE)
    assert answer_warm_up(*warming()).cautions == (DECIDES, POCKET, LATE)


@given(
    bay=st.floats(-20, 40),
    start=st.floats(20, 120),
    tau=st.floats(15, 150),
    between=st.floats(5, 30),
    share=st.floats(0.1, 0.9),
)
def test_what_cools_by_newtons_law_is_there_when_it_is_said_to_be(bay, start, tau, between, share):
    """Made with a known τ, read twice: the estimate finds τ again, and the curve ends at the target."""
    now = start * math.exp(-between / tau)
    target = now * share
    assume(start - now > 2.1 and target > 2.1)
    readings = cooling(bay + start, bay + now, between, bay, bay + target)
    assert time_constant(*readings[:4]).m_as("min") == pytest.approx(tau, rel=1e-6)
    likely, least, most = (time.m_as("min") for time in cool_down(*readings))
    assert start * math.exp(-(between + likely) / tau) == pytest.approx(target, rel=1e-6)
    assert least <= likely <= most


@given(bay=st.floats(-10, 40), between=st.floats(1, 60), times=st.floats(1.1, 4))
def test_twice_the_time_between_the_readings_is_twice_the_wait(bay, between, times):
    once = cool_down(*cooling(between=between, bay=bay))[0].m_as("min")
    assume(once * times < 1440)
    assert cool_down(*cooling(between=between * times, bay=bay))[0].m_as("min") == pytest.approx(once * times)


@given(target=st.floats(40, 75), more=st.floats(0.1, 10), bay=st.floats(-10, 20))
def test_cooler_takes_longer_and_so_does_a_warmer_bay(target, more, bay):
    assert cool_down(*cooling(target=target - more))[0] > cool_down(*cooling(target=target))[0]
    cold, mild = (cool_down(*cooling(target=target, bay=air))[0].m_as("min") for air in (bay, bay + 2))
    assert mild >= cold * (1 - 1e-9)


def test_degrees_of_either_scale_give_the_same_wait():
    fahrenheit = [
        Q_(degrees, "degF") if degrees else minutes(10) for degrees in (190.4, 168.8, None, 68, 122)
    ]
    assert cool_down(*fahrenheit)[0].m_as("min") == pytest.approx(cool_down(*cooling())[0].m_as("min"))


def test_what_is_cool_enough_already_waits_no_more():
    got = answer_cool_down(*cooling(target=80))
    assert got.value["left"].m_as("min") == 0
    assert got.lines[0].text == "0 min"
    assert got.working[2] == "76 °C is no more than 80 °C: it is there"


def test_a_small_change_leaves_a_wide_span():
    sure, vague = (answer_cool_down(*cooling(second=second)).value for second in (70, 85))
    assert sure["most"] / sure["least"] < 1.3
    assert vague["most"] / vague["least"] > 1.8


def test_the_curve_goes_through_the_readings_and_ends_at_the_target():
    got = answer_cool_down(*cooling())
    assert got.axes == ("min", "°C")
    curve = got.curves["cooling"]
    assert curve[0] == (0, 88)
    assert curve[-1] == pytest.approx((10 + got.value["left"].m_as("min"), 50))
    assert all(after[1] < before[1] for before, after in pairwise(curve))


@pytest.mark.parametrize(
    "readings, what",
    [
        ({"second": 88}, "it is not cooling"),
        ({"second": 90}, "it is not cooling"),
        ({"second": 86.5}, "the readings are less than 2 °C apart"),
        ({"target": 15}, "15 °C is not at least 2 °C above the bay's 20 °C"),
        ({"target": 21}, "21 °C is not at least 2 °C above the bay's 20 °C"),
        ({"second": 18}, "a reading of 18 °C in a bay of 20 °C"),
        ({"bay": 76}, "a reading of 76 °C in a bay of 76 °C"),
        ({"bay": 100, "target": 110}, "a reading of 76 °C in a bay of 100 °C"),
        ({"between": 0}, "the time between the readings is not between 1 and 240 min"),
        ({"between": float("nan")}, "the time between the readings is not between 1 and 240 min"),
        ({"between": 600}, "the time between the readings is not between 1 and 240 min"),
        ({"first": 300}, "the first reading is not between −40 and 200 °C"),
        ({"bay": float("nan")}, "the bay's temperature is not between −40 and 200 °C"),
        ({"second": 85, "between": 240, "target": 23}, "it would take more than a day"),
    ],
)
def test_what_does_not_cool_or_never_gets_there_is_refused_in_words(readings, what):
    with pytest.raises(Refused) as refused:
        answer_cool_down(*cooling(**readings))
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


def test_from_40_to_60_in_five_minutes_opens_at_88_in_6_to_15():
    """28 °C to go: at the pace read, a little sooner than 7 min; at half of it, a little later than 14."""
    got = answer_warm_up(*warming())
    assert [line.text for line in got.lines] == ["6 min", "15 min"]
    assert got.working == (
        "Warmed 20 °C in 5 min, 28 °C to go",
        "Least: 5 min × (28 − 0.5) / (20 + 1) = 6.5 min",
        "Most: 5 min × (28 + 0.5) / ((20 − 1) × 0.5) = 15 min",
    )
    assert (got.source, got.validity) == (WARM_SOURCE, WARM_VALIDITY)
    assert got.curves["fast"][-1][1] == got.curves["slow"][-1][1] == 88


@given(
    first=st.floats(-20, 50), rise=st.floats(2.5, 30), between=st.floats(1, 30), opening=st.floats(81, 110)
)
def test_the_window_holds_the_pace_and_half_the_pace(first, rise, between, opening):
    pace = rise / between
    at_pace = (opening - first - rise) / pace
    assume(at_pace < 1440)
    least, most = (time.m_as("min") for time in warm_up(*warming(first, first + rise, between, opening)))
    assert 0 <= least < at_pace < 2 * at_pace < most


@given(tau=st.floats(5, 30), end=st.floats(110, 160), between=st.floats(2, 6))
def test_an_engine_that_loses_more_heat_as_it_warms_opens_no_sooner_than_the_least(tau, end, between):
    """Warmed by a steady heat from 20 °C toward an end it would reach with the thermostat shut."""
    second = end - (end - 20) * math.exp(-between / tau)
    assume(22 < second < 85)
    opens = tau * math.log((end - second) / (end - 88))
    least, _ = warm_up(*warming(20, second, between))
    assert least.m_as("min") < opens


@given(opening=st.floats(70, 100), more=st.floats(0.1, 10))
def test_a_later_opening_never_takes_less_time(opening, more):
    early, late = (warm_up(*warming(opening=at)) for at in (opening, opening + more))
    assert late[0] > early[0]
    assert late[1] > early[1]


@pytest.mark.parametrize(
    "readings, what",
    [
        ({"second": 40}, "it is not getting warmer"),
        ({"second": 35}, "it is not getting warmer"),
        ({"second": 41}, "the readings are less than 2 °C apart"),
        ({"second": 90}, "90 °C is past the opening temperature already"),
        ({"opening": 40}, "no thermostat opens at 40 °C"),
        ({"opening": 150}, "no thermostat opens at 150 °C"),
        ({"between": 0}, "the time between the readings is not between 1 and 240 min"),
        ({"first": float("nan")}, "the first reading is not between −40 and 200 °C"),
        ({"second": 42.5, "between": 240}, "it would take more than a day"),
    ],
)
def test_what_does_not_warm_or_is_past_it_is_refused_in_words(readings, what):
    with pytest.raises(Refused) as refused:
        answer_warm_up(*warming(**readings))
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


@given(a=st.floats(), b=st.floats(), c=st.floats(), d=st.floats(), e=st.floats())
def test_no_number_whatever_gives_anything_but_an_answer_or_a_refusal(a, b, c, d, e):
    with contextlib.suppress(Refused):
        answer_cool_down(*cooling(a, b, c, d, e))
    with contextlib.suppress(Refused):
        answer_warm_up(*warming(a, b, c, d))
    with contextlib.suppress(Refused):
        answer_cool_down(*cooling(100 + a % 50, 40 + b % 50, 10, d, e))
