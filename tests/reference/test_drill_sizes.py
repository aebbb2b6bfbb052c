"""Number and letter drills, held to drill-sizes.csv, which names a source and its standing for each row."""

import csv
from pathlib import Path

import pytest

from webapp.trade.drills import DRILLS, nearest, read_drill
from webapp.trade.quantities import Q_

with (Path(__file__).parent / "drill-sizes.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

LEFT_OUT: dict[str, str] = {}
tested: set[str] = set()


def of(*kinds):
    """Return the rows of these kinds; a test over none would pass by looking at nothing."""
    rows = [pytest.param(row, id=row["case"]) for row in ROWS if row["kind"] in kinds]
    assert rows
    tested.update(kinds)
    return rows


def published(row):
    assert row["unit"] == "in"
    return pytest.approx(float(row["expected"]), abs=float(row["tolerance"].removeprefix("abs:")))


@pytest.mark.parametrize("row", of("number"))
def test_a_number_drill_is_as_thick_as_published(row):
    assert read_drill(row["case"]).diameter.m_as("in") == published(row)
    assert nearest(Q_(float(row["expected"]), "in"), ("number",)).drill.name == row["case"]


@pytest.mark.parametrize("row", of("letter"))
def test_a_letter_drill_is_as_thick_as_published(row):
    assert read_drill(row["case"]).diameter.m_as("in") == published(row)
    assert nearest(Q_(float(row["expected"]), "in"), ("letter",)).drill.name == row["case"]


def test_no_drill_is_known_that_was_not_published():
    names = {drill.name for drill in (*DRILLS["number"], *DRILLS["letter"])}
    assert names == {row["case"] for row in ROWS}


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert tested | set(LEFT_OUT) == {row["kind"] for row in ROWS}
