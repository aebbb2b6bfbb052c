"""When coolant freezes and boils. Published values: tests/reference/test_coolant.py."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade import glycol
from webapp.trade.coolant import BASES, KINDS, TABLES
from webapp.trade.glycol import FIGURES, HOT, POISON, STRONG, THIN, boil, freeze, freezing, protect, share
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

kinds = st.sampled_from(KINDS)
bases = st.sampled_from(BASES)
tables = st.sampled_from(sorted(TABLES))


def pc(value):
    return Q_(value, "percent")


def freezes(strength, kind="ethylene", basis="by volume", table="ASHRAE"):
    return freezing(pc(strength), kind=kind, basis=basis, table=table).m_as("degC")


@given(of=tables, a=st.floats(0, 1), b=st.floats(0, 1))
def test_up_to_the_end_of_a_table_more_glycol_freezes_later(of, a, b):
    kind, name = of
    basis, rows = TABLES[of].basis, TABLES[of].rows
    first, last = rows[0][0], rows[-1][0]
    weak, strong = (first + (last - first) * x for x in sorted((a, b)))
    assert freezes(strong, kind, basis, name) <= freezes(weak, kind, basis, name) + 1e-9


@given(of=tables, at=st.floats(0.001, 1))
def test_the_strength_for_a_cold_freezes_at_that_cold(of, at):
    kind, name = of
    rows, basis = TABLES[of].rows, TABLES[of].basis
    first, last = min(rows[0][1], -0.001), rows[-1][1]
    cold = first + (last - first) * at
    strength = glycol.strength_for(Q_(cold, "degC"), kind=kind, basis=basis, table=name)
    assert freezes(strength.m_as("percent"), kind, basis, name) == pytest.approx(cold, abs=1e-6)


@given(kind=kinds, strength=st.floats(0, 57.8))
def test_volume_to_mass_and_back_is_where_one_began(kind, strength):
    mass = share(pc(strength), kind=kind, basis="by volume", to="by mass")
    back = share(mass, kind=kind, basis="by mass", to="by volume")
    assert back.m_as("percent") == pytest.approx(strength, abs=1e-6)
    assert mass.m_as("percent") >= strength - 1e-9


@given(kind=kinds, strength=st.floats(1, 50))
def test_to_read_a_mass_for_a_volume_promises_too_much(kind, strength):
    """Glycol is heavier than water, so the same number by mass is a weaker mix."""
    assert freezes(strength, kind, "by mass") >= freezes(strength, kind, "by volume")


@given(kind=kinds, strength=st.floats(0, 57), cap=st.floats(0, 150), more=st.floats(0.1, 50))
def test_a_stronger_cap_boils_later_and_a_mountain_sooner(kind, strength, cap, more):
    def at(cap, metres):
        return (
            boil(kind, pc(strength), "by volume", Q_(cap, "kPa"), Q_(metres, "m"))
            .value["boiling"]
            .m_as("degC")
        )

    assert at(cap + more, 0) > at(cap, 0)
    assert at(cap, 20 * more) < at(cap, 0)


@given(kind=kinds, strength=st.floats(0, 50), more=st.floats(0.1, 7))
def test_more_glycol_boils_later(kind, strength, more):
    weak, strong = (boil(kind, pc(s), "by mass").value["boiling"] for s in (strength, strength + more))
    assert strong > weak


@given(kind=kinds, strength=st.floats(10, 57), cold=st.floats(0, 99), more=st.floats(0.5, 50))
def test_coolant_swells_as_it_warms(kind, strength, cold, more):
    hot = min(cold + more, 100)
    swells = glycol.expansion(pc(strength), kind=kind, cold=Q_(cold, "degC"), hot=Q_(hot, "degC"))
    assert 0 < swells.m_as("percent") < 7


@pytest.mark.parametrize(
    "fluid, kind, basis, table, most",
    [
        ("AEG", "ethylene", "by volume", "ASHRAE", 0.4),
        ("APG", "propylene", "by volume", "ASHRAE", 0.4),
        ("MEG", "ethylene", "by mass", "Melinder", 0.15),
        ("MPG", "propylene", "by mass", "Melinder", 0.3),
    ],
)
@pytest.mark.parametrize("percent", range(12, 58))
def test_between_the_rows_a_straight_line_is_near_the_fitted_curve(fluid, kind, basis, table, most, percent):
    fitted = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::{fluid}[{percent / 100}]") - 273.15
    assert freezes(percent, kind, basis, table) == pytest.approx(fitted, abs=most)


@pytest.mark.parametrize("fluid, kind", [("AEG", "ethylene"), ("APG", "propylene")])
@pytest.mark.parametrize("percent", [15, 33, 50, 57])
@pytest.mark.parametrize("celsius", [5, 23, 47, 88])
def test_a_density_between_the_rows_is_near_the_fitted_one(fluid, kind, percent, celsius):
    fitted = PropsSI("D", "T", celsius + 273.15, "P", 101325, f"INCOMP::{fluid}[{percent / 100}]")
    got = glycol.density(pc(percent), kind=kind, temperature=Q_(celsius, "degC"))
    assert got.m_as("kg/m**3") == pytest.approx(fitted, rel=1e-3)


@given(celsius=st.floats(60, 140))
def test_pure_water_boils_on_the_steam_curve(celsius):
    """Water alone, held to IAPWS-95: the equation is the bay's, far above the bay."""
    pressure = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water") / 1000
    if not 50 <= pressure <= 305:
        return
    got = glycol.boiling_at(pc(0), kind="ethylene", basis="by mass", pressure=Q_(pressure, "kPa"))
    assert got.m_as("degC") == pytest.approx(celsius, abs=0.01)


