"""Any two of torque, speed and power give the third. Published values: tests/reference/test_dyno.py."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.power import FIGURES, SAME_SHAFT, WHICH_HP, power, power_of, speed_of, torque_of
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

torques = st.floats(0.1, 5000)
speeds = st.floats(1, 20_000)


@given(t=torques, n=speeds)
def test_power_is_torque_times_speed_both_ways(t, n):
    watts = power_of(Q_(t, "N*m"), Q_(n, "rpm"))
    assert watts.m_as("W") == pytest.approx(t * 2 * pi * n / 60)
    assert torque_of(watts, Q_(n, "rpm")).m_as("N*m") == pytest.approx(t)
    assert speed_of(watts, Q_(t, "N*m")).m_as("rpm") == pytest.approx(n)


@given(t=torques, n=speeds, k=st.floats(0.1, 3))
def test_twice_the_torque_or_twice_the_speed_is_twice_the_power(t, n, k):
    once = power_of(Q_(t, "N*m"), Q_(n, "rpm")).m_as("kW")
    assert power_of(Q_(k * t, "N*m"), Q_(n, "rpm")).m_as("kW") == pytest.approx(k * once)
    assert power_of(Q_(t, "N*m"), Q_(k * n, "rpm")).m_as("kW") == pytest.approx(k * once)


@given(t=torques, n=speeds)
def test_whichever_two_are_given_all_three_are_the_same(t, n):
    torque, speed = Q_(t, "N*m"), Q_(n, "rpm")
    kilowatts = power_of(torque, speed)
    for given_two in (
        {"torque": torque, "speed": speed},
        {"power": kilowatts, "speed": speed},
        {"power": kilowatts, "torque": torque},
        {"torque": torque, "speed": speed, "power": kilowatts},
    ):
        got = power(**given_two).value
        assert got["torque"].m_as("N*m") == pytest.approx(t)
        assert got["speed"].m_as("rpm") == pytest.approx(n)
        assert got["power"].m_as("kW") == pytest.approx(kilowatts.m_as("kW"))


def test_the_unknown_stands_first_and_each_horsepower_has_its_name():
    got = power(Q_(200, "N*m"), Q_(5000, "rpm"))
    assert [line.text for line in got.lines[:3]] == ["104.7 kW", "140.4 hp", "142.4 PS"]
    assert got.working[0] == "200 N·m × 5000 rpm / 9549.297 = 104.72 kW"
    assert got.working[1] == "147.5 lbf·ft × 5000 rpm / 5252.113 = 140.4 hp"
    assert got.cautions == (WHICH_HP, SAME_SHAFT)
    assert power(None, Q_(5000, "rpm"), Q_(100, "kW")).lines[0].label == "Torque"
    assert power(Q_(100, "N*m"), None, Q_(100, "kW")).lines[0].label == "Speed"


def test_at_5252_rpm_hp_and_foot_pounds_are_the_same_number():
    got = power(Q_(300, "lbf*ft"), Q_(5252.113, "rpm")).value["power"]
    assert got.m_as("hp") == pytest.approx(300, rel=1e-6)


@pytest.mark.parametrize(
    "ask, words",
    [
        (lambda: power(Q_(200, "N*m")), "one figure alone says nothing"),
        (lambda: power(), "Give two of them"),
        (lambda: power(None, Q_(0, "rpm"), Q_(9, "kW")), "the engine stands still"),
        (lambda: power(Q_(0, "N*m"), None, Q_(9, "kW")), "without torque there is no speed to find"),
        (lambda: power(Q_(-5, "N*m"), Q_(900, "rpm")), "the torque is not between 0 and 100000 N·m"),
        (lambda: power(Q_(5, "N*m"), Q_(9e6, "rpm")), "the speed is not between 0 and 100000 rpm"),
        (lambda: power(Q_(float("nan"), "N*m"), Q_(900, "rpm")), "the torque is not between"),
        (
            lambda: power(Q_(200, "N*m"), Q_(5000, "rpm"), Q_(142.4, "kW")),
            "torque times speed gives 104.7 kW, not 142.4 kW",
        ),
    ],
)
def test_figures_that_give_no_third_are_refused(ask, words):
    with pytest.raises(Refused) as refused:
        ask()
    assert words in str(refused.value)


def test_a_ps_taken_for_an_hp_is_noticed():
    """1.4 % is more than rounding."""
    horses = power_of(Q_(200, "N*m"), Q_(5000, "rpm")).m_as("metric_horsepower")
    power(Q_(200, "N*m"), Q_(5000, "rpm"), Q_(horses, "metric_horsepower"))
    with pytest.raises(Refused, match="do not belong together"):
        power(Q_(200, "N*m"), Q_(5000, "rpm"), Q_(horses, "hp"))


def test_the_figures_of_this_module():
    assert [figure.name for figure in FIGURES] == ["power"]
