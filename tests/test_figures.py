"""What is typed into a field becomes what a computation takes, or words that say what to type instead."""

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp import figures
from webapp.figures import FIGURES, Problems, Unknown, plain
from webapp.trade.answer import Answer, Ask, Declared, Line
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.units import UNITS

assert FIGURES, "a test over no figures would pass by looking at nothing"
every_figure = pytest.mark.parametrize("declared", FIGURES, ids=lambda declared: declared.name)


def echo(**values):
    """Answer with what was asked."""
    return Answer(values, (Line("Said", "so"),), ("as it is",), "common practice, no source", "anything")


def asked(kind, text, **more):
    """Return what a field of one kind makes of a text."""
    declared = Declared("echo", "Echo", "Says it again", (Ask("it", "What?", kind, "3 mm", **more),), echo)
    return figures.ask(declared, {"it": text}).value["it"]


def complaint(kind, text, **more):
    """Return what a field of one kind says against a text."""
    with pytest.raises(Problems) as caught:
        asked(kind, text, **more)
    (problem,) = caught.value.problems
    assert problem.field == "it"
    return problem


def outcome(declared, given):
    """Return what comes of some texts; an answer goes through JSON on the way."""
    try:
        answer = figures.ask(declared, given)
    except Problems as problems:
        said = [(one.what, one.why, one.write) for one in problems.problems]
        good = bool(said) and {one.field for one in problems.problems} <= set(given)
    except Refused as refused:
        said, good = [(refused.what, refused.why, refused.write)], True
    else:
        said = [(line.label, line.text) for line in answer.lines]
        good = bool(said) and bool(json.dumps(plain(answer), allow_nan=False))
    return good and all(words.strip() for three in said for words in three)


# --- Every figure


@every_figure
def test_every_figure_answers_on_its_own_examples_with_working_source_and_validity(declared):
    answer = figures.answer(declared.name, figures.examples(declared))
    assert answer.value
    assert answer.lines
    assert all(line.label.strip() and line.text.strip() for line in answer.lines)
    assert answer.working
    assert all(step.strip() for step in answer.working)
    assert answer.source.strip()
    assert answer.validity.strip()


@every_figure
def test_every_figure_answers_when_only_what_it_requires_is_said(declared):
    """What may be left blank may be left blank; a figure may still refuse, never break."""
    needed = {one.name: one.example for one in declared.asks if one.required}
    assert outcome(declared, needed)


@every_figure
def test_every_figure_is_declared_so_that_it_can_be_typed_linked_and_read_aloud(declared):
    assert re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", declared.name)
    assert declared.title.strip()
    assert declared.what.strip()
    names = [one.name for one in declared.asks]
    assert names
    assert len(set(names)) == len(names)
    for one in declared.asks:
        assert one.name.isidentifier()
        assert one.ask.strip()
        assert one.example.strip() or not one.required
        assert (one.kind == "choice") == bool(one.choices)
        if one.choices:
            assert one.example in one.choices or not one.example


def test_no_two_figures_have_one_name_or_one_title():
    assert len({one.name for one in FIGURES}) == len(FIGURES)
    assert len({one.title for one in FIGURES}) == len(FIGURES)


@every_figure
def test_every_answer_is_plain_data_that_says_the_same_after_a_journey(declared):
    given = plain(figures.answer(declared.name, figures.examples(declared)))
    assert json.loads(json.dumps(given, allow_nan=False)) == given


SIZES = st.sampled_from(
    ["0", "0.000001", "0.5", "1", "2", "8", "14", "25", "50", "60", "99.9", "100", "101"]
) | (st.decimals(0, 9_999_999, places=3).map(str))
ODD = st.sampled_from(
    [
        "",
        " ",
        ";",
        "-5",
        "−40 °C",
        "1,5",
        "9/16 in",
        "1 1/4",
        "2½",
        "10–20 mm",
        "at most 5 N·m",
        "1e5",
        "M8",
        "1/4-20",
        "nan",
        "inf",
        "0",
        "999999999",
        "25 ± 2 N·m",
        "\x00",
        "x,y\n1,2",
        "1;2;3",
        "°",
        "%",
        "①",
    ]
)


