"""A figure in other units and on a scale, held to the worked conversions of published tables."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.amounts import read, read_any
from webapp.trade.conversion import BAND, DIFFERENCE, converted, on_scale
from webapp.trade.refusal import Refused
from webapp.trade.units import UNITS, convert


def answer(amount, **more):
    return converted(read_any(amount), **{name: read_any(text) for name, text in more.items()})


@pytest.mark.parametrize(
    "written, marks, set_to",
    [  # NIST SP 811 factors; the rounding is worked by hand beside each
        ("24 N·m", "1 lbf·ft", "18 lbf·ft"),  # 17.70
        ("10 N·m", "0.5 lbf·in", "88.5 lbf·in"),  # 88.51
        ("450–500 lbf·in", "1 N·m", "51–56 N·m"),  # 50.84 to 56.49, inwards
        ("at most 50 °C", "1 °F", "at most 122 °F"),
        ("at least 50 lbf·ft", "5 N·m", "at least 70 N·m"),  # 67.79, up
        ("25 ± 2 N·m", "1 lbf·ft", "18 lbf·ft"),  # 18.44 within 16.96 to 19.91
    ],
)
def test_a_scale_keeps_to_the_figure(written, marks, set_to):
    assert answer(written, marks=marks).lines[0].text == set_to


def test_the_rounding_error_is_said():
    """17.7015 rounded to 18 is 1.7 % more: worked by hand."""
    assert answer("24 N·m", marks="1 lbf·ft").working[-1].endswith("18 lbf·ft, +1.7 %")


@pytest.mark.parametrize("written", ["25 ± 0.2 N·m", "24–25 N·m", "2 N·m"])
def test_a_scale_too_coarse_for_a_figure_is_refused(written):
    """The marks of 5 lbf·ft stand 6.8 N·m apart."""
    with pytest.raises(Refused, match="finer marks"):
        answer(written, marks="5 lbf·ft")


def test_a_scale_of_another_kind_is_refused():
    with pytest.raises(Refused, match="measure different things"):
        answer("24 N·m", marks="1 kPa")
    with pytest.raises(Refused, match="measure different things"):
        answer("24 N·m", to="1 L")


def test_a_difference_of_temperatures_has_no_offset():
    """A step of 5 °F is 2.8 °C: five ninths of it, by definition."""
    amount = read_any("5 °F")
    assert converted(amount, temperature=DIFFERENCE).value["°C"] == pytest.approx(25 / 9)
    assert converted(amount).value["°C"] == pytest.approx(-15)


TORQUES = sorted(name for name, unit in UNITS.items() if unit.kind == "torque")


@given(
    st.integers(1, 500_00),
    st.sampled_from(TORQUES),
    st.sampled_from(TORQUES),
    st.sampled_from(["0.1", "0.5", "1", "5"]),
)
def test_a_setting_is_never_outside_what_a_torque_permits(hundredths, unit, scale, step):
    figure = read(f"{hundredths / 100:.2f} {unit}", "torque")
    try:
        set_to = on_scale(figure, scale, Decimal(step))
    except Refused:
        wanted = convert(figure.nominal, unit, scale, "torque")
        assert float(step) / 2 > BAND * wanted * 0.999  # only where no mark needs to lie within the band
        return
    back = convert(set_to.low, scale, unit, "torque")
    assert abs(back / float(figure.nominal) - 1) <= BAND + 1e-6


@given(
    st.integers(100, 400_00),
    st.integers(0, 100_00),
    st.sampled_from(TORQUES),
    st.sampled_from(["0.1", "0.5", "1", "5"]),
)
def test_a_range_is_rounded_inwards(low, more, scale, step):
    figure = read(f"{low / 100:.2f} to {(low + more + 1) / 100:.2f} N·m", "torque")
    try:
        set_to = on_scale(figure, scale, Decimal(step))
    except Refused:
        return
    assert convert(set_to.low, scale, "N·m", "torque") >= float(figure.low) - 1e-6
    assert convert(set_to.high, scale, "N·m", "torque") <= float(figure.high) + 1e-6
