"""Where bolts sit and in what order they are tightened, held to published orders and to laws of the trade.

`tests/reference/patterns.csv` names a source and its standing for each row. Rows not computed by this module:

* `passes`, `passes-secondary`, `pass-values`: shares of the figure are what an author writes in `passes`;
  the arithmetic on them is tested with the sheet's torque table.
* `numbering-trap`, and `priority` of `centre-out-rule`: that the maker's order wins and that a computed one
  says so is tested where it is shown, on the sheet.
* `final-circular-required`: a last pass round the circle is a pass an author writes, no place in this order.
"""

import csv
import itertools
import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.pattern import NUMBERING, positions, star, tightening_order
from webapp.trade.refusal import Refused

TABLE = Path(__file__).parent.parent / "reference" / "patterns.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


def of(*kinds):
    """Return the reference rows of these kinds; a test over none would pass by looking at nothing."""
    rows = [pytest.param(row, id=row["case"]) for row in ROWS if row["kind"] in kinds]
    assert rows
    return rows


def inputs(row):
    return dict(pair.split("=") for pair in row["inputs"].split("; "))


def numbers(text):
    return [int(number) for number in text.split("|")]


def in_star(order):
    """Return whether an even circle's order is made of opposite pairs."""
    pairs = zip(order[::2], order[1::2], strict=True)
    return all(abs(one - other) == len(order) // 2 for one, other in pairs)


def gaps(order):
    """Return how many places round the circle lie between each bolt and the next one tightened."""
    return [min((b - a) % len(order), (a - b) % len(order)) for a, b in itertools.pairwise(order)]


# --- Published orders


@pytest.mark.parametrize("row", of("legacy-sequence"))
def test_a_star_is_the_printed_cross_pattern(row):
    assert tightening_order(circle=int(inputs(row)["bolts"])) == numbers(row["expected"])


@pytest.mark.parametrize("row", of("odd-and-small"))
def test_odd_and_small_circles_go_as_wheels_and_covers_do(row):
    assert star(int(inputs(row)["bolts"])) == numbers(row["expected"])


@pytest.mark.parametrize("row", of("sequence-property"))
def test_a_star_has_the_published_properties(row):
    given_ = inputs(row)
    order = star(int(given_["bolts"]))
    found = {
        "second bolt": order[1],
        "third bolt": order[2],
        "each bolt exactly once per pass": str(sorted(order) == list(range(1, len(order) + 1))).lower(),
        "smallest circular gap between consecutive bolts": min(gaps(order)),
    }
    assert str(found[given_["quantity"]]) == row["expected"]


@pytest.mark.parametrize("row", of("centre-out-groups"))
@pytest.mark.parametrize("as_points", [False, True], ids=["as rows", "as points"])
def test_a_grid_is_tightened_ring_by_ring_from_its_middle(row, as_points):
    given_ = {name: int(value) for name, value in inputs(row).items() if value.isdigit()}
    lines, across = given_["rows"], given_["cols"]
    layout = {"rows": [across] * lines}
    if as_points:
        x, y = given_["pitch_x_mm"], given_["pitch_y_mm"]
        layout = {"points": [[column * x, line * y] for line in range(lines) for column in range(across)]}
    order = tightening_order(**layout)
    for group in re.findall(r"\{([\d,]+)\}", row["expected"]):
        ring = {int(number) for number in group.split(",")}
        assert set(order[: len(ring)]) == ring
        order = order[len(ring) :]
    assert order == []


def test_a_straight_row_of_nine_reads_as_the_handbook_prints_it():
    """US Army TM 5-3805-248-23-1: 9 7 5 3 1 2 4 6 8 along the row."""
    order = tightening_order(row=9)
    assert [order.index(bolt) + 1 for bolt in range(1, 10)] == [9, 7, 5, 3, 1, 2, 4, 6, 8]


@pytest.mark.parametrize("row", [row for row in of("centre-out-rule") if "tighten" in row.id])
def test_long_covers_go_from_the_centre_outward_and_criss_cross(row):
    """Common practice, no source: the row says it in words, a cover of two rows shows it."""
    assert row["expected"] == "from the centre outward, criss-cross"
    order = tightening_order(rows=[5, 5])
    places = positions(rows=[5, 5])
    for one, other in zip(order[2::4], order[3::4], strict=True):  # after the middle pair: corner to corner
        a, b = places[one - 1], places[other - 1]
        assert (a.x + b.x) / 2 == pytest.approx(0.5)
        assert (a.y + b.y) / 2 == pytest.approx(0.5)


# --- Laws

COUNT = st.integers(1, 60)
SIDES = st.tuples(st.integers(2, 30), st.integers(2, 30)).map(list)
LAYOUTS = st.one_of(
    st.builds(lambda n: {"circle": n}, COUNT),
    st.builds(lambda n: {"row": n}, COUNT),
    st.builds(lambda n: {"rows": n}, st.lists(COUNT, min_size=1, max_size=6)),
    st.builds(lambda n: {"rectangle": n}, SIDES),
    st.builds(lambda n: {"vee": n}, st.tuples(COUNT, COUNT).map(list)),
    st.builds(
        lambda n: {"points": n},
        st.lists(
            st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)).map(list), min_size=1, max_size=40
        ),
    ),
)  # fmt: skip


