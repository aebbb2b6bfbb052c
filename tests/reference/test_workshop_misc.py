"""Drills and their speeds, held to workshop-misc.csv, which names a source and its standing for each row."""

import pytest

from tests.reference.published import Table, inputs, within
from webapp.trade.drills import CARBON_STEEL, cutting_speed, drill, nearest, speed
from webapp.trade.quantities import Q_

TABLE = Table("workshop-misc.csv")

_NO_FIGURE = "belongs to no figure of this program yet"
_SCATTER = f"sources scatter by 0.1 V, an eighth of the charge, and it {_NO_FIGURE}"
LEFT_OUT = {
    "battery-ocv": _SCATTER,
    "battery-soc": _SCATTER,
    "battery-disagree": _SCATTER,
    "battery-sg": _NO_FIGURE,
    "battery-rest": _NO_FIGURE,
    "battery-temp": f"printed for another type of battery than the other rows, and it {_NO_FIGURE}",
    "battery-freeze": _NO_FIGURE,
    "belt-deflection": _NO_FIGURE,
    "belt-deflection-mm": _NO_FIGURE,
    "belt-rule-of-thumb": f"common practice that disagrees with 1/64 of the span, and it {_NO_FIGURE}",
}
SERIES = {"number": "number", "letter": "letter", "64ths": "fraction"}
MATERIALS = {"low carbon steel": "mild steel"}


@pytest.mark.parametrize("row", TABLE.of("drill-rpm-metric"))
def test_a_metric_drill_turns_as_the_handbook_says(row):
    given = inputs(row)
    turns = speed(Q_(float(given["d_mm"]), "mm"), Q_(float(given["v_m_per_min"]), "m/min"))
    assert turns.m_as("rpm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("drill-rpm-inch"))
def test_an_inch_drill_turns_as_the_handbook_says(row):
    given = inputs(row)
    turns = speed(Q_(float(given["D_in"]), "in"), Q_(float(given["sfm"]), "ft/min"))
    assert turns.m_as("rpm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("drill-rpm-shortcut"))
def test_the_shortcuts_of_the_shop_come_near_the_exact_speed(row):
    """3.82 · V / D is exact to a tenth of a percent; 4 · V / D turns the drill nearly 5 % too fast."""
    given = inputs(row)
    exact = speed(Q_(float(given["D_in"]), "in"), Q_(float(given["sfm"]), "ft/min")).m_as("rpm")
    if given["constant"] == "3.82":
        assert exact == within(row)
    else:
        assert float(row["expected"]) / exact == pytest.approx(1.047, abs=0.0005)


@pytest.mark.parametrize("row", TABLE.of("cutting-speed-hss"))
def test_the_cutting_speeds_are_those_of_the_manual(row):
    given = inputs(row)
    if given["tool"] == "carbon steel drill":
        asked = (Q_(8, "mm"), "metric", "mild steel", "NAVEDTRA 14345")
        fast, slow = (drill(*asked, tool=tool).value for tool in ("high-speed steel", "carbon steel"))
        assert within(row) == CARBON_STEEL
        assert (slow["fastest"] / fast["fastest"]).m_as("") == within(row)
        return
    material = MATERIALS.get(given["material"], given["material"])
    low, high = map(float, row["expected"].split(".."))
    speeds = [cutting.m_as("ft/min") for cutting in cutting_speed(material, "NAVEDTRA 14345")]
    assert speeds == pytest.approx([low, high])


@pytest.mark.parametrize("row", TABLE.of("nearest-drill"))
def test_the_nearest_drill_is_the_one_of_the_table(row):
    given = inputs(row)
    found = nearest(Q_(float(given["d_in"]), "in"), [SERIES[name] for name in given["sets"].split("|")])
    assert found.drill.name.removesuffix(" in") == row["expected"]
    if "error" in row["note"]:
        error = float(row["note"].rpartition("error ")[2].removesuffix(" in"))
        assert found.off.m_as("in") == pytest.approx(error, abs=0.0001)


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert not TABLE.tested & set(LEFT_OUT)
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
