"""Figures, wrenches and lists: what the rules of tightening must let pass, and where their edges lie."""

import pytest

from tests.reference.published import Table, inputs
from webapp.pack import schema
from webapp.pack.actions import Fill
from webapp.pack.amounts import read
from webapp.proof.rules import drilled, listed
from webapp.proof.rules.figures import QUARTER, TWICE, band, ends, grade
from webapp.proof.rules.wrenches import holding, moves_the_lever
from webapp.trade.threads import read_thread

TABLE = Table("bolt-strength.csv")


def group(thread, torque="10 N·m", **more):
    return schema.Fasteners(name="bolts", count=2, thread=thread, torque=torque, **more)


@pytest.mark.parametrize("row", TABLE.of("short-form-torque", "short-form-torque-inch"))
def test_no_published_figure_for_a_bolt_is_unusual(row):
    given = inputs(row)
    words = given.get("class") or f"grade {given['grade']}"
    unit = {"N.m": "N·m", "lbf.in": "lbf·in"}[row["unit"]]
    figure = read(f"{row['expected']} {unit}", "torque")
    for class_ in (words, None):
        usual = band(group(given["thread"], **{"class": class_}))
        assert usual.low <= ends(figure)[0] <= ends(figure)[1] <= usual.high


@pytest.mark.parametrize(
    "thread, class_, into, torque",
    [  # what workshop books print for such parts, from memory
        ("M5x0.8", "8.8", "aluminium", "6 N·m"),
        ("M6x1", "8.8", "aluminium", "8–10 N·m"),
        ("M6x1", "8.8", "steel", "10 N·m"),
        ("M6x1", None, "plastic", "3 N·m"),
        ("M8x1.25", "8.8", "aluminium", "20–25 N·m"),
        ("M8x1.25", "10.9", "cast-iron", "35 N·m"),
        ("M10x1.5", "8.8", "aluminium", "50 N·m"),
        ("M12x1.75", "8.8", "steel", "85 N·m"),
        ("M12x1.5", None, "steel", "110 N·m"),
        ("M14x1.5", None, "steel", "180 N·m"),
        ("M12x1.5", None, "aluminium", "25–35 N·m"),
        ("M14x1.5", None, "aluminium", "30 N·m"),
        ("M14x1.25", None, "aluminium", "15–25 N·m"),
        ("M18x1.5", None, "steel", "45 N·m"),
        ("M12x1.5", None, "aluminium", "15 N·m"),
        ("M10x1", None, "aluminium", "15 N·m"),
        ("M10x1", None, "steel", "10 N·m"),
        ("M24x1.5", None, "steel", "250 N·m"),
        ("M22x1.5", None, "aluminium", "60 N·m"),
        ("1/4-20 UNC", "grade 5", "cast-iron", "8 lbf·ft"),
        ("5/16-18 UNC", "grade 5", "cast-iron", "17 lbf·ft"),
        ("3/8-16 UNC", "grade 5", "steel", "31 lbf·ft"),
        ("1/2-20 UNF", None, "steel", "75–85 lbf·ft"),
        ("7/16-14 UNC", "grade 8", "cast-iron", "65 lbf·ft"),
    ],
)
def test_a_figure_of_the_workshop_is_usual(thread, class_, into, torque):
    usual = band(group(thread, **{"class": class_, "into": into}))
    low, high = ends(read(torque, "torque"))
    assert usual.low <= low <= high <= usual.high


@pytest.mark.parametrize("thread, torque", [("M6x1", 10), ("M8x1.25", 25), ("M10x1.5", 49), ("M12x1.75", 85)])
@pytest.mark.parametrize("times", [12, 10])
def test_a_slip_of_unit_or_decimal_upwards_is_always_an_error(thread, torque, times):
    assert torque * times > TWICE * band(group(thread)).high


@pytest.mark.parametrize("thread, torque", [("M6x1", 10), ("M8x1.25", 25), ("M10x1.5", 49), ("M12x1.75", 85)])
def test_a_slip_downwards_is_below_what_is_usual_for_a_known_class(thread, torque):
    usual = band(group(thread, **{"class": "8.8"}))
    assert torque / 12 < usual.low
    assert torque / 100 < usual.low * QUARTER


@pytest.mark.parametrize("thread", ["1/8-27 NPT", "G 1/4", "R 1/2", "#10-24", "M42x4.5", "1/4-24 UNS"])
def test_a_thread_without_a_table_is_left_alone(thread):
    assert band(group(thread)) is None


@pytest.mark.parametrize(
    "thread, words, known",
    [
        ("M8x1.25", "8.8", "8.8"),
        ("M8x1.25", "class 10.9, zinc", "10.9"),
        ("M8x1.25", "8.8 or 10.9", None),
        ("M8x1.25", "A2-70", None),
        ("M8x1.25", None, None),
        ("5/16-18 UNC", "SAE Grade 5", "grade 5"),
        ("5/16-18 UNC", "8.8", None),
    ],
)
def test_a_class_is_taken_only_when_one_is_named(thread, words, known):
    assert grade(read_thread(thread), words) == known


def test_soft_threads_take_less_and_a_stronger_bolt_changes_nothing_there():
    steel, aluminium, plastic = (
        band(group("M8x1.25", into=one)) for one in ("steel", "aluminium", "plastic")
    )
    assert steel.high > aluminium.high > plastic.high
    strong = band(group("M8x1.25", into="aluminium", **{"class": "12.9"}))
    assert strong.high == aluminium.high


