"""An author's text becomes an amount, or the text of a finding."""

import math
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from webapp.pack.amounts import Amount, AmountUnclear, agrees, read, read_any
from webapp.pack.spellings import ANY_CASE, EXAMPLES, MISSPELT, SYMBOLS, TWO_COUNTRIES, WORDS, known
from webapp.trade.units import UNITS


def unclear(text, kind):
    with pytest.raises(AmountUnclear) as raised:
        read(text, kind)
    return raised.value


@pytest.mark.parametrize(
    "text, kind, form, low, high, unit",
    [
        ("20 lbf·ft", "torque", "figure", 20, 20, "lbf·ft"),
        ("20 foot-pounds", "torque", "figure", 20, 20, "lbf·ft"),
        ("20 FT-LB", "torque", "figure", 20, 20, "lbf·ft"),
        ("20 ft. lbs.", "torque", "figure", 20, 20, "lbf·ft"),
        ("25Nm", "torque", "figure", 25, 25, "N·m"),
        ("25\u00a0N·m", "torque", "figure", 25, 25, "N·m"),
        ("25\u202fN⋅m", "torque", "figure", 25, 25, "N·m"),
        ("20–25 N·m", "torque", "range", 20, 25, "N·m"),
        ("20-25 N·m", "torque", "range", 20, 25, "N·m"),
        ("20 to 25 N·m", "torque", "range", 20, 25, "N·m"),
        ("20 N·m to 25 N·m", "torque", "range", 20, 25, "N·m"),
        ("25 ± 2 N·m", "torque", "tolerance", 23, 27, "N·m"),
        ("25 ±2 N·m", "torque", "tolerance", 23, 27, "N·m"),
        ("25 +/- 2 N·m", "torque", "tolerance", 23, 27, "N·m"),
        ("25 N·m ± 2 N·m", "torque", "tolerance", 23, 27, "N·m"),
        ("25 N·m ± 2", "torque", "tolerance", 23, 27, "N·m"),
        ("25 N·m ± 10 %", "torque", "tolerance", "22.5", "27.5", "N·m"),
        ("50 % ± 5 %", "share", "tolerance", 45, 55, "%"),
        ("at most 50 °C", "temperature", "at-most", None, 50, "°C"),
        ("max. 50 °C", "temperature", "at-most", None, 50, "°C"),
        ("50 °C max", "temperature", "at-most", None, 50, "°C"),
        ("up to 50 °C", "temperature", "at-most", None, 50, "°C"),
        ("≤ 50 °C", "temperature", "at-most", None, 50, "°C"),
        ("below 50 °C", "temperature", "at-most", None, 50, "°C"),
        ("at least 5 min", "duration", "at-least", 5, None, "min"),
        ("min 5 °C", "temperature", "at-least", 5, None, "°C"),
        ("5 min or more", "duration", "at-least", 5, None, "min"),
        ("1 h 30 min", "duration", "figure", 90, 90, "min"),
        ("1 hour and 30 minutes", "duration", "figure", 90, 90, "min"),
        ("2 days 4 h", "duration", "figure", 3120, 3120, "min"),
        ("1 1/2 h", "duration", "figure", "1.5", "1.5", "h"),
        ("9/16 in", "length", "figure", "0.5625", "0.5625", "in"),
        ('3/8"', "length", "figure", "0.375", "0.375", "in"),
        ("1-5/32 in", "length", "figure", "1.15625", "1.15625", "in"),
        ("2 1/2 in", "length", "figure", "2.5", "2.5", "in"),
        ("2½ in", "length", "figure", "2.5", "2.5", "in"),
        ("¼ in.", "length", "figure", "0.25", "0.25", "in"),
        ("1⁄4–3⁄8 in", "length", "range", "0.25", "0.375", "in"),
        ("1/4 turn", "angle", "figure", 90, 90, "°"),
        ("1/3 turn", "angle", "figure", 120, 120, "°"),
        ("90°", "angle", "figure", 90, 90, "°"),
        ("90 degrees", "angle", "figure", 90, 90, "°"),
        ("−34 °F", "temperature", "figure", -34, -34, "°F"),
        ("-40 to -34 °C", "temperature", "range", -40, -34, "°C"),
        ("20 degrees Celsius", "temperature", "figure", 20, 20, "°C"),
        ("20 C", "temperature", "figure", 20, 20, "°C"),
        ("10 °C", "temperature-difference", "figure", 10, 10, "°C"),
        ("2 US gal", "volume", "figure", 2, 2, "US gal"),
        ("2 gallons (imperial)", "volume", "figure", 2, 2, "imp gal"),
        ("500 cm³", "volume", "figure", 500, 500, "mL"),
        ("0 L", "volume", "figure", 0, 0, "L"),
        ("15 psi", "pressure", "figure", 15, 15, "psi"),
        ("12.4–12.8 V", "voltage", "range", "12.4", "12.8", "V"),
        ("800 r/min", "speed", "figure", 800, 800, "rpm"),
        ("18 kg", "mass", "figure", 18, 18, "kg"),
        ("100 km", "distance", "figure", 100, 100, "km"),
    ],
)
def test_a_clear_text_is_read_as_it_was_meant(text, kind, form, low, high, unit):
    amount = read(text, kind)
    assert (amount.kind, amount.form, amount.unit) == (kind, form, unit)
    assert amount.low == (None if low is None else Decimal(low))
    assert amount.high == (None if high is None else Decimal(high))
    assert (amount.nominal is None) == (form not in ("figure", "tolerance"))


