"""How figures are shown. Published factors: tests/reference/test_torque_units.py."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.amounts import agrees, read
from webapp.trade.quantities import Q_
from webapp.trade.units import BASE, LADDERS, UNITS, convert, show

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "amounts.json").read_text(encoding="utf-8"))


def quantity(value, unit, kind):
    """Return a number as Pint has it: another way to the same conversion."""
    name = UNITS[unit].pint
    return Q_(value, f"delta_{name}" if kind == "temperature-difference" else name)


def shown(text, kind, system):
    return show(read(text, kind).figure(), system)


@pytest.mark.parametrize(
    "kind, text, us, si",
    [
        # trade texts and published ranges: the range inwards, 10 N·m as 89 lbf·in, 226 °F a cap's ceiling
        ("torque", "450–500 lbf·in", "450–500 lbf·in", "51–56 N·m"),
        ("torque", "10 N·m", "89 lbf·in", "10 N·m"),
        ("torque", "20 lbf·ft", "20 lbf·ft", "27 N·m"),
        ("torque", "110 N·m", "81 lbf·ft", "110 N·m"),
        ("torque", "150 lbf·ft", "150 lbf·ft", "203 N·m"),
        # 17.70 lbf·ft would be 18 with 1.7 % lost
        ("torque", "24 N·m", "212 lbf·in", "24 N·m"),
        ("torque", "48 N·m", "35.5 lbf·ft", "48 N·m"),
        ("torque", "20–25 N·m", "178–221 lbf·in", "20–25 N·m"),
        ("torque", "25 ± 2 N·m", "221 ± 17 lbf·in", "25 ± 2 N·m"),
        ("torque", "at most 20 lbf·ft", "at most 20 lbf·ft", "at most 27 N·m"),
        ("torque", "2.5 kgf·m", "18 lbf·ft", "24.5 N·m"),
        ("temperature", "at most 50 °C", "at most 122 °F", "at most 50 °C"),
        ("temperature", "at least 5 °C", "at least 41 °F", "at least 5 °C"),
        ("temperature", "−40 to −34 °C", "−40 to −30 °F", "−40 to −34 °C"),
        ("temperature", "20–21 °C", "68–69 °F", "20–21 °C"),
        ("temperature-difference", "10 °C", "18 °F", "10 °C"),
        ("temperature-difference", "5 °F", "5 °F", "2.8 °C"),
        ("length", "3/8 in", "3/8 in", "9.5 mm"),
        ("length", "1-5/32 in", "1-5/32 in", "29.4 mm"),
        ("length", "3 mm", "0.118 in", "3 mm"),
        # gaps for a feeler gauge, graded in 0.01 mm (common practice, no source); 1 in is 25.4 mm exactly
        ("length", "at most 0.004 in", "at most 0.004 in", "at most 0.1 mm"),
        ("length", "at most 0.003 in", "at most 0.003 in", "at most 0.076 mm"),
        ("length", "at least 0.010 in", "at least 0.010 in", "at least 0.255 mm"),
        ("length", "at most 0.012 in", "at most 0.012 in", "at most 0.3 mm"),
        ("length", "0.008–0.012 in", "0.008–0.012 in", "0.204–0.304 mm"),
        ("length", "0.004 in", "0.004 in", "0.102 mm"),
        ("volume", "7.4 L", "7.8 US qt", "7.4 L"),
        ("volume", "9.5 L", "2.5 US gal", "9.5 L"),
        ("volume", "2 imp gal", "2.4 US gal", "9.1 L"),
        ("pressure", "15 psi", "15 psi", "103 kPa"),
        ("pressure", "at most 207 kPa", "at most 30 psi", "at most 207 kPa"),
        ("mass", "23 kg", "51 lb", "23 kg"),
        ("flow", "19 L/min", "5 US gal/min", "19 L/min"),
        ("duration", "1 h 30 min", "1 h 30 min", "1 h 30 min"),
        ("share", "50 %", "50 %", "50 %"),
        ("angle", "1/4 turn", "1/4 turn", "1/4 turn"),
        ("speed", "800 ± 50 rpm", "800 ± 50 rpm", "800 ± 50 rpm"),
        ("voltage", "12.4–12.8 V", "12.4–12.8 V", "12.4–12.8 V"),
    ],
)
def test_a_figure_is_shown_in_its_own_system_as_written_and_in_the_other_rounded(kind, text, us, si):
    assert (shown(text, kind, "us"), shown(text, kind, "si")) == (us, si)


CONVERTED = sorted(
    unit for unit, known in UNITS.items() if known.kind in LADDERS and known.kind != "temperature"
)


def figures(units):
    """Author's figures of any form, from 1 to 9999 with up to two decimals."""
    numbers = st.decimals(Decimal(1), Decimal(9999), places=2)
    forms = st.one_of(
        numbers.map(lambda a: f"{a}"),
        numbers.map(lambda a: f"at most {a}"),
        numbers.map(lambda a: f"at least {a}"),
        st.tuples(numbers, st.decimals(Decimal("1.05"), Decimal(3), places=2)).map(
            lambda pair: f"{pair[0]}–{(pair[0] * pair[1]).quantize(Decimal('0.01'))}"
        ),
        st.tuples(numbers, st.integers(2, 50)).map(lambda pair: f"{pair[0]} ± {pair[1]} %"),
    )
    return st.tuples(forms, st.sampled_from(units)).map(
        lambda pair: pair[0].replace(" ±", f" {pair[1]} ±") if "%" in pair[0] else f"{pair[0]} {pair[1]}"
    )


