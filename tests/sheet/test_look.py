"""The sheet is read with greasy hands, off a wall, from a black-and-white printer."""

import re
from pathlib import Path

import pytest

import webapp.sheet

CSS = Path(webapp.sheet.__file__).with_name("templates") / "sheet.css"
RULES = re.findall(r"([^{}]+)\{([^{}]*)\}", re.sub(r"/\*.*?\*/", "", CSS.read_text("utf-8"), flags=re.S))
assert RULES


def luminance(colour):
    """Return the relative luminance of #rgb or #rrggbb (WCAG 2.2, relative luminance)."""
    digits = colour.lstrip("#")
    parts = (
        [int(d * 2, 16) for d in digits]
        if len(digits) == 3
        else [int(digits[i : i + 2], 16) for i in (0, 2, 4)]
    )
    linear = [p / 255 / 12.92 if p <= 10 else ((p / 255 + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """Return the contrast ratio of two colours (WCAG 2.2)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_reckoned_as_the_standard_does():
    """WCAG 2.2: black on white is 21:1; #767676 on white is the well-known 4.54:1."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize(
    "selector, body", [(s.strip(), b) for s, b in RULES if "color" in b or "background" in b]
)
def test_no_text_is_fainter_than_seven_to_one(selector, body):
    """WCAG 2.2 success criterion 1.4.6 asks 7:1."""
    ink = re.search(r"(?<![-\w])color:\s*(#\w+)", body)
    paper = re.search(r"background:\s*(#\w+)", body)
    assert contrast(ink[1] if ink else "#000", paper[1] if paper else "#fff") >= 7


def test_nothing_in_the_body_is_smaller_than_ten_and_a_half_points():
    sizes = {
        float(size)
        for selector, body in RULES
        if "@page" not in selector
        for size in re.findall(r"font(?:-size)?:[^;]*?([\d.]+)pt", body)
    }
    assert 10.5 in sizes
    assert min(sizes) >= 10.5


def test_signal_words_differ_by_more_than_colour():
    """ANSI Z535.4 (from memory) sets them apart by word; the borders are ours."""
    borders = {
        word: re.findall(r"border[-\w]*:\s*([^;]+)", " ".join(b for s, b in RULES if f".panel.{word}" in s))
        for word in ("danger", "warning", "caution", "notice")
    }
    assert len({tuple(border) for border in borders.values()}) == 4
