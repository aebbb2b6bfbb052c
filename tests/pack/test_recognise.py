"""Quantities in prose are recognised, and what only looks like one is left alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.recognise import find
from webapp.pack.spellings import ANY_CASE, MISSPELT, SYMBOLS


def texts(prose):
    return [prose[one.start : one.end] for one in find(prose)]


def kinds(prose):
    return [one.amounts[0].kind if one.amounts else one.problem.code for one in find(prose)]


@pytest.mark.parametrize(
    "prose, quantities",
    [
        ("Hand-tight first, then to 20 lbf·ft, corner to corner.", ["20 lbf·ft"]),
        ("Wait 24 h at 23 °C and 50 % humidity.", ["24 h", "23 °C", "50 %"]),
        ("Tighten to 24 N·m (18 lbf·ft) crosswise.", ["24 N·m (18 lbf·ft)"]),
        ("Tighten to 18 lbf·ft/24 N·m.", ["18 lbf·ft/24 N·m"]),
        ("Torque is 20 to 25 N·m, 20–25\u00a0N·m.", ["20 to 25 N·m", "20–25\u00a0N·m"]),
        ("25 ± 2 N·m, then 1/4 turn, then 90°.", ["25 ± 2 N·m", "1/4 turn", "90°"]),
        ("Leave it for 1 h 30 min or 1 hour and 30 minutes.", ["1 h 30 min", "1 hour and 30 minutes"]),
        ("Let it cool to at most 50 °C; 5 min or more.", ["at most 50 °C", "5 min or more"]),
        ("A 3 mm bead, 1-5/32 in long, 2½ in wide.", ["3 mm", "1-5/32 in", "2½ in"]),
        ("A 3-mm bead and a 24-hour cure.", ["3-mm", "24-hour"]),
        ("At −5 °C (23 °F) and at -5 °C.", ["−5 °C (23 °F)", "-5 °C"]),
        ("A hose of 4 in. A hose of 4 in (100 mm).", ["4 in", "4 in (100 mm)"]),
        ("Drive 50 km at 50 km/h; pour 5 L at 5 L/min.", ["50 km", "50 km/h", "5 L", "5 L/min"]),
        ("Pump it up to 15 psi.", ["15 psi"]),  # its words go on without the figure's
        ("Wait 5 min, 20 N·m.", ["5 min", "20 N·m"]),
        ("For 5 min 20 N·m holds it.", ["5 min", "20 N·m"]),
        ("The climax 20 mm down.", ["20 mm"]),
        ("24 h / 3 mm", ["24 h", "3 mm"]),
        ("12.6 V at 1.5 A through 120 Ω at 800 rpm", ["12.6 V", "1.5 A", "120 Ω", "800 rpm"]),
        ("It weighs 20 pounds.", ["20 pounds"]),
        ("24 N·m (see page 3)", ["24 N·m"]),
        ("Cure 24 h (7 days in the cold).", ["24 h", "7 days"]),
        ("Cure 24 h (7 days).", ["24 h", "7 days"]),
        ("20\nlbf·ft over a line", ["20\nlbf·ft"]),
    ],
)
def test_a_quantity_in_prose_is_found_where_it_stands(prose, quantities):
    assert texts(prose) == quantities
    assert all(one.amounts for one in find(prose))


@pytest.mark.parametrize(
    "prose",
    [
        "Put 4 in the tray and 2 in place, 3 in 1.",
        "M8x1.25, M8 × 1.25 mm, 1/4-20 UNC, 3/8-18 NPT",
        "A 10 mm socket, a 10-mm spanner, a 3/8 in drive, an 8 mm hex key, a 6 mm long key.",
        "The 2.2-litre engine takes 5W-30.",
        "Step 3, bolts 1-4, version 1.2.3, 2024-05-06, 12:30",
        "Read page 4. A second time? See step 5.",
        'He said "turn 5" and left.',
        "RTV-3 mm is a name, as is A4.",
        "no figures here",
        "",
        "10 A/C units, 4 x 4, 7 things",
    ],
)
def test_what_only_looks_like_a_quantity_is_left_alone(prose):
    assert texts(prose) == []


@pytest.mark.parametrize(
    "prose, quantities",
    [
        ("Tighten bolt 3 to 25 N·m.", ["25 N·m"]),
        ("Tighten bolts 1 to 25 N·m.", ["25 N·m"]),
        ("Tighten all 4 to 25 N·m.", ["25 N·m"]),
        ("Tighten the 8 to 25 N·m.", ["25 N·m"]),
        ("Set bolts 1–4 to 25–30 N·m.", ["25–30 N·m"]),
        ("Tighten from 20 to 25 N·m.", ["20 to 25 N·m"]),
    ],
)
def test_the_number_of_a_bolt_is_no_end_of_a_range(prose, quantities):
    assert texts(prose) == quantities


@pytest.mark.parametrize(
    "prose, kind",
    [
        ("It rises by 10 °C.", "temperature-difference"),
        ("It drops about 10 °C.", "temperature-difference"),
        ("10 °C warmer than the bay", "temperature-difference"),
        ("10 °C above the bay", "temperature-difference"),
        ("within 5 °C of it", "temperature-difference"),
        ("It rises to 10 °C.", "temperature"),
        ("above 10 °C", "temperature"),
        ("25 N·m", "torque"),
        ("25 N m", "torque"),
        ("18 foot-pounds", "torque"),
    ],
)
def test_the_unit_and_the_words_around_it_say_what_it_is(prose, kind):
    assert kinds(prose) == [kind]


@pytest.mark.parametrize(
    "prose, place, code",
    [
        ("Tighten to 25,5 N·m now.", "25,5 N·m", "amount-unclear"),
        ("Run it at 1,200 rpm.", "1,200 rpm", "amount-unclear"),
        ("Tighten the four to 20 pounds.", "20 pounds", "R21"),
        ("Torque: 20 lb, dry.", "20 lb", "R21"),
        ("Tighten to 25 nm.", "25 nm", "unit-unknown"),
        ("Tighten to 500 MNm.", "500 MNm", "unit-unknown"),
        ("Tighten to 20 ft/lbs.", "20 ft/lbs", "unit-unknown"),
        ("Tighten to 25 N·m (30 lbf·ft).", "25 N·m (30 lbf·ft)", "R26"),
        ("Pour 2 gal of coolant.", "2 gal", "amount-unclear"),
        ("Tighten to 25–20 N·m.", "25–20 N·m", "amount-unclear"),
        ("Tighten to 0 N·m.", "0 N·m", "amount-unclear"),
        ("Let it fall from 90 to 50 °C.", "90 to 50 °C", "amount-unclear"),
    ],
)
def test_an_unclear_quantity_in_prose_is_a_problem_at_its_place(prose, place, code):
    (one,) = find(prose)
    assert prose[one.start : one.end] == place
    assert one.problem.code == code
    assert one.amounts == ()


def test_pounds_after_a_full_stop_are_a_weight_again():
    assert kinds("Tighten it. The pump weighs 20 pounds.") == ["mass"]


def test_a_fall_between_two_temperatures_is_written_with_both_units():
    """One unit for both would be a range the wrong way round; Droplight asks, and this is the way out."""
    assert texts("Let it fall from 90 °C down to 50 °C.") == ["90 °C", "50 °C"]


# Laws -----------------------------------------------------------------------------------------------------

pieces = st.sampled_from(
    [
        *SYMBOLS,
        *ANY_CASE[::11],
        *MISSPELT,
        *"0123456789.,-–±/½ ()°%\"'xe×\n",
        " to ",
        " at most ",
        " or more",
        " tighten ",
        " bolt ",
        "\u00a0",
        "25 ",
        "1/2 ",
        " 24 N·m (18 lbf·ft) ",
    ]
)


@given(st.text() | st.lists(pieces, max_size=40).map("".join))
def test_no_text_breaks_recognition_and_places_are_in_order_and_hold_their_amount(prose):
    end = 0
    for one in find(prose):
        assert end <= one.start < one.end <= len(prose)
        assert bool(one.amounts) != bool(one.problem)
        for amount in one.amounts:
            assert amount.text == " ".join(prose[one.start : one.end].split())
        end = one.end


@given(st.lists(pieces, max_size=12).map("".join), st.lists(pieces, max_size=12).map("".join))
def test_a_paragraph_is_the_sum_of_its_sentences(one, other):
    """What is found in one sentence does not depend on the next."""
    both = find(f"{one}. ¶ {other}")
    alone = find(f"{one}. ¶ ")
    assert [(a.start, a.end) for a in both if a.end <= len(one)] == [(a.start, a.end) for a in alone]


@pytest.mark.parametrize(
    "piece",
    [
        "1",
        "1,",
        "1/",
        "1-",
        "1 to 1" + 5000 * "1" + " N·m ",
        "1 1/2 ",
        "1 h 1 min ",
        "1 to ",
        "½",
        "25 N·m (",
        "at most ",
        "1 N",
        "- 1 °",
    ],
)
def test_a_very_long_paragraph_is_read_to_its_end(piece):
    """A pattern that went back over the text would be at it for hours."""
    prose = piece * (100_000 // len(piece))
    assert all(one.end <= len(prose) for one in find(prose))
