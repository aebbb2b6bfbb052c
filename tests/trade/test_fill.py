"""What is poured is what is in it. Published values: tests/reference/test_coolant.py."""

import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from webapp.trade.fill import (
    FIGURES,
    NEVER_MIX,
    SHRINKS,
    change,
    changed,
    changes_until,
    correct,
    fill,
    mixed,
    swap,
)
from webapp.trade.glycol import HOT, LABEL_WINS, POISON, STRONG
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

volumes = st.floats(1, 60)
parts = st.floats(0, 1)
strengths = st.floats(0, 100)


def litres(value):
    return Q_(value, "L")


def pc(value):
    return Q_(value, "percent")


def filled(v, left, r, f, p=None, jug=None):
    return fill(
        litres(v),
        litres(left),
        pc(r),
        pc(f),
        None if p is None else pc(p),
        None if jug is None else litres(jug),
    )


@given(v=volumes, part=parts, r=strengths, f=strengths, p=st.floats(1, 100))
def test_glycol_and_volume_balance_or_the_fill_is_refused(v, part, r, f, p):
    left = v * part
    try:
        got = filled(v, left, r, f, p).value
    except Refused:
        return
    coolant, water = got["coolant"].m_as("L"), got["water"].m_as("L")
    assert coolant >= 0
    assert water >= 0
    assert left + coolant + water == pytest.approx(v)
    assert left * r + coolant * p == pytest.approx(v * f, abs=1e-6 * v)


@given(v=volumes, part=st.floats(0, 0.99), r=strengths, f=strengths, p=st.floats(1, 100))
def test_a_fill_is_refused_only_where_neither_water_nor_coolant_alone_reaches_it(v, part, r, f, p):
    left = v * part
    by_water = mixed(litres(v), litres(left), pc(r), pc(0)).m_as("percent")
    by_coolant = mixed(litres(v), litres(left), pc(r), pc(p)).m_as("percent")
    if by_water + 1e-6 < f < by_coolant - 1e-6:
        filled(v, left, r, f, p)
    elif f < by_water - 1e-5 or f > by_coolant + 1e-5:
        with pytest.raises(Refused):
            filled(v, left, r, f, p)


@given(v=volumes, part=st.floats(0.05, 0.99), r=strengths, f=st.floats(1, 99), p=st.floats(1, 100))
def test_the_least_to_drain_is_enough_and_no_more_than_needed(v, part, r, f, p):
    assume(p >= f)
    left = v * part
    try:
        filled(v, left, r, f, p)
        assume(False)
    except Refused as refused:
        words = re.search(r"Drain at least ([\d.]+) L more", refused.write)
    assume(words)
    drain = float(words[1])
    if drain <= left:
        filled(v, left - drain, r, f, p)
    assert 0 < drain <= left + 0.01
    if drain > 0.03:
        with pytest.raises(Refused):
            filled(v, left - drain + 0.02, r, f, p)


@given(v=volumes, part=parts, r=strengths, f=strengths, k=st.floats(0.1, 10))
def test_twice_the_system_takes_twice_the_coolant(v, part, r, f, k):
    assume(v * k <= 1000)
    try:
        one = filled(v, v * part, r, f).value["coolant"]
        many = filled(k * v, k * v * part, r, f).value["coolant"]
    except Refused:
        return
    assert many.m_as("L") == pytest.approx(k * one.m_as("L"), abs=1e-6 * k * v)


@given(v=volumes, part=parts, r=strengths, f=st.floats(1, 100), jug=st.floats(0.1, 20))
def test_jugs_are_enough_and_one_less_is_not(v, part, r, f, jug):
    try:
        got = filled(v, v * part, r, f, None, jug).value
    except Refused:
        return
    need = got["coolant"].m_as("L")
    assert got["jugs"] * jug >= need - 1e-6
    assert (got["jugs"] - 1) * jug < need or got["jugs"] == 0
    assert got["spare"].m_as("L") == pytest.approx(got["jugs"] * jug - need, abs=1e-6)


@given(v=volumes, part=st.floats(0.01, 0.99), s0=strengths, s1=strengths, n=st.integers(0, 12))
def test_part_changes_add_up_one_by_one(v, part, s0, s1, n):
    """The formula for n changes is what n single mixings come to."""
    strength = pc(s0)
    for _ in range(n):
        strength = mixed(litres(v), litres(v - v * part), strength, pc(s1))
    got = changed(litres(v), litres(v * part), pc(s0), pc(s1), n)
    assert got.m_as("percent") == pytest.approx(strength.m_as("percent"), abs=1e-6)


@given(v=volumes, part=st.floats(0.05, 0.95), s0=strengths, s1=strengths, way=st.floats(0.01, 0.97))
def test_so_many_changes_reach_it_and_one_less_does_not(v, part, s0, s1, way):
    assume(abs(s1 - s0) > 0.1)
    target = s0 + way * (s1 - s0)
    n = changes_until(litres(v), litres(v * part), pc(s0), pc(s1), pc(target))

    def gone(n):
        at = changed(litres(v), litres(v * part), pc(s0), pc(s1), n).m_as("percent")
        return (at - s0) / (s1 - s0)

    assert gone(n) >= way - 1e-7
    assert n == 0 or gone(n - 1) < way + 1e-7


