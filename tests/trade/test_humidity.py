"""Laws of humid air. Published values: tests/reference/test_humidity_cure.py."""

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade import humidity
from webapp.trade.humidity import dew_point, saturation_pressure, vapour_pressure
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

celsius = st.floats(0.01, 60)


@given(celsius, celsius)
def test_warmer_air_can_hold_more_water(one, other):
    low, high = sorted((one, other))
    assert saturation_pressure(Q_(low, "degC")) <= saturation_pressure(Q_(high, "degC"))


@given(celsius, st.floats(1, 100))
def test_at_its_dew_point_the_air_is_full(temperature, percent):
    air = Q_(temperature, "degC"), Q_(percent, "percent")
    wanted = vapour_pressure(*air)
    if wanted < saturation_pressure(Q_(0.01, "degC")):
        with pytest.raises(Refused, match="frost comes before dew"):
            dew_point(*air)
    else:
        full = saturation_pressure(dew_point(*air))
        assert full.m_as("kPa") == pytest.approx(wanted.m_as("kPa"), rel=1e-9)


@pytest.mark.parametrize("percent", [0, -5, 100.1, float("nan"), float("inf")])
def test_what_is_no_humidity_is_refused(percent):
    with pytest.raises(Refused, match="no relative humidity"):
        vapour_pressure(Q_(20, "degC"), Q_(percent, "percent"))


@pytest.mark.parametrize("temperature", [0, -40, 60.1, float("nan")])
def test_a_temperature_outside_the_formula_is_refused(temperature):
    with pytest.raises(Refused, match=r"outside 0\.01–60 °C"):
        saturation_pressure(Q_(temperature, "degC"))


def test_the_examples_in_the_docstrings_are_true():
    result = doctest.testmod(humidity)
    assert result.attempted
    assert not result.failed