@pytest.mark.parametrize(
    "text, kind, code, what, write",
    [
        # The example of the plan's style page; Pint reads these as 255 N·m, 750 N·m and a unit of yarn.
        ("25,5 N·m", "torque", "amount-unclear", "“25,5 N·m” may be 25.5 or 255", "25.5 N·m"),
        ("1,200 rpm", "speed", "amount-unclear", "“1,200 rpm” may be 1.200 or 1200", "1200 rpm"),
        ("1,200,000 rpm", "speed", "amount-unclear", "has commas", "1200000 rpm"),
        (
            "25 nm",
            "torque",
            "unit-unknown",
            "“nm” is not a unit Droplight knows; did you mean N·m?",
            "25 N·m",
        ),
        ("500 MNm", "torque", "unit-unknown", "did you mean mN·m?", "500 mN·m"),
        ("20 pounds", "torque", "R21", "“20 pounds” may be lbf·ft or lbf·in", "20 lbf·ft, or 20 lbf·in"),
        ("20 lb", "torque", "R21", "may be lbf·ft or lbf·in", "20 lbf·in"),
        ("20-25 lbs", "torque", "R21", "may be lbf·ft or lbf·in", "20–25 lbf·ft"),
        ("20 ft/lbs", "torque", "unit-unknown", "did you mean lbf·ft?", "20 lbf·ft"),
        (
            "2 gal",
            "volume",
            "amount-unclear",
            "may be of the United States or imperial",
            "2 US gal, or 2 imp gal",
        ),
        ("4 quarts", "volume", "amount-unclear", "may be of the United States", "4 US qt, or 4 imp qt"),
        ("8 fl oz", "volume", "amount-unclear", "may be of the United States", "8 imp fl oz"),
        ("25", "torque", "amount-unclear", "“25” has no unit", "25 N·m"),
        ("20-25", "torque", "amount-unclear", "“20-25” has no unit", "20 -25 N·m"),
        ("", "torque", "amount-unclear", "no amount is written", "25 N·m"),
        ("  \n", "torque", "amount-unclear", "no amount is written", "25 N·m"),
        ("tight", "torque", "amount-unclear", "“tight” is not a number and a unit", "25 N·m"),
        ("nan N·m", "torque", "amount-unclear", "is not a number and a unit", "25 N·m"),
        ("inf N·m", "torque", "amount-unclear", "is not a number and a unit", "25 N·m"),
        ("1e999 N·m", "torque", "amount-unclear", "is written with an exponent", "in full"),
        ("12345678 N·m", "torque", "amount-unclear", "has too many figures", "as a gauge or wrench"),
        ("2.1234567 N·m", "torque", "amount-unclear", "has too many figures", "as a gauge or wrench"),
        ("1.2.3 N·m", "torque", "amount-unclear", "has more than one decimal point", "25.5"),
        ("0 N·m", "torque", "amount-unclear", "is a torque of nought", "25 N·m"),
        ("-5 N·m", "torque", "amount-unclear", "“−5” is below nought", "5 N·m"),
        ("+5 °C", "temperature", "amount-unclear", "begins with a plus sign", "5 °C"),
        ("25–20 N·m", "torque", "amount-unclear", "“25–20 N·m” runs from 25 to 20", "20–25 N·m"),
        ("20–20 N·m", "torque", "amount-unclear", "runs from 20 to 20", "20 N·m"),
        ("20 N·m to 25 lbf·ft", "torque", "amount-unclear", "after “20 N·m” stands “to 25 lbf·ft”", "20 N·m"),
        ("at most 20–25 N·m", "torque", "amount-unclear", "a bound and a range at once", "the range"),
        ("25 ± 0 N·m", "torque", "amount-unclear", "is a torque of nought", "25 N·m"),
        ("12 ± 0 V", "voltage", "amount-unclear", "a tolerance of nothing", "12 V alone"),
        ("25 ± 30 N·m", "torque", "amount-unclear", "a tolerance of more than the figure", "25 N·m alone"),
        (
            "25 N·m ± 2 lbf·ft",
            "torque",
            "amount-unclear",
            "has two units for one amount",
            "both numbers in N·m",
        ),
        ("18/24 N·m", "torque", "amount-unclear", "“18/24” is a fraction", "a decimal number"),
        ("1/7 in", "length", "amount-unclear", "is not a fraction of the trade", "9/16"),
        ("1-9/8 in", "length", "amount-unclear", "is not a fraction of the trade", "9/16"),
        ("1/0 in", "length", "amount-unclear", "is not a fraction of the trade", "9/16"),
        (".5 mm", "length", "amount-unclear", "begins with its decimal point", "0.5 mm"),
        ("24 hors", "duration", "unit-unknown", "did you mean h?", "24 h"),
        (
            "24 fortnights",
            "duration",
            "unit-unknown",
            "“fortnights” is not a unit",
            "one of s, min, h, d, wk",
        ),
        ("1 h 90 min", "duration", "amount-unclear", "holds a whole h in its min", "1 h 30 min"),
        (
            "10 m",
            "duration",
            "unit-wrong-kind",
            "“10 m” is a length; here stands a length of time",
            "as in 10 min",
        ),
        ("20 J", "torque", "unit-unknown", "“J” is not a unit", "one of N·m"),
        ("10 °C", "torque", "unit-wrong-kind", "is a temperature; here stands a torque", "N·m"),
        ("−300 °C", "temperature", "amount-unclear", "is below absolute zero", "50 °C"),
        ("15 psia", "pressure", "unit-unknown", "did you mean psi?", "15 psi"),
        ("25 N·m and a bit", "torque", "amount-unclear", "after “25 N·m” stands “and a bit”", "25 N·m"),
        (
            "25 N·m (30 lbf·ft)",
            "torque",
            "R26",
            "“25 N·m” and “30 lbf·ft” are not the same",
            "25 N·m (221 lbf·in)",
        ),
        ("24 h (1 h)", "duration", "R26", "are not the same", "24 h alone"),
        ("24 N·m (3 mm)", "torque", "unit-wrong-kind", "“3 mm” is a length", "N·m"),
        ("25 N·m (", "torque", "amount-unclear", "after “25 N·m” stands “(”", "25 N·m"),
        ("9" * 300 + " N·m", "torque", "amount-unclear", "is 304 characters long", "25 N·m"),
        ("٢٥ N·m", "torque", "amount-unclear", "is not a number and a unit", "25 N·m"),
    ],
)
def test_an_unclear_text_is_refused_with_what_to_write(text, kind, code, what, write):
    finding = unclear(text, kind)
    assert finding.code == code
    assert what in finding.what
    assert write in finding.write
    assert finding.why