@given(v=volumes, s=strengths, f=strengths, p=strengths)
def test_what_is_swapped_balances(v, s, f, p):
    try:
        out = swap(litres(v), pc(s), pc(f), pc(p)).m_as("L")
    except Refused:
        assert not (min(s, p) <= f <= max(s, p))
        return
    assert -1e-9 <= out <= v * (1 + 1e-9)
    assert mixed(litres(v), litres(v - min(out, v)), pc(s), pc(p)).m_as("percent") == pytest.approx(
        f, abs=1e-6
    )


# Worked by hand: V 9.5 L, 2.1 L of rinse water stayed, 50 % wanted: 0.5·9.5 = 4.75; 9.5 − 2.1 − 4.75 = 2.65;
# premix alone 0.5·7.4/9.5 = 38.9 %.
def test_rinse_water_thins_the_premix():
    got = filled(9.5, 2.1, 0, 50, None, 5)
    assert [line.text for line in got.lines] == [
        "4.75 L",
        "2.65 L",
        "39 %",
        "19 L/min",
        "1",
        "0.25 L",
    ]
    assert "Concentrate: (4.75 − 0) / 1 = 4.75 L" in got.working
    assert {HOT, POISON, LABEL_WINS, NEVER_MIX, SHRINKS} <= set(got.cautions)
    assert STRONG not in got.cautions
    assert STRONG in filled(9.5, 2.1, 0, 65).cautions


def test_a_premix_cannot_make_up_for_rinse_water():
    with pytest.raises(Refused) as refused:
        filled(9.5, 2.1, 0, 50, 50)
    assert str(refused.value) == (
        "too much stayed behind: filled up with 50 % and no water, the mix would be 38.9 %, below 50 %. "
        "Drain at least 2.1 L more, then fill up with 50 % alone."
    )


# 9.5 L · (0.50 − 0.42) / (1 − 0.42) = 1.31 L
def test_a_filled_system_is_corrected_by_a_swap():
    got = correct(litres(9.5), pc(42), pc(50), None, litres(1))
    assert got.lines[0].text == "1.31 L"
    assert [line.text for line in got.lines[1:]] == ["2", "0.68 L"]  # 0.6897: never more than there is
    assert got.working[0] == "9.5 L × (50 % − 42 %) / (100 % − 42 %) = 1.31 L"


def test_coolant_too_strong_is_corrected_with_water():
    got = correct(litres(10), pc(60), pc(50))
    assert got.lines[0].label == "Draw off, and replace with water"
    assert got.value["swap"].m_as("L") == pytest.approx(10 / 6)


def test_as_strong_as_wanted_nothing_is_swapped():
    assert correct(litres(10), pc(50), pc(50)).value["swap"].m_as("L") == 0


def test_part_changes_tell_how_many_and_how_much():
    got = change(litres(9.5), litres(3), pc(30), pc(50), None, pc(45))
    assert got.value["needed"] == got.value["times"] == 4
    assert got.value["used"].m_as("L") == 12
    assert [x for x, _ in got.curves["strength"]] == [0, 1, 2, 3, 4]
    assert got.curves["strength"][0][1] == pytest.approx(30)


@pytest.mark.parametrize(
    "ask, words",
    [
        (
            lambda: filled(8, 4, 70, 20),
            "what stayed is too strong: even filled up with water the mix would be 35 %",
        ),
        (lambda: filled(8, 4, 70, 20), "Drain at least 1.72 L more, then fill up with water"),
        (lambda: filled(8, 4, 20, 50, 40), "40 % is too weak to come to 50 %"),
        (lambda: filled(8, 4, 20, 50, 0), "water is poured for coolant"),
        (lambda: filled(8, 8, 20, 50), "the system is full"),
        (lambda: filled(8, 9, 20, 50), "9 L is not between nothing and the 8 L of the system"),
        (lambda: filled(0, 0, 20, 50), "a capacity of 0 L is not between 0 and 1000 L"),
        (lambda: filled(float("nan"), 0, 20, 50), "the capacity is no number"),
        (lambda: filled(8, float("nan"), 20, 50), "a volume is no number"),
        (lambda: filled(8, 2, 120, 50), "the strength of what stayed is not between 0 and 100 %"),
        (lambda: filled(8, 2, 0, 50, None, 0), "the jug has no size"),
        (lambda: correct(litres(8), pc(30), pc(50), pc(40)), "40 % does not bring 30 % to 50 %"),
        (lambda: correct(litres(8), pc(60), pc(50), pc(55)), "Pour water or something weaker"),
        (
            lambda: changes_until(litres(8), litres(3), pc(30), pc(50), pc(50)),
            "part changes never bring 30 % to 50 %",
        ),
        (lambda: changes_until(litres(8), litres(0), pc(30), pc(50), pc(40)), "part changes never bring"),
        (lambda: changed(litres(8), litres(3), pc(30), pc(50), -1), "-1 changes are not between 0 and 200"),
        (lambda: change(litres(100), litres(0.1), pc(0), pc(50), None, pc(49)), "it would take"),
    ],
)
def test_a_mix_that_cannot_be_is_refused_with_what_to_do(ask, words):
    with pytest.raises(Refused) as refused:
        ask()
    assert words in str(refused.value)


def test_the_figures_of_this_module():
    assert [figure.name for figure in FIGURES] == ["fill", "change", "correct"]
