"""The figures of passes are shares of the full one, and never more than the source allows."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.amounts import read
from webapp.trade.passes import staged, written_in
from webapp.trade.units import show

TABLE = Path(__file__).parent.parent / "reference" / "patterns.csv"
UNITS = {"N.m": "N·m", "lbf.ft": "lbf·ft", "lbf.in": "lbf·in"}
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = [row for row in csv.DictReader(file) if row["kind"] == "pass-values"]
assert ROWS, "a test over no rows would pass by looking at nothing"


@pytest.mark.parametrize("row", [pytest.param(row, id=row["case"]) for row in ROWS])
def test_passes_are_the_published_shares_of_the_target(row):
    """`tests/reference/patterns.csv`: shares of published gasket procedures, worked out for five targets."""
    asked = dict(pair.split("=") for pair in row["inputs"].split("; "))
    full = read(f"{asked['target']} {UNITS[asked['unit']]}", "torque").figure()
    shares = asked["fractions"].split("|")
    found = [float(staged(full, Decimal(share)).nominal) for share in shares]
    assert found == pytest.approx([float(value) for value in row["expected"].split("|")], rel=0.001)


@pytest.mark.parametrize(
    "full, share, written, us",
    [
        ("25 N·m", "0.5", "12.5 N·m", "111 lbf·in"),
        ("20–24 N·m", "0.5", "10–12 N·m", "89–106 lbf·in"),
        ("20 lbf·ft", "0.3", "6 lbf·ft", "6 lbf·ft"),
        ("89 lbf·in", "0.3", "26.5 lbf·in", "26.5 lbf·in"),
        ("25 N·m", "1", "25 N·m", "221 lbf·in"),
    ],
)
def test_a_pass_is_written_to_what_a_wrench_can_be_set_to(full, share, written, us):
    """Worked by hand with 1 N·m = 8.8507 lbf·in (NIST SP 811); rounding is Droplight's own rule."""
    figure = staged(read(full, "torque").figure(), Decimal(share))
    assert figure.written == written
    assert show(figure, "us") == us


def test_a_pass_too_small_for_any_wrench_is_written_as_its_share():
    figure = staged(read("1 N·m", "torque").figure(), Decimal("0.00001"))
    assert figure.written == "0.001 % of 1 N·m"


def test_the_passes_of_a_group_stay_on_one_scale():
    """20 N·m alone would be 177 lbf·in; beside 33 lbf·ft that is a change of scale in the middle of a joint.
    20 N·m / 1.35582 = 14.75 lbf·ft (NIST SP 811)."""
    half = staged(read("40 N·m", "torque").figure(), Decimal("0.5"))
    assert show(half, "us") == "177 lbf·in"
    assert written_in(half, "lbf·ft") == "14.8 lbf·ft"


@given(st.integers(1, 500), st.integers(10, 100))
def test_no_pass_asks_for_more_than_the_full_figure(torque, percent):
    full = read(f"{torque} N·m", "torque").figure()
    share = Decimal(percent) / 100
    assert staged(full, share).nominal == full.nominal * share
    assert float(staged(full, share).written.split()[0]) <= torque
