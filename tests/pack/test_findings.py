"""A finding is a block of lines that a person reads in a terminal: where, what, why, and what to write."""

import json

import pytest

from tests.pack.writing import pack, result, step
from webapp.pack.codes import CODES
from webapp.pack.findings import WIDEST, Finding, Place, did_you_mean, listed

COMMA = """\
content/coolant-pump/pack.md:31:51: error amount-unclear
   31 |   pump-bolts: {count: 4, thread: M8x1.25, torque: 25,5 N·m}
      |                                                   ^^^^^^^^
  what   “25,5 N·m” may be 25.5 or 255
  why    the wrong guess is ten times the torque, and the thread goes with it
  write  25.5 N·m"""
LINE = "  pump-bolts: {count: 4, thread: M8x1.25, torque: 25,5 N·m}"


def finding(place: Place, shown: str = LINE, **more) -> Finding:
    """Return a finding of an amount with a decimal comma."""
    what, _, rest = COMMA.partition("what   ")[2].partition("\n  why    ")
    why, _, write = rest.partition("\n  write  ")
    return Finding("amount-unclear", "error", place, what, why, write, shown, **more)


def test_a_finding_is_laid_out_as_a_person_reads_it():
    assert finding(Place("content/coolant-pump/pack.md", 31, 51, 8)).text() == COMMA


def test_the_compiler_says_it_in_the_same_words():
    (found,) = result(pack(f"fasteners:\n{LINE.replace('{', '{name: bolts, ')}\n", step("Look"))).errors
    assert found.text().splitlines()[3:] == COMMA.splitlines()[3:]


def test_a_finding_of_two_places_shows_both():
    text = finding(Place("pack.md", 31, 51, 8), also=Place("pack.md", 7, 1, 4), also_shown="Here too.").text()
    assert "\n  and pack.md:7:1\n    7 | Here too.\n      | ^^^^\n" in text


def test_a_place_in_a_long_line_is_shown_with_what_stands_around_it():
    long = "x" * 500 + "25,5 N·m" + "y" * 500
    lines = finding(Place("pack.md", 3, 501, 8), long).text().splitlines()
    assert len(lines[1]) <= WIDEST + 8
    marked = lines[1][lines[2].index("^") : lines[2].rindex("^") + 1]
    assert marked == "25,5 N·m"


def test_an_empty_line_is_not_shown():
    assert finding(Place("pack.md", 1), "").text().splitlines()[1].startswith("  what")


def test_a_finding_is_plain_data_for_programs():
    plain = finding(
        Place("pack.md", 31, 51, 8), also=Place("pack.md", 7, 1, 4), also_shown="Here too."
    ).plain()
    assert json.loads(json.dumps(plain)) == plain
    assert plain["place"] == {"file": "pack.md", "line": 31, "column": 51, "length": 8}
    assert plain["also"]["shown"] == "Here too."
    assert list(plain) == ["code", "severity", "place", "shown", "what", "why", "write", "also"]


def test_findings_come_in_the_order_of_the_file():
    text = pack(
        "items:\n  a: {kind: prat, name: a}\n", step("B", "hazards: scold\n"), step("A", prose="<b>!")
    )
    places = [(one.place.line, one.place.column) for one in result(text).findings]
    assert len(places) == 3
    assert places == sorted(places)


def test_a_misspelt_word_gets_the_nearest_known_one():
    known = ["torque", "thread", "threads"]
    assert did_you_mean("tourque", known) == "; did you mean “torque”?"
    assert did_you_mean("wheelbarrow", known) == ""
    assert did_you_mean("x" * 10_000, known) == ""


def test_a_long_list_ends_with_how_many_more():
    assert listed("abc") == "a, b, c"
    assert listed("abcdef", 4) == "a, b, c, d and 2 more"


@pytest.mark.parametrize("code", CODES)
def test_every_code_is_explained_with_a_wrong_and_a_right_writing(code):
    known = CODES[code]
    assert len(known.title) > 10
    assert known.why.endswith((".", "”"))
    assert known.wrong != known.right
