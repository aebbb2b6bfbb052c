"""Tables of published values: their rows by kind, what a row gives, and how close an answer has to come."""

import csv
from pathlib import Path

import pytest


class Table:
    """One file of this folder. tested: the kinds of row that some test has asked for."""

    def __init__(self, name):
        with (Path(__file__).parent / name).open(encoding="utf-8", newline="") as file:
            self.rows = list(csv.DictReader(file))
        self.tested = set()

    @property
    def kinds(self):
        return {row["kind"] for row in self.rows}

    def of(self, *kinds, without=()):
        """Return the rows of these kinds; a test over none would pass by looking at nothing."""
        wanted = [row for row in self.rows if row["kind"] in kinds and row["case"] not in without]
        assert wanted
        self.tested.update(kinds)
        return [pytest.param(row, id=row["case"]) for row in wanted]


def inputs(row):
    return dict(pair.split("=", 1) for pair in row["inputs"].split("; "))


def within(row, value=None):
    """Return the expected value, or another one, with the row's own tolerance."""
    kind, _, size = row["tolerance"].partition(":")
    expected = float(row["expected"]) if value is None else value
    if kind == "abs":
        return pytest.approx(expected, abs=float(size), rel=0)
    if kind == "rel":
        share = float(size.removesuffix("%")) / (100 if size.endswith("%") else 1)
        return pytest.approx(expected, rel=share, abs=0)
    assert kind == "exact", row["tolerance"]
    return pytest.approx(expected, rel=1e-12, abs=0)
