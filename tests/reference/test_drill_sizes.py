"""Number and letter drills, held to drill-sizes.csv, which names a source and its standing for each row."""

import pytest

from tests.reference.published import Table
from webapp.trade.drills import DRILLS, nearest, read_drill
from webapp.trade.quantities import Q_

TABLE = Table("drill-sizes.csv")

LEFT_OUT: dict[str, str] = {}


def published(row):
    assert row["unit"] == "in"
    return pytest.approx(float(row["expected"]), abs=float(row["tolerance"].removeprefix("abs:")))


@pytest.mark.parametrize("row", TABLE.of("number"))
def test_a_number_drill_is_as_thick_as_published(row):
    assert read_drill(row["case"]).diameter.m_as("in") == published(row)
    assert nearest(Q_(float(row["expected"]), "in"), ("number",)).drill.name == row["case"]


@pytest.mark.parametrize("row", TABLE.of("letter"))
def test_a_letter_drill_is_as_thick_as_published(row):
    assert read_drill(row["case"]).diameter.m_as("in") == published(row)
    assert nearest(Q_(float(row["expected"]), "in"), ("letter",)).drill.name == row["case"]


def test_no_drill_is_known_that_was_not_published():
    names = {drill.name for drill in (*DRILLS["number"], *DRILLS["letter"])}
    assert names == {row["case"] for row in TABLE.rows}


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