def wrench(span, **more):
    return schema.Wrench(range=span, **more)


@pytest.mark.parametrize(
    "figure, span, reached, true",
    [
        ("25 N·m", "5–25 N·m", True, True),
        ("26 N·m", "5–25 N·m", False, False),
        ("5 N·m", "5–25 N·m", True, True),
        ("4.9 N·m", "5–25 N·m", False, False),
        ("10 N·m", "5–100 N·m", True, False),
        ("20 N·m", "5–100 N·m", True, True),
        ("18–22 N·m", "20–100 N·m", True, True),
        ("18 lbf·ft", "5–25 N·m", True, True),
        ("at most 25 N·m", "5–24 N·m", True, True),
    ],
)
def test_a_wrench_reaches_to_both_ends_of_its_scale_and_is_true_from_a_fifth(figure, span, reached, true):
    assert holding(read(figure, "torque"), [wrench(span)]) == (reached, true)


def test_one_wrench_that_is_true_is_enough():
    assert holding(read("10 N·m", "torque"), [wrench("5–100 N·m"), wrench("2–20 N·m")]) == (True, True)


@pytest.mark.parametrize(
    "tool, moves",
    [
        ({"name": "crowfoot, 13 mm"}, True),
        ({"name": "crow's-foot spanner"}, True),
        ({"name": "ring end", "adapter": "50 mm"}, True),
        ({"name": "ring end at 90° to the handle", "adapter": "50 mm"}, False),
        ({"name": "straight extension"}, False),
        ({"name": "drive adapter, 3/8 to 1/2"}, False),
        ({"name": "crow bar"}, False),
    ],
)
def test_only_what_moves_the_lever_wants_the_length_of_the_wrench(tool, moves):
    assert moves_the_lever(schema.Tool(**tool)) is moves


@pytest.mark.parametrize(
    "text, wrong",
    [
        ("M8x1.25", False),
        ("M12x1.25", False),
        ("3/8-16 UNC", False),
        ("1/4-24 UNS", False),
        ("1/8-27 NPT", False),
        ("R 1/2", False),
        ("1/2-14 NPSM", False),
        ("M8x1.3", True),
        ("3/8-18", True),
        ("3/8-17", True),
        ("1/2-14", True),
    ],
)
def test_a_thread_is_one_of_a_series_and_says_whether_it_is_taper(text, wrong):
    assert bool(list(drilled.of_designation(("fasteners", "x", "thread"), "x", text))) is wrong


@pytest.mark.parametrize(
    "parts, enough",
    [
        ([{"name": "ring", "count": 2, "for": "ring"}], 2),
        ([{"name": "ring", "for": "ring"}, {"name": "other ring", "count": 3, "for": "ring"}], 4),
        ([{"name": "set of rings", "for": "ring"}], None),
        ([{"name": "ring", "for": ["ring", "other"]}], None),
    ],
)
def test_pieces_are_counted_only_where_their_count_is_said(parts, enough):
    assert listed.enough([schema.Part(**part) for part in parts]) == enough


def fill(volume, mix=None):
    return None, 0, Fill(fill="coolant", volume=volume, mix=mix)


def bought(name, amount, **more):
    return schema.Consumable(name=name, amount=amount, **{"for": "coolant"}, **more)


@pytest.mark.parametrize(
    "poured, there, lacks",
    [
        ([fill("6 L")], [bought("ready mix", "6 L")], None),
        ([fill("6 L")], [bought("ready mix", "5 L")], "go in"),
        ([fill("3 L"), fill("3 L")], [bought("ready mix", "5 L")], "go in"),
        ([fill("6 L")], [bought("ready mix", "1.6 US gal")], None),
        ([fill("6 L", "50 %")], [bought("concentrate", "3 L")], None),
        ([fill("6 L", "50 %")], [bought("concentrate", "2 L")], "of its concentrate go in"),
        ([fill("6 L", "50 %")], [bought("concentrate", "3 L"), bought("distilled water", "2 L")], "go in"),
        (
            [fill("6 L", "50 %")],
            [bought("concentrate", "2 L"), bought("distilled water", "9 L")],
            "of its concentrate go in",
        ),
        ([fill("6 L", "50 %")], [bought("concentrate", "3 L"), bought("distilled water", "3 L")], None),
        ([fill("6 L")], [bought("concentrate", "1 L")], None),
        ([fill(None)], [bought("ready mix", "1 L")], None),
        ([fill("6 L")], [bought("powder", "100 g")], None),
    ],
)
def test_a_fluid_is_measured_only_where_all_amounts_are_said(poured, there, lacks):
    found = listed.short(poured, there)
    assert (found and found[0]) == lacks


def test_a_ready_mixture_counts_for_the_concentrate_that_is_in_it():
    there = [bought("concentrate", "2 L"), bought("ready mix", "2 L")]
    assert listed.short([fill("6 L", "50 %")], there, 0.5) is None
    assert listed.short([fill("8 L", "50 %")], there, 0.5) == ("of its concentrate go in", *volumes(4, 3))


def volumes(*litres):
    return tuple(listed.most(read(f"{one} L", "volume")) for one in litres)