@pytest.mark.parametrize(
    "text, us, si",
    [
        ("24 N·m (18 lbf·ft)", "18 lbf·ft", "24 N·m"),
        ("18 lbf·ft / 24 N·m", "18 lbf·ft", "24 N·m"),
        ("20–25 N·m (15–18 lbf·ft)", "15–18 lbf·ft", "20–25 N·m"),
        ("110 N·m (80 lbf·ft)", "80 lbf·ft", "110 N·m"),
        ("at most 24 N·m (18 lbf·ft)", "at most 18 lbf·ft", "at most 24 N·m"),
        # a second figure that drops the tolerance is not shown in its place
        ("25 ± 2 N·m (18 lbf·ft)", "221 ± 17 lbf·in", "25 ± 2 N·m"),
    ],
)
def test_the_second_unit_an_author_printed_is_shown_to_those_who_read_it(text, us, si):
    plain = read(text, "torque").plain()
    assert (plain["us"], plain["si"], plain["text"]) == (us, si, text)


@pytest.mark.parametrize(
    "one, other, kind, same",
    [
        ("24 N·m", "18 lbf·ft", "torque", True),  # 17.70: 18 by rounding
        ("10 N·m", "89 lbf·in", "torque", True),
        ("10 N·m", "7 lbf·ft", "torque", True),  # 7.38
        ("120 lbf·in", "10 lbf·ft", "torque", True),
        ("110 N·m", "80 lbf·ft", "torque", True),  # 81.1: both end in rounded zeros
        ("25 N·m", "20 lbf·ft", "torque", False),
        ("25 N·m", "25 lbf·ft", "torque", False),
        ("100 N·m", "70 lbf·ft", "torque", False),  # 5 % apart
        ("12 lbf·ft", "12 lbf·in", "torque", False),
        ("25 N·m", "25.4 N·m", "torque", False),  # one unit: one number
        ("25 N·m", "25.0 N·m", "torque", True),
        ("25 ± 2 N·m", "25 N·m", "torque", True),
        ("25 ± 2 N·m", "25 ± 3 N·m", "torque", False),
        ("25 ± 2 N·m", "23–27 N·m", "torque", True),
        ("20–25 N·m", "22 N·m", "torque", False),
        ("450–500 lbf·in", "51–56 N·m", "torque", True),
        ("at most 50 °C", "at least 50 °C", "temperature", False),
        ("at most 50 °C", "122 °F", "temperature", True),
        ("23 °C", "73 °F", "temperature", True),
        ("23 °C", "75 °F", "temperature", False),
        ("10 °C", "18 °F", "temperature-difference", True),
        ("10 °C", "50 °F", "temperature-difference", False),
        ("3/8 in", "9.5 mm", "length", True),
        ("3/8 in", "10 mm", "length", True),
        ("3/8 in", "11 mm", "length", False),
        ("3 N·m", "2 lbf·ft", "torque", True),  # 2.21
        ("60 min", "1 h", "duration", True),
        ("45 min", "1 h", "duration", False),
        ("1 day", "24 h", "duration", True),
        ("1/4 turn", "90°", "angle", True),
        ("2 US gal", "2 imp gal", "volume", False),
    ],
)
def test_two_amounts_agree_when_rounding_alone_parts_them(one, other, kind, same):
    a, b = read(one, kind), read(other, kind)
    assert agrees(a, b) is same
    assert agrees(b, a) is same
    assert agrees(a, a)