# US Army TM 5-3895-382-24, anti-boil protection by percentage of glycol, open, whole °C.
@pytest.mark.parametrize(
    "kind, strength, printed",
    [
        ("propylene", 30, 102),
        ("propylene", 40, 104),
        ("propylene", 50, 106),
        ("propylene", 60, 107),
        ("ethylene", 30, 104),
        ("ethylene", 40, 106),
        ("ethylene", 50, 108),
    ],
)
def test_the_boiling_point_agrees_with_a_printed_table(kind, strength, printed):
    got = boil(kind, pc(strength), "by volume").value["boiling"].m_as("degC")
    assert got == pytest.approx(printed, abs=2)


def test_half_and_half_is_answered_with_what_other_tables_say():
    got = freeze("ethylene", pc(50), "by volume", "ASHRAE")
    assert got.lines[0].text == "−37 °C"
    assert got.value["freezing"].m_as("degC") == pytest.approx(-37, abs=0.05)
    assert got.value["others"]["Army manual"].m_as("degC") == pytest.approx(-37.2, abs=0.1)
    assert got.value["other_basis"].m_as("percent") == pytest.approx(52.4, abs=0.05)
    assert "lies between 49.6 % (−36.4 °C) and 50.6 % (−37.9 °C)" in got.working[0]
    assert {POISON, HOT, STRONG} <= set(got.cautions)
    assert got.curves["here"][0][1] == pytest.approx(-37, abs=0.05)


def test_propylene_is_not_called_the_sweet_poison_and_thin_coolant_is_called_thin():
    got = freeze("propylene", pc(20), "by volume", "Lange")
    assert POISON not in got.cautions
    assert THIN in got.cautions
    assert THIN not in freeze("propylene", pc(40), "by volume", "Lange").cautions


def test_what_is_shown_never_promises_more_than_was_worked_out():
    cold = protect("ethylene", Q_(-30, "degC"), "by volume", "ASHRAE")
    assert cold.lines[0].text == "45 %"
    assert freezes(45) <= -30 < freezes(44)
    under_cap = boil("ethylene", pc(50), "by volume", Q_(15, "psi"))
    assert under_cap.lines[0].figure.low <= under_cap.value["boiling"].m_as("degC")


@pytest.mark.parametrize(
    "ask, words",
    [
        (
            lambda: freezes(75),
            "75 % by volume is beyond the table, which ends at 57.8 %: past about 60 to 68 % more",
        ),
        (lambda: freezes(101), "101 % is no strength"),
        (lambda: freezes(40, basis="by weight"), "the mix is not said clearly"),
        (lambda: freezes(-1), "−1 % is no strength"),
        (lambda: freezes(float("nan")), "the strength is no number"),
        (lambda: freezes(20, table="Army manual"), "the Army manual table begins at 30 % by volume"),
        (lambda: freezes(20, table="Lange"), "Lange has no table of ethylene glycol here"),
        (lambda: protect("ethylene", Q_(4, "degC"), "by volume", "ASHRAE"), "4 °C is no frost"),
        (
            lambda: protect("ethylene", Q_(-60, "degC"), "by volume", "ASHRAE"),
            "no mix of this table protects to −60 °C",
        ),
        (lambda: protect("ethylene", Q_(-5, "degC"), "by volume", "Army manual"), "begins at −15 °C"),
        (
            lambda: boil("ethylene", pc(50), "by volume", Q_(3, "bar")),
            "a cap of 300 kPa is outside 0–200 kPa",
        ),
        (
            lambda: boil("ethylene", pc(50), "by volume", None, Q_(9000, "m")),
            "9000 m is outside −500 to 5000 m",
        ),
        (lambda: boil("ethylene", pc(80), "by volume"), "80 % by volume is beyond the table"),
        (
            lambda: glycol.density(pc(5), kind="ethylene", temperature=Q_(20, "degC")),
            "no density is printed for 5 % at 20 °C",
        ),
    ],
)
def test_where_no_table_reaches_there_is_no_number(ask, words):
    with pytest.raises(Refused) as refused:
        ask()
    assert words in str(refused.value)


def test_the_figures_of_this_module():
    assert [figure.name for figure in FIGURES] == ["freeze", "protect", "boil"]
