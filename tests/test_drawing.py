"""A drawing of bolts shows every bolt once, with its turn, and says in words what it shows."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.drawing import pattern_svg, tightening
from webapp.pack.schema import Fasteners

SVG = "{http://www.w3.org/2000/svg}"


def group(**declared):
    return Fasteners.model_validate({"name": "cover bolts", "thread": "M8x1.25", **declared})


def bolts(svg):
    return ElementTree.fromstring(svg).findall(f"{SVG}g")


def test_each_bolt_shows_its_turn():
    drawn = tightening(group(count=9, pattern={"row": 9}))
    shown = [bolt.findtext(f"{SVG}text") for bolt in bolts(drawn.svg)]
    assert shown == ["9", "7", "5", "3", "1", "2", "4", "6", "8"]  # US Army TM 5-3805-248-23-1


def test_the_makers_order_is_drawn_instead_of_our_own():
    drawn = tightening(group(count=4, pattern={"circle": 4}, order=[4, 3, 2, 1]))
    assert [bolt.get("data-turn") for bolt in bolts(drawn.svg)] == ["4", "3", "2", "1"]
    assert drawn.by_maker
    assert drawn.says == "The maker's order."


def test_a_screen_reader_hears_the_order():
    svg = tightening(group(count=4, pattern={"circle": 4})).svg
    title = ElementTree.fromstring(svg).findtext(f"{SVG}title")
    assert title == "Tightening order of cover bolts, bolts counted clockwise from the top: 1, 3, 2, 4"
    assert 'role="img"' in svg


def test_bolts_of_two_lengths_are_told_apart_by_letters():
    lengths = [{"length": "25 mm", "count": 2, "at": [1, 3]}, {"length": "40 mm", "count": 2, "at": [2, 4]}]
    drawn = tightening(group(lengths=lengths, pattern={"circle": 4}))
    assert [bolt.findall(f"{SVG}text")[1].text for bolt in bolts(drawn.svg)] == ["A", "B", "A", "B"]
    assert drawn.letters == ("A", "B")


@pytest.mark.parametrize("declared", [{"count": 4}, {"count": 1, "pattern": {"row": 1}}])
def test_there_is_no_drawing_without_places_or_of_one_bolt(declared):
    assert tightening(group(**declared)) is None


def test_words_of_an_author_never_become_markup():
    svg = tightening(group(count=2, pattern={"row": 2}).model_copy(update={"name": "</title><script>"})).svg
    assert "<script" not in svg


def test_a_drawing_needs_no_style_that_a_strict_page_refuses():
    svg = tightening(group(count=24, pattern={"circle": 24})).svg
    assert not re.search(r"\bstyle=|<style|\bid=", svg)
    assert "currentColor" in svg


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=60))
def test_no_bolt_is_drawn_outside_the_drawing(points):
    root = ElementTree.fromstring(pattern_svg(points, range(1, len(points) + 1), "bolts"))
    left, top, width, height = map(float, root.get("viewBox").split())
    circles = list(root.iter(f"{SVG}circle"))
    assert len(circles) == len(points)
    for circle in circles:
        x, y, radius = (float(circle.get(name)) for name in ("cx", "cy", "r"))
        assert left <= x - radius <= x + radius <= left + width
        assert top <= y - radius <= y + radius <= top + height