def test_amounts_of_two_kinds_never_agree():
    assert not agrees(read("10 °C", "temperature"), read("10 °C", "temperature-difference"))


def test_a_field_of_any_kind_goes_by_its_unit():
    assert read_any("at most 50 °C").kind == "temperature"
    assert read_any("12.4–12.8 V").kind == "voltage"
    with pytest.raises(AmountUnclear, match="is not a unit"):
        read_any("5 florins")


def test_an_amount_is_plain_data_for_whoever_shows_it():
    assert read("18–20 lbf·ft", "torque").plain() == {
        "kind": "torque",
        "form": "range",
        "text": "18–20 lbf·ft",
        "us": "18–20 lbf·ft",
        "si": "24.5–27 N·m",
        "low": 18.0,
        "high": 20.0,
        "nominal": None,
        "unit": "lbf·ft",
    }


def test_every_spelling_of_the_list_is_read_as_its_unit():
    assert set(WORDS.values()) | set(SYMBOLS.values()) <= set(UNITS)
    for spelling in [*SYMBOLS, *WORDS]:
        unit = known(spelling)
        kind = UNITS[unit].kind
        assert read(f"2 {spelling}", kind).unit == unit, spelling


def test_every_slip_of_the_list_is_refused_with_a_unit_that_is_read():
    for spelling in [*MISSPELT, *TWO_COUNTRIES]:
        finding = unclear(f"2 {spelling}", "flow" if "min" in spelling or spelling == "gpm" else "volume")
        first = finding.write.split(", or ")[0]
        assert read_any(first).low == 2, spelling


