"""The torque wrench, held to torque-adapter.csv, which names a source and its standing for each row.

A row at 270° is satisfied by what the refusal says to write: the other side counts the same, so 90°.
"""

import pytest

from tests.reference.published import Table, inputs, within
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.wrench import (
    TEST_TEMPERATURE,
    Wrench,
    adapter_gives,
    adapter_setting,
    deviation,
    dial,
    true_torque,
)

TABLE = Table("torque-adapter.csv")

LEFT_OUT: dict[str, str] = {}
UNITS = {"N.m": "N*m", "lbf.ft": "force_pound * foot", "lbf.in": "force_pound * inch"}


def geometry(given):
    """Return length, adapter, angle and way, as one says them; only the ratio of the lengths counts."""
    degrees = float(given["theta_deg"])
    unit = "mm" if float(given["L"]) > 100 else "inch"
    way = "toward the handle" if 90 < degrees <= 180 else "away from the handle"
    return Q_(float(given["L"]), unit), Q_(float(given["E"]), unit), Q_(degrees, "degree"), way


def answered(row):
    given = inputs(row)
    found = adapter_gives if given.get("find") == "T_actual" else adapter_setting
    unit = UNITS[given.get("T_unit", row["unit"])]
    torque = Q_(float(given.get("T_target") or given["T_set"]), unit)
    return found(torque, *geometry(given)).m_as(UNITS[row["unit"]])


@pytest.mark.parametrize("row", TABLE.of("published"))
def test_an_adapter_is_set_as_the_printed_examples_set_it(row):
    assert answered(row) == within(row)


@pytest.mark.parametrize("row", TABLE.of("formula", "inverse", "units"))
def test_the_setting_follows_the_lever(row):
    if inputs(row)["theta_deg"] == "270":
        with pytest.raises(Refused) as refused:
            answered(row)
        assert refused.value.write == "Write 90°"
        row = row | {"inputs": row["inputs"].replace("270", "90")}
    assert answered(row) == within(row)


@pytest.mark.parametrize("row", TABLE.of("trap"))
def test_the_usual_mistakes_are_not_made(row):
    if row["expected"] == "error":
        with pytest.raises(Refused, match="at the hand or behind it"):
            answered(row | {"unit": "N.m"})
        return
    assert answered(row) == within(row)


def wrench(most, floor="0.2"):
    return Wrench(Q_(0, "N*m"), Q_(float(most), "N*m"), Q_(0.1, "N*m"), Q_(100 * float(floor), "percent"))


@pytest.mark.parametrize("row", TABLE.of("range-check"))
def test_a_wrench_is_used_where_it_is_true(row):
    given = inputs(row)
    found = wrench(given["wrench_max_N.m"], given["min_fraction"])
    setting = Q_(float(given["setting_N.m"]), "N*m")
    assert found.place(setting) == row["expected"]
    if row["expected"] == "ok":
        assert dial(setting, found).setting.m_as("N*m") == pytest.approx(setting.m_as("N*m"))
    else:
        with pytest.raises(Refused, match="too much" if row["expected"] == "above-range" else "too little"):
            dial(setting, found)


@pytest.mark.parametrize("row", TABLE.of("iso6789"))
def test_deviation_and_test_temperature_are_those_of_the_standard(row):
    given = inputs(row)
    if row["tolerance"] == "range":
        least, most = (f"{each.m_as('degC'):g}" for each in TEST_TEMPERATURE)
        assert f"{least}..{most}" == row["expected"]
        return
    assert 100 * deviation(Q_(float(given["wrench_max_N.m"]), "N*m")) == within(row)


@pytest.mark.parametrize("row", TABLE.of("band"))
def test_the_deviation_is_a_share_of_the_true_torque(row):
    given = inputs(row)
    found = true_torque(Q_(float(given["setting_N.m"]), "N*m"), Q_(float(given["wrench_max_N.m"]), "N*m"))
    expected = [float(each) for each in row["expected"].split("..")]
    assert [each.m_as("N*m") for each in found] == pytest.approx(expected, abs=0.005)


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
