"""Power and its correction held to dyno.csv, which names a source and its standing for each row."""

import pytest

from tests.reference.published import Table, inputs, within
from webapp.trade import weather
from webapp.trade.power import HP, KW, PS, power, power_of, torque_of
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

TABLE = Table("dyno.csv")

LEFT_OUT: dict[str, str] = {}
UNITS = {"lbf.ft": "lbf*ft", "N.m": "N*m", "hp": "horsepower", "kW": "kW"}


def air(given):
    return {
        "barometer": Q_(float(given["baro_hPa"]), "hPa"),
        "temperature": Q_(float(given["T_degC"]), "degC"),
        "humidity": Q_(float(given.get("RH_pct", 0)), "percent"),
    }


@pytest.mark.parametrize("row", TABLE.of("constant"))
def test_the_constants_of_power_are_the_exact_ones(row):
    name = inputs(row)["quantity"]
    constant, torque, unit = {
        "T[lbf.ft]*rpm/hp": (HP, "lbf*ft", "horsepower"),
        "T[N.m]*rpm/kW": (KW, "N*m", "kW"),
        "T[kgf.m]*rpm/PS": (PS, "kgf*m", "metric_horsepower"),
    }[name]
    assert constant == within(row)
    assert 1 / power_of(Q_(1, torque), Q_(1, "rpm")).m_as(unit) == within(row)


@pytest.mark.parametrize("row", TABLE.of("hp", "kw"))
def test_torque_at_a_speed_is_this_power(row):
    given = inputs(row)
    (name,) = (name for name in given if name.startswith("torque_"))
    torque = Q_(float(given[name]), UNITS[name.removeprefix("torque_")])
    assert power_of(torque, Q_(float(given["rpm"]), "rpm")).m_as(UNITS[row["unit"]]) == within(row)


@pytest.mark.parametrize("row", TABLE.of("torque-from-hp", "torque-from-kw"))
def test_power_at_a_speed_is_this_torque(row):
    given = inputs(row)
    (name,) = (name for name in given if name in UNITS)
    torque = torque_of(Q_(float(given[name]), UNITS[name]), Q_(float(given["rpm"]), "rpm"))
    assert torque.m_as(UNITS[row["unit"]]) == within(row)


@pytest.mark.parametrize("row", TABLE.of("unit-trap"))
def test_a_ps_is_less_than_an_hp(row):
    given = Q_(float(inputs(row)["PS"]), "metric_horsepower")
    assert power(None, Q_(5000, "rpm"), given).value["power"].m_as("horsepower") == within(row)


@pytest.mark.parametrize("row", TABLE.of("dry-pressure"))
def test_dry_air_presses_less_by_its_vapour(row):
    assert weather.dry_pressure(**air(inputs(row))).m_as("hPa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("j1349-1990", "j1349-2004", "iso1585", "din70020"))
def test_a_factor_is_the_standards_or_is_refused_beyond_its_band(row):
    given = inputs(row)
    standard = {
        "j1349-1990": weather.J1349_1990,
        "j1349-2004": weather.J1349_2004,
        "iso1585": weather.ISO_1585,
        "din70020": weather.DIN_70020,
    }[row["kind"]]
    efficiency = Q_(float(given["mech_eff"]), "dimensionless") if "mech_eff" in given else None
    low, high = weather.BAND
    if standard in weather.BANDED and not low <= float(row["expected"]) <= high:
        with pytest.raises(Refused, match=r"its factor holds only from 0\.93 to 1\.07"):
            weather.correction(standard, **air(given), efficiency=efficiency)
    else:
        assert weather.correction(standard, **air(given), efficiency=efficiency) == within(row)


@pytest.mark.parametrize("row", TABLE.of("std-published", "std"))
def test_the_older_american_factor(row):
    given = inputs(row)
    factor = weather.factor(
        weather.STD,
        barometer=Q_(float(given["baro_inHg"]), "inHg"),
        vapour=Q_(float(given["pv_inHg"]), "inHg"),
        temperature=Q_(float(given["T_degF"]), "degF"),
    )
    assert factor * float(given.get("hp_obs", 1)) == within(row)


@pytest.mark.parametrize("row", TABLE.of("std-ratio"))
def test_std_reads_four_percent_above_sae(row):
    given = air(inputs(row))
    std, sae = (weather.correction(standard, **given) for standard in (weather.STD, weather.J1349_1990))
    assert std / sae == within(row)
    assert f"about {std / sae - 1:.0%}".replace("%", " %") in weather.ONE_STANDARD


@pytest.mark.parametrize("row", TABLE.of("trap"))
def test_the_traps_of_correction(row):
    given = inputs(row)
    if "baro_hPa" in given:
        assert weather.correction(weather.J1349_1990, **air(given)) == within(row)
        return
    assert row["expected"] == "do-not-apply-blindly"
    with pytest.raises(Refused, match="boost control"):
        weather.weather(
            weather.J1349_1990, weather.BOOSTED, Q_(980, "hPa"), Q_(30, "degC"), Q_(50, "percent")
        )


@pytest.mark.parametrize("row", TABLE.of("corrected-power"))
def test_an_observed_power_becomes_the_standards(row):
    given = inputs(row)
    assert given["standard"] == "SAE J1349 JUN90"
    got = weather.weather(
        weather.J1349_1990, weather.SPARK, *air(given).values(), Q_(float(given["hp_obs"]), "horsepower")
    )
    assert got.value["power"].m_as("horsepower") == within(row)


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