def test_every_kind_has_an_example_that_is_read():
    for kind, text in EXAMPLES.items():
        assert read(text, kind).written == text


# Laws -----------------------------------------------------------------------------------------------------

kinds = st.sampled_from(sorted(EXAMPLES))
pieces = st.sampled_from(
    [
        *SYMBOLS,
        *ANY_CASE[::17],
        *MISSPELT,
        *"0123456789.,-–±/½ ()°%\"'+xe×",
        " to ",
        "at most ",
        " or more",
        "max",
        "\u00a0",
        "1/2",
        "25",
    ]
)
near_amounts = st.lists(pieces, max_size=12).map("".join)


def outcome(text, kind):
    """Return the amount, or the finding in its place; any other error is a fault."""
    try:
        return read(text, kind)
    except AmountUnclear as finding:
        return finding


@given(text=near_amounts | st.text(max_size=60), kind=kinds)
@example(text="1/", kind="length")
@example(text="–", kind="temperature")
def test_whatever_is_written_is_an_amount_or_a_finding_in_words(text, kind):
    got = outcome(text, kind)
    if isinstance(got, AmountUnclear):
        assert got.what
        assert got.why
        assert got.write
    else:
        assert got.kind == kind
        assert all(math.isfinite(v) for v in (got.low, got.high, got.nominal) if v is not None)
        assert got.plain()["us"]


@st.composite
def amounts(draw):
    """Return the canonical text of an amount in any unit, of any form, and its kind."""
    unit = draw(st.sampled_from(sorted(UNITS)))
    kind = UNITS[unit].kind
    number = st.decimals(Decimal("0.5"), Decimal(9999), places=draw(st.integers(0, 2))).map(
        lambda value: f"{value:f}"
    )
    low = draw(number)
    shape = draw(
        st.sampled_from(["{0}{2}", "{0}–{1}{2}", "{0} ± 0.25{2}", "at most {0}{2}", "at least {0}{2}"])
    )
    high = f"{Decimal(low) * 2:f}"
    return shape.format(low, high, unit if unit == "°" else f" {unit}"), kind


@given(amounts())
def test_the_canonical_text_of_an_amount_is_read_back_as_that_amount(pair):
    text, kind = pair
    amount = read(text, kind)
    assert amount.written == text
    again = read(amount.written, kind)
    assert again == amount
    assert agrees(amount, again)


@given(near_amounts, kinds)
def test_what_was_read_in_any_spelling_is_read_back_from_its_canonical_text(text, kind):
    amount = outcome(text, kind)
    if isinstance(amount, Amount):
        again = read(amount.written, kind)
        assert again.figure() == amount.figure()


@given(text=near_amounts, spaces=st.text(alphabet=" \t\u00a0\u2009", max_size=3), kind=kinds)
def test_space_around_an_amount_changes_nothing(text, spaces, kind):
    assert str(outcome(spaces + text + spaces, kind)) == str(outcome(text, kind))