def held(layout):
    """Return how many bolts a layout holds, by counting as its author does."""
    ((kind, size),) = layout.items()
    if kind == "rectangle":
        return 2 * sum(size) - 4
    if kind == "points":
        return len(size)
    return size if isinstance(size, int) else sum(size)


@given(LAYOUTS)
def test_every_bolt_has_one_place_on_the_drawing(layout):
    places = positions(**layout)
    assert len(places) == held(layout)
    assert all(-1e-9 <= value <= 1 + 1e-9 for place in places for value in place)


@given(LAYOUTS)
def test_every_bolt_is_tightened_exactly_once(layout):
    assert sorted(tightening_order(**layout)) == list(range(1, held(layout) + 1))


@given(st.integers(1, 250).map(lambda half: 2 * half))
def test_an_even_circle_is_tightened_in_opposite_pairs(bolts):
    assert in_star(star(bolts))


@given(st.integers(1, 125).map(lambda quarter: 4 * quarter))
def test_after_a_pair_comes_the_pair_a_quarter_turn_away(bolts):
    order = star(bolts)
    assert (order[2] - order[0]) % bolts == bolts // 4


@given(st.integers(5, 500))
def test_no_bolt_of_a_larger_circle_is_tightened_right_after_its_neighbour(bolts):
    assert min(gaps(star(bolts))) > 1


@given(LAYOUTS.filter(lambda layout: "circle" not in layout))
def test_tightening_never_comes_back_towards_the_middle(layout):
    """To within a fiftieth of the drawing, which is where two bolts count as equally far out."""
    places = positions(**layout)
    middle = [sum(place[axis] for place in places) / len(places) for axis in (0, 1)]
    out = [math.dist(places[bolt - 1], middle) for bolt in tightening_order(**layout)]
    assert all(later >= earlier - 0.02 for earlier, later in itertools.pairwise(out))


@given(COUNT)
def test_a_row_begins_at_its_centre_and_goes_from_side_to_side(bolts):
    order = tightening_order(row=bolts)
    assert order[0] in {(bolts + 1) // 2, bolts // 2 + 1}
    sides = [bolt > (bolts + 1) / 2 for bolt in order[bolts % 2 :]]
    assert all(one != other for one, other in zip(sides[::2], sides[1::2], strict=True))


def test_a_cover_of_four_bolts_is_tightened_corner_to_corner():
    assert tightening_order(rectangle=[2, 2]) == [2, 4, 3, 1]


# --- Where the numbers stand


def test_a_circle_is_numbered_clockwise_from_the_top():
    assert [(round(x, 9), round(y, 9)) for x, y in positions(circle=4)] == [
        (0.5, 0),
        (1, 0.5),
        (0.5, 1),
        (0, 0.5),
    ]


def test_a_rectangle_is_numbered_clockwise_from_its_top_left_corner():
    drawn = [(round(x, 9), round(y, 9)) for x, y in positions(rectangle=[3, 2])]
    assert drawn == [(0, 0.25), (0.5, 0.25), (1, 0.25), (1, 0.75), (0.5, 0.75), (0, 0.75)]


def test_a_shorter_row_is_centred_on_the_longer_ones():
    assert [round(x, 9) for x, _ in positions(rows=[3, 2])] == [0, 0.5, 1, 0.25, 0.75]


def test_every_layout_says_how_it_is_numbered():
    layouts = {"circle", "row", "rows", "rectangle", "vee", "points"}
    assert set(NUMBERING) == layouts
    assert all(NUMBERING.values())


@pytest.mark.parametrize(
    "layout", [{}, {"row": 4, "circle": 4}, {"rows": []}, {"points": []}, {"rectangle": [1, 5]}], ids=str
)
def test_a_layout_that_cannot_be_drawn_is_refused_in_words(layout):
    with pytest.raises(Refused) as refusal:
        positions(**layout)
    assert refusal.value.what
    assert refusal.value.write