def ends(figure, unit):
    return [
        None if end is None else convert(end, figure.unit, unit, figure.kind)
        for end in (figure.low, figure.high)
    ]


@given(text=figures(CONVERTED), system=st.sampled_from(["us", "si"]))
def test_a_converted_figure_loses_at_most_one_percent_a_small_gap_two_and_permits_nothing_its_source_does_not(
    text, system
):
    kind = next(known.kind for unit, known in UNITS.items() if text.split(" ± ")[0].endswith(f" {unit}"))
    source = read(text, kind)
    other = read(shown(text, kind, system), kind)
    low, high = ends(source, other.unit)
    bit = 1e-9 * abs(high or low)
    assert other.form == source.form
    if source.form == "figure":
        assert float(other.nominal) == pytest.approx(low, rel=0.01)
        return
    if source.form == "tolerance":
        nominal = convert(source.nominal, source.unit, other.unit, kind)
        assert float(other.nominal) == pytest.approx(nominal, rel=0.01)
    else:
        # From 1 mm up, hundredths of a millimetre are finer than 1 %.
        loss = 0.02 if other.unit == "mm" and (low or high) < 1 else 0.01
        assert low is None or float(other.low) == pytest.approx(low, rel=loss)
        assert high is None or float(other.high) == pytest.approx(high, rel=loss)
    assert low is None or float(other.low) >= low - bit
    assert high is None or float(other.high) <= high + bit


@given(low=st.integers(-60, 300), width=st.integers(1, 60), unit=st.sampled_from(["°C", "°F"]))
def test_a_range_of_temperatures_stays_inside_itself(low, width, unit):
    source = read(f"{low} to {low + width} {unit}", "temperature")
    other = read(show(source.figure(), "us" if unit == "°C" else "si"), "temperature")
    assert other.form == "range"
    assert ends(source, other.unit)[0] - 1e-9 <= float(other.low) < float(other.high)
    assert float(other.high) <= ends(source, other.unit)[1] + 1e-9


@given(text=figures(CONVERTED).filter(lambda text: "±" not in text), system=st.sampled_from(["us", "si"]))
def test_a_figure_printed_in_both_units_would_pass_the_check_of_two_units(text, system):
    """What Droplight shows beside the author's figure is never what it would refuse from an author (R26)."""
    kind = next(known.kind for unit, known in UNITS.items() if text.endswith(f" {unit}"))
    source = read(text, kind)
    other = read(shown(text, kind, system), kind)
    assert agrees(source, other)


@given(
    unit=st.sampled_from(sorted(UNITS)),
    value=st.floats(-200, 1e6),
    difference=st.booleans(),
)
def test_there_and_back_is_the_same_number_and_pint_agrees(unit, value, difference):
    kind = UNITS[unit].kind
    if kind == "temperature" and difference:
        kind = "temperature-difference"
    base = BASE[kind]
    there = convert(value, unit, base, kind)
    assert convert(there, base, unit, kind) == pytest.approx(value, rel=1e-9, abs=1e-9)
    # 0 °C in the base's own quantity, so that an interval is compared with an interval
    assert quantity(value, unit, kind).m_as(quantity(0, base, kind).units) == pytest.approx(
        there, rel=1e-9, abs=1e-9
    )


@pytest.mark.parametrize(
    "vector", VECTORS["conversions"], ids=lambda v: f"{v['value']} {v['from']} {v['to']}"
)
def test_a_conversion_is_the_one_the_phone_makes(vector):
    """The vectors hold static/js/units.js too, in e2e/test_vectors.py."""
    got = convert(vector["value"], vector["from"], vector["to"], vector["kind"])
    assert got == pytest.approx(vector["answer"], rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("vector", VECTORS["judged"], ids=lambda v: f"{v['value']} {v['unit']} {v['answer']}")
def test_the_judgements_of_the_phone_are_right_by_pint(vector):
    limits = vector["range"]
    reading = quantity(vector["value"], vector["unit"], limits["kind"])
    bit = 1e-9
    low = (
        limits["low"] is not None
        and reading.m_as(quantity(0, limits["unit"], limits["kind"]).units) < limits["low"] - bit
    )
    high = (
        limits["high"] is not None
        and reading.m_as(quantity(0, limits["unit"], limits["kind"]).units) > limits["high"] + bit
    )
    assert vector["answer"] == ("low" if low else "high" if high else "in")


def test_gallons_of_two_countries_are_told_apart():
    """NIST Handbook 44, Appendix C: 231 in³. UK Weights and Measures Act: 4.54609 L."""
    assert Q_(1, "US_gallon").m_as("inch ** 3") == pytest.approx(231)
    assert Q_(1, "imperial_gallon").m_as("liter") == pytest.approx(4.54609)
    assert shown("1 US gal", "volume", "si") == "3.8 L"
    assert shown("1 imp gal", "volume", "si") == "4.55 L"


def test_every_unit_that_only_one_system_uses_can_be_shown_in_the_other():
    for known in UNITS.values():
        assert known.system == "both" or known.kind in LADDERS
