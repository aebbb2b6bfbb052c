"""A power run is corrected by a standard that is named. Published values: tests/reference/test_dyno.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.humidity import vapour_pressure
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.weather import (
    BAND,
    BANDED,
    BOOSTED,
    DIESEL,
    DIN_70020,
    ENGINES,
    FIGURES,
    ISO_1585,
    J1349_1990,
    J1349_2004,
    ONE_STANDARD,
    SPARK,
    STANDARDS,
    STATION,
    STD,
    correction,
    dry_pressure,
    weather,
)

standards = st.sampled_from(STANDARDS)
barometers = st.floats(960, 1030)
degrees = st.floats(10, 35)
humidities = st.floats(0, 90)


def by(standard, hpa, celsius, percent, efficiency=None):
    return correction(
        standard,
        barometer=Q_(hpa, "hPa"),
        temperature=Q_(celsius, "degC"),
        humidity=Q_(percent, "percent"),
        efficiency=None if efficiency is None else Q_(efficiency, "percent"),
    )


def or_none(*air):
    try:
        return by(*air)
    except Refused:
        return None


@pytest.mark.parametrize(
    "standard, hpa, celsius",
    [(J1349_1990, 990, 25), (J1349_2004, 990, 25), (ISO_1585, 990, 25), (DIN_70020, 1013, 20)],
)
def test_in_its_own_air_a_standard_corrects_nothing(standard, hpa, celsius):
    assert by(standard, hpa, celsius, 0) == pytest.approx(1, abs=1e-12)


@given(standard=standards, hpa=barometers, celsius=degrees, percent=humidities, more=st.floats(0.5, 20))
def test_thinner_or_warmer_or_damper_air_is_corrected_up(standard, hpa, celsius, percent, more):
    here = or_none(standard, hpa, celsius, percent)
    thin = or_none(standard, hpa - more, celsius, percent)
    warm = or_none(standard, hpa, celsius + more, percent)
    damp = or_none(standard, hpa, celsius, percent + more / 2)
    if here is not None:
        assert thin is None or thin > here
        assert warm is None or warm > here
        assert damp is None or (damp == here if standard == DIN_70020 else damp > here)


@given(
    standard=st.sampled_from(BANDED),
    hpa=st.floats(600, 1100),
    celsius=st.floats(0.01, 60),
    percent=humidities,
)
def test_no_factor_leaves_the_band_of_its_standard(standard, hpa, celsius, percent):
    got = or_none(standard, hpa, celsius, percent)
    assert got is None or BAND[0] - 1e-6 <= got <= BAND[1] + 1e-6


@given(hpa=barometers, celsius=degrees, percent=st.floats(1, 100))
def test_dry_air_and_vapour_are_the_barometer(hpa, celsius, percent):
    air = Q_(celsius, "degC"), Q_(percent, "percent")
    dry = dry_pressure(Q_(hpa, "hPa"), *air)
    assert (dry + vapour_pressure(*air)).m_as("hPa") == pytest.approx(hpa)


@given(hpa=barometers, celsius=degrees, percent=humidities)
def test_the_two_sae_revisions_differ_by_the_last_figures_of_their_constants(hpa, celsius, percent):
    old, new = or_none(J1349_1990, hpa, celsius, percent), or_none(J1349_2004, hpa, celsius, percent)
    if old is not None and new is not None:
        assert new == pytest.approx(old, abs=0.0005)


def test_an_engine_of_more_friction_is_corrected_more():
    assert by(J1349_2004, 980, 30, 50, 75) > by(J1349_2004, 980, 30, 50) == by(J1349_2004, 980, 30, 50, 85)


# By hand with 1.18·(990/p_dry)·√((t + 273)/298) − 0.18.
@pytest.mark.parametrize("hpa, celsius, percent, worked", [(1005, 18, 60, 0.983), (985, 31, 45, 1.043)])
def test_a_cool_day_is_corrected_down_and_a_warm_one_up(hpa, celsius, percent, worked):
    assert by(J1349_1990, hpa, celsius, percent) == pytest.approx(worked, abs=0.0006)


def test_a_corrected_power_is_shown_with_its_standard_and_its_working():
    got = weather(J1349_1990, SPARK, Q_(985, "hPa"), Q_(31, "degC"), Q_(45, "percent"), Q_(110, "kW"))
    assert got.lines[0].text == "1.043"
    assert got.lines[1].label == "Corrected by SAE J1349 1990"
    assert got.lines[1].text == "114.7 kW"
    assert got.value["power"].m_as("kW") == pytest.approx(110 * got.value["factor"])
    assert got.working[0] == "Dry air: 985 − 20.2 of vapour = 964.8 hPa"
    assert got.working[1] == "1.18 × 990/964.8 × √((31 + 273)/298) − 0.18 = 1.043"
    assert "1990" in got.source
    assert {STATION, ONE_STANDARD} <= set(got.cautions)


@pytest.mark.parametrize("standard", STANDARDS)
def test_every_working_can_be_followed(standard):
    """The line's own arithmetic, done by Python, gives the factor it ends with."""
    got = weather(standard, SPARK, Q_(1000, "hPa"), Q_(22, "degC"), Q_(40, "percent"))
    sum_, _, result = got.working[1].rpartition(" = ")
    python = sum_.replace("×", "*").replace("−", "-").replace("^", "**").replace("√", "SQ")
    assert eval(python, {"SQ": lambda x: x**0.5}) == pytest.approx(float(result), abs=0.0005)


@pytest.mark.parametrize("engine", [BOOSTED, DIESEL])
@pytest.mark.parametrize("standard", STANDARDS)
def test_only_unblown_spark_ignition_is_corrected(engine, standard):
    with pytest.raises(Refused, match="boost control makes up for thin air by itself"):
        weather(standard, engine, Q_(1000, "hPa"), Q_(22, "degC"), Q_(40, "percent"))
    assert engine in ENGINES


@pytest.mark.parametrize(
    "air, words",
    [
        ((J1349_1990, 900, 30, 50), "the air is too far from that of SAE J1349 1990"),
        ((STD, 500, 20, 50), "a barometer outside 60–110 kPa"),
        ((STD, 29.92, 20, 50), "a barometer outside 60–110 kPa"),
        ((STD, 1000, -5, 50), "intake air outside 0.01–60 °C"),
        ((STD, 1000, 20, 120), "120 % is no relative humidity"),
        ((STD, float("nan"), 20, 50), "a barometer outside"),
        ((STD, 1000, 20, 50, 85), "SAE STD takes no mechanical efficiency"),
        ((J1349_2004, 1000, 20, 50, 30), "a mechanical efficiency outside 50–100 %"),
        (("ISO", 1000, 20, 50), "ISO is not a standard known here"),
    ],
)
def test_air_no_standard_covers_gives_no_factor(air, words):
    with pytest.raises(Refused) as refused:
        by(*air)
    assert words in str(refused.value)


def test_the_figures_of_this_module():
    assert [figure.name for figure in FIGURES] == ["weather"]
