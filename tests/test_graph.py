"""Curves are drawn so that they can be told apart without colour, and read without eyes."""

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.graph import graph_svg, ticks

BEFORE = ((2000, 150), (3000, 170), (4000, 175), (5000, 150), (6000, 110))
AFTER = ((2000, 146), (3000, 168), (4000, 178), (5000, 166), (6000, 140))
AXES = ("speed, rpm", "torque, N·m")
SVG = "{http://www.w3.org/2000/svg}"

sizes = st.floats(-1e6, 1e6, allow_nan=False)


def drawn(curves, **more):
    return ElementTree.fromstring(graph_svg(curves, AXES, "Before and after", **more))


def test_two_curves_differ_by_stroke_and_mark_and_both_are_named():
    svg = drawn({"before": BEFORE, "after": AFTER})
    lines = {line.get("stroke-dasharray") for line in svg.iter(f"{SVG}polyline")}
    assert lines == {None, "9 5"}
    assert len(list(svg.iter(f"{SVG}circle"))) == len(BEFORE) + 1  # and one beside its name
    assert len(list(svg.iter(f"{SVG}rect"))) == len(AFTER) + 1
    assert {"before", "after", *AXES} <= {text.text for text in svg.iter(f"{SVG}text")}


def test_a_curve_is_read_out_by_its_title_and_its_ends():
    svg = drawn({"before": BEFORE})
    assert svg.get("role") == "img"
    assert svg.find(f"{SVG}title").text == "Before and after"
    assert "before: from 150 at 2000 to 110 at 6000" in svg.find(f"{SVG}desc").text


def test_more_torque_is_higher_and_more_speed_is_further_right():
    (line,) = drawn({"before": BEFORE}).iter(f"{SVG}polyline")
    points = [tuple(map(float, point.split(","))) for point in line.get("points").split()]
    assert [x for x, _ in points] == sorted(x for x, _ in points)
    heights = [-y for _, y in points]
    assert heights.index(max(heights)) == 2  # 175 N·m at 4000 rpm
    assert heights.index(min(heights)) == 4


def test_no_style_is_written_into_the_drawing():
    assert "style" not in graph_svg({"before": BEFORE, "after": AFTER}, AXES, "t")


def test_words_that_look_like_markup_stay_words():
    assert "<b>" not in graph_svg({"<b>": BEFORE, "x": AFTER}, ("<b>", "y"), "<b>")


@pytest.mark.parametrize("points", [(), ((float("nan"), 1.0),)])
def test_nothing_is_drawn_of_nothing(points):
    assert graph_svg({"none": points}, AXES, "t") == ""


@given(st.lists(st.tuples(sizes, sizes), min_size=1, max_size=30))
def test_every_curve_stays_inside_its_drawing(points):
    svg = drawn({"one": points})
    _, _, width, height = map(float, svg.get("viewBox").split())
    for line in svg.iter(f"{SVG}polyline"):
        for point in line.get("points").split():
            x, y = map(float, point.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height


@given(sizes, sizes)
def test_ticks_hold_what_is_between_them_and_are_few(one, other):
    low, high = sorted((one, other))
    found = ticks(low, high)
    bit = 1e-6 * max(1e-9, high - low, abs(low) * 1e-3)
    assert found[0] <= low + bit
    assert found[-1] >= high - bit
    assert 2 <= len(found) <= 8
