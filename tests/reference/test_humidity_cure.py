"""Humidity and the cure clock, held to humidity-cure.csv, and vapour pressure to two reference libraries.

Rows not satisfied here, with the reason:

* `psat-below-zero`: refused. Below freezing vapour stands over ice, and no sealant is used there.
* `psat-magnus`, `psat-trap`: other formulas. Ours is of another source and nearer to IAPWS; they must lie as
  near to it as their own sources say.
* `absolute-humidity`, `comyn-depth`, `typical`: Droplight computes neither grams of water nor depths from a
  sealant's permeability, and a typical range is no figure; the label is.
* `sqrt-time` rows that ask a depth for a time: the clock answers the time for a depth; they are checked that
  way round. A time shorter than the label's is never given.
* `humidity-factor` below 1: the clock holds the factor at 1, because it never shortens the label's time.
* `humidity-factor` at 0.5 °C: refused below 5 °C.
"""

import CoolProp.CoolProp
import iapws
import pytest

from tests.reference.published import Table, within
from webapp.trade.cure import stretched
from webapp.trade.humidity import dew_point, saturation_pressure, vapour_pressure
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

TABLE = Table("humidity-cure.csv")

LEFT_OUT = {"absolute-humidity", "comyn-depth", "typical"}


def inputs(row):
    pairs = dict(pair.split("=", 1) for pair in row["inputs"].split("; "))
    return {
        name: float(value) for name, value in pairs.items() if value.replace(".", "").strip("-").isdigit()
    }


def air(celsius, percent):
    return Q_(celsius, "degC"), Q_(percent, "percent")


def cure(hours, label_air, bay_air, label_path=None, path=None):
    return stretched(
        Q_(hours, "h"),
        "full",
        label_temperature=label_air[0],
        label_humidity=label_air[1],
        bay_temperature=bay_air[0],
        bay_humidity=bay_air[1],
        label_path=None if label_path is None else Q_(label_path, "mm"),
        path=None if path is None else Q_(path, "mm"),
    )


@pytest.mark.parametrize("row", TABLE.of("psat"))
def test_saturation_pressure_is_that_of_iapws(row):
    assert saturation_pressure(Q_(inputs(row)["T_degC"], "degC")).m_as("Pa") == within(row)


@pytest.mark.parametrize("celsius", [0.01, 5, 10, 20, 23, 30, 40, 50, 60])
def test_saturation_pressure_agrees_with_two_reference_libraries(celsius):
    """CoolProp holds IAPWS-95, iapws holds IAPWS-IF97. The formula claims 0.02 %."""
    ours = saturation_pressure(Q_(celsius, "degC")).m_as("Pa")
    assert ours == pytest.approx(
        CoolProp.CoolProp.PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water"), rel=2e-4
    )
    assert ours == pytest.approx(iapws.IAPWS97(T=celsius + 273.15, x=0).P * 1e6, rel=2e-4)


@pytest.mark.parametrize("row", TABLE.of("psat-magnus", "psat-trap"))
def test_the_formulas_of_others_lie_near_ours(row):
    ours = saturation_pressure(Q_(inputs(row)["T_degC"], "degC")).m_as("Pa")
    assert ours == pytest.approx(float(row["expected"]), rel=0.004)


@pytest.mark.parametrize("row", TABLE.of("psat-below-zero"))
def test_below_freezing_no_vapour_pressure_is_given(row):
    with pytest.raises(Refused, match="over ice"):
        saturation_pressure(Q_(inputs(row)["T_degC"], "degC"))


@pytest.mark.parametrize("row", TABLE.of("vapour-pressure"))
def test_vapour_pressure_is_the_humid_share_of_saturation(row):
    given = inputs(row)
    assert vapour_pressure(*air(given["T_degC"], given["RH_pct"])).m_as("Pa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("dew-point"))
def test_dew_settles_at_the_published_temperature(row):
    given = inputs(row)
    assert dew_point(*air(given["T_degC"], given["RH_pct"])).m_as("degC") == within(row)


@pytest.mark.parametrize("row", TABLE.of("sqrt-time"))
def test_time_goes_with_the_square_of_the_path(row):
    given = inputs(row)
    label = air(23, 50)
    depth = given.get("z_mm", float(row["expected"]))
    hours = given.get("t_h", float(row["expected"]))
    time = cure(given["t_ref_h"], label, label, given["z_ref_mm"], depth).time.m_as("h")
    assert time == within(row, max(hours, given["t_ref_h"]))


@pytest.mark.parametrize("row", TABLE.of("humidity-factor"))
def test_time_goes_against_the_vapour_pressure_and_is_never_shortened(row):
    given = inputs(row)
    label, bay = air(given["T_ref_degC"], given["RH_ref_pct"]), air(given["T_degC"], given["RH_pct"])
    if given["T_degC"] < 5:
        with pytest.raises(Refused, match="below 5 °C"):
            cure(24, label, bay)
        return
    assert cure(24, label, bay).vapour_factor == within(row, max(1.0, float(row["expected"])))


@pytest.mark.parametrize("row", TABLE.of("combined"))
def test_path_and_vapour_together_give_the_published_time(row):
    given = inputs(row)
    time = cure(
        given["t_ref_h"],
        air(given["T_ref_degC"], given["RH_ref_pct"]),
        air(given["T_degC"], given["RH_pct"]),
        given["z_ref_mm"],
        given["z_mm"],
    ).time
    assert time.m_as("h") == within(row)


@pytest.mark.parametrize("row", TABLE.of("geometry"))
def test_with_both_faces_open_the_path_is_half_the_thickness(row):
    given = inputs(row)
    label = air(23, 50)
    path = given["thickness_mm"] / given["faces_open"]
    assert cure(given["t_ref_h"], label, label, given["z_ref_mm"], path).time.m_as("h") == within(row)


def test_that_damp_slows_the_cure_is_false():
    """One row of `typical` holds this claim; the others are ranges of labels."""
    (row,) = [row for row in TABLE.rows if row["inputs"].startswith("claim=high humidity slows")]
    damp = cure(24, air(23, 50), air(23, 90)).time
    dry = cure(24, air(23, 50), air(23, 30)).time
    assert damp < dry
    assert row["expected"] == "false"


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | LEFT_OUT == TABLE.kinds