def texts(one):
    """Return texts for a field: its example, amounts of its kind, oddities, anything at all."""
    likely = [st.just(one.example), st.just(""), ODD, st.text(max_size=30)]
    units = figures.units_of(one) or (list(UNITS) if one.kind == "amount" else [])
    if units:
        likely += 4 * [st.builds("{} {}".format, SIZES, st.sampled_from(units))]
    if one.kind in ("number", "whole"):
        likely += 4 * [SIZES]
    if one.choices:
        likely += 4 * [st.sampled_from(one.choices)]
    if one.many and not figures.of_many_lines(one):
        likely += 2 * [st.lists(st.one_of(likely), max_size=4).map("; ".join)]
    if figures.of_many_lines(one):
        lines = one.example.split("\n")
        likely += 4 * [st.lists(st.sampled_from([*lines, "1,2", ",", "a;b"]), max_size=9).map("\n".join)]
    return st.one_of(likely)


@every_figure
@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_text_in_any_field_gives_an_answer_a_refusal_or_words_for_a_field(declared, data):
    given = {one.name: data.draw(texts(one), label=one.name) for one in declared.asks}
    assert outcome(declared, given)


# --- Names


def test_a_figure_of_no_such_name_is_asked_back():
    name = FIGURES[0].name
    with pytest.raises(Unknown, match=f"did you mean “{name}”"):
        figures.answer(name + "x", {})


def test_a_field_that_a_figure_does_not_have_is_asked_back_and_not_left_out_in_silence():
    declared = Declared("echo", "Echo", "Says it", (Ask("length", "How long?", "length", "3 mm"),), echo)
    with pytest.raises(Problems) as caught:
        figures.ask(declared, {"lenght": "3 mm", "length": "3 mm"})
    (problem,) = caught.value.problems
    assert "did you mean “length”" in problem.what
    assert problem.write == "length"


def test_every_field_that_is_wrong_is_named_at_once():
    asks = tuple(Ask(name, "How long?", "length", "3 mm") for name in ("a", "b", "c"))
    with pytest.raises(Problems) as caught:
        figures.ask(Declared("echo", "Echo", "Says it", asks, echo), {"a": "3", "b": "3 mm"})
    assert [one.field for one in caught.value.problems] == ["a", "c"]


# --- Amounts


@pytest.mark.parametrize(
    "text, mm", [("14 mm", 14), ("9/16 in", 14.2875), ("1-1/4 in", 31.75), ("0.25 ft", 76.2), ("0 mm", 0)]
)
def test_a_length_is_taken_in_whatever_unit_the_tape_has(text, mm):
    assert asked("length", text).m_as("mm") == pytest.approx(mm)


def test_a_turn_by_nought_may_be_asked_about():
    """A step that turns by 0° asks for nothing, but an adapter in line with the handle stands at 0°."""
    assert asked("angle", "0°").m_as("degree") == 0
    assert asked("angle", "0 degrees").m_as("degree") == 0


def test_temperatures_go_below_nought_and_differences_have_no_offset():
    assert asked("temperature", "−40 °F").m_as("degC") == pytest.approx(-40)
    assert asked("temperature-difference", "18 °F").m_as("delta_degC") == pytest.approx(10)


def test_an_amount_of_any_kind_keeps_its_range():
    figure = asked("amount", "20–25 N·m")
    assert (figure.kind, figure.form, figure.low, figure.high) == ("torque", "range", 20, 25)


def test_a_number_without_its_unit_is_told_the_units_that_work():
    problem = complaint("length", "14")
    assert problem.what == "“14” has no unit"
    for unit in ("14 mm", "cm", "in", "ft"):
        assert unit in problem.write


def test_a_decimal_comma_is_asked_back_with_and_without_a_unit():
    assert "may be 8.5" in complaint("length", "8,5 mm").what
    assert "may be 8.5 or 85" in complaint("length", "8,5").what
    assert "mm" in complaint("length", "8,5").write


def test_pounds_for_torque_may_be_two_things():
    assert "lbf·ft or lbf·in" in complaint("torque", "25 lbs").what


def test_a_unit_of_another_kind_is_said_to_be_one():
    assert "here stands a length" in complaint("length", "25 N·m").what


@pytest.mark.parametrize(
    "text, is_a, write",
    [
        ("20–25 N·m", "a range", "20 N·m"),
        ("25 ± 2 N·m", "a tolerance", "25 N·m"),
        ("at most 25 N·m", "a bound", "25 N·m"),
        ("at least 25 N·m", "a bound", "25 N·m"),
    ],
)
def test_one_figure_is_asked_for_where_one_is_needed(text, is_a, write):
    problem = complaint("torque", text)
    assert is_a.removeprefix("a ") in problem.what
    assert write in problem.write


# --- Plain numbers, choices, texts, lists


@pytest.mark.parametrize(
    "text, value",
    [
        ("25", 25),
        ("25.5", 25.5),
        ("9/16", 0.5625),
        ("1 1/4", 1.25),
        ("2½", 2.5),
        ("-3", -3),
        ("−3", -3),
        ("0", 0),
    ],
)
def test_a_plain_number_may_be_a_fraction_of_the_trade(text, value):
    assert asked("number", text) == value


@pytest.mark.parametrize(
    "text, what",
    [
        ("0,20", "may be 0.20 or 020"),
        ("1,234", "may be 1.234 or 1234"),
        ("1.234.567", "more than one decimal point"),
        ("3 mm", "not a plain number"),
        ("1e5", "not a plain number"),
        ("nan", "not a plain number"),
        ("7/9", "not a fraction of the trade"),
        ("1/0", "not a fraction of the trade"),
        ("12345678901", "too many figures"),
    ],
)
def test_what_is_no_clear_number_is_asked_back(text, what):
    assert what in complaint("number", text).what


@given(st.integers(-999_999_999, 999_999_999))
def test_a_whole_number_is_read_as_it_is_written(count):
    assert asked("whole", str(count)) == count


@pytest.mark.parametrize("text", ["2.5", "1/2"])
def test_half_a_bolt_is_not_counted(text):
    assert "not a whole number" in complaint("whole", text).what


def test_a_choice_is_taken_in_any_case_and_a_slip_is_asked_back():
    choices = ("mild steel", "cast iron")
    assert asked("choice", " Mild  STEEL ", choices=choices) == "mild steel"
    assert "did you mean “cast iron”" in complaint("choice", "cast irn", choices=choices).what
    assert complaint("choice", "wood", choices=choices).write == "one of mild steel, cast iron"


def test_a_list_is_parted_by_semicolons_and_holds_no_empty_place():
    assert [one.m_as("mm") for one in asked("length", "3 mm; 4 mm;5 mm;", many=True)] == [3, 4, 5]
    assert "is empty" in complaint("length", "3 mm;;5 mm", many=True).what
    assert "51 entries" in complaint("number", ";".join(["1"] * 51), many=True).what


def test_what_is_not_required_may_be_left_out():
    declared = Declared(
        "echo", "Echo", "Says it", (Ask("it", "It?", "length", "3 mm", required=False),), echo
    )
    assert figures.ask(declared, {"it": " "}).value == {}
    assert figures.ask(declared, {}).value == {}


def test_what_is_required_is_asked_for_with_its_example():
    assert complaint("length", "").write == "3 mm"


@pytest.mark.parametrize("kind", ["length", "number", "whole", "choice", "text", "amount"])
def test_no_line_is_endless(kind):
    more = {"choices": ("a", "b")} if kind == "choice" else {}
    assert "201 characters" in complaint(kind, "1" * 201, **more).what


def test_a_table_is_as_long_as_a_run_and_no_longer():
    table = Ask("it", "Run", "text", "rpm,N·m\n2000,150")
    declared = Declared("echo", "Echo", "Says it", (table,), echo)
    rows = "2000,150\n" * 20_000
    assert figures.ask(declared, {"it": rows}).value["it"] == rows
    with pytest.raises(Problems, match="225 kB"):
        figures.ask(declared, {"it": "2000,150\n" * 25_000})


# --- Plain data


def test_a_quantity_is_given_away_as_number_and_unit():
    value = {
        "torque": Q_(25.0, "newton * meter"),
        "colder": Q_(10.0, "delta_degC"),
        "list": [Q_(3.0, "mm"), 4, "five", None],
        "no number": float("inf"),
    }
    assert plain(echo(**value))["value"] == {
        "torque": {"value": 25.0, "unit": "N·m"},
        "colder": {"value": 10.0, "unit": "°C"},
        "list": [{"value": 3.0, "unit": "mm"}, 4, "five", None],
        "no number": None,
    }
