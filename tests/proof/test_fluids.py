"""Litres, kinds and strengths: what the sums of the proof give, held to the computations of the trade."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp.compile import compile_bytes
from webapp.proof import examples
from webapp.proof.rules.fluids import unlike
from webapp.trade.fill import mixed
from webapp.trade.quantities import Q_

EXAMPLES = Path(examples.__file__).parent


def codes(text: str) -> set[str]:
    result = compile_bytes(examples.whole(text).encode(), "pack.md", {}, "example")
    return {finding.code for finding in result.findings}


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.md").read_text("utf-8")


# Worked example of the trade's own notes: 9.5 L, 2.1 L of water stayed; 4.75 L of concentrate with 2.65 L of
# water make 50 %, and premix alone would make 39 %.
def test_premix_on_rinse_water_is_too_weak_and_the_worked_example_is_not():
    assert mixed(Q_(9.5, "L"), Q_(2.1, "L"), Q_(0, "percent"), Q_(50, "percent")).m_as("percent") < 40
    assert codes(example("R38-right").replace("mix: 64 %", "mix: 50 %")) == {"R38"}
    assert codes(example("R38-right")) == set()


@settings(max_examples=40, deadline=None)
@given(st.integers(20, 100), st.sampled_from([0.5, 1, 2.1, 3, 4]))
def test_the_final_strength_is_the_balance_of_the_trade(mix, stays):
    """Whatever is poured on what stayed, the pack is warned exactly when the trade's figure is outside."""
    poured = round(9.5 - stays, 2)
    strength = mixed(Q_(9.5, "L"), Q_(stays, "L"), Q_(0, "percent"), Q_(mix, "percent")).m_as("percent")
    text = (
        example("R38-right")
        .replace("stays: 2.1 L", f"stays: {stays} L")
        .replace("volume: 7.4 L, mix: 64 %", f"volume: {poured} L, mix: {mix} %")
        .replace("expect: 7.4 L", f"expect: {poured} L")
    )
    if min(abs(strength - edge) for edge in (39.5, 60.5)) > 0.01:
        assert ("R38" in codes(text)) == (not 39.5 <= strength <= 60.5)


@pytest.mark.parametrize("filled, told", [
    ("1.7 L", True), ("1.8 L", False), ("2 L", False), ("2.2 L", False), ("2.3 L", True),
    ("2.2–2.6 L", False), ("2.4–2.6 L", True), ("2 US qt", False), ("3 US qt", True),
])  # fmt: skip
def test_more_than_a_tenth_is_told_in_whatever_unit(filled, told):
    text = example("R37-right").replace("{fill: oil, volume: 2 L}", f"{{fill: oil, volume: {filled}}}")
    assert ("R37" in codes(text)) == told


@pytest.mark.parametrize("circuit, one, other, alike", [
    ("cooling", "ethylene glycol", "ethylene glycol coolant concentrate", True),
    ("cooling", "ethylene glycol", "distilled water", True),
    ("cooling", "ethylene glycol", "propylene glycol coolant", False),
    ("cooling", "ethylene glycol, OAT", "coolant OAT, ethylene", True),
    ("cooling", "OAT", "HOAT coolant", False),
    ("cooling", "ethylene or propylene glycol", "propylene glycol coolant", True),
    ("brake", "DOT 4", "brake fluid DOT 5.1", True),
    ("brake", "DOT 4", "brake fluid DOT 5", False),
    ("brake", "DOT 3", "DOT 4 brake fluid", True),
    ("clutch", "mineral oil", "brake fluid DOT 4", False),
    ("fuel", "gasoline", "diesel", False),
    ("oil", "synthetic 5W-30", "engine oil 5W-30", True),
    ("oil", "synthetic 5W-30", "engine oil 10W-40", False),
    ("oil", "synthetic 5W-30", "engine oil", True),
    ("gear", "GL-4 75W-80", "gear oil GL-5 75W-80", False),
    ("steering", "ATF", "clean ATF", True),
    ("steering", "ATF", "brake fluid DOT 4", False),
])  # fmt: skip
def test_kinds_that_do_not_mix_are_told_apart_only_when_both_are_named(circuit, one, other, alike):
    assert (unlike(circuit, one, other) is None) == alike
    assert (unlike(circuit, other, one) is None) == alike


@pytest.mark.parametrize(
    "circuit", ["cooling", "fuel", "brake", "clutch", "hydraulic", "steering", "oil", "gear"]
)
def test_every_circuit_that_works_by_pressure_is_bled_and_oil_is_not(circuit):
    text = example("R39-wrong").replace("circuit: hydraulic", f"circuit: {circuit}")
    assert ("R39" in codes(text)) == (circuit not in ("oil", "gear"))


@pytest.mark.parametrize(
    "holds, told", [("1.9 L", True), ("2 L", False), ("2 US qt", True), ("3 US qt", False)]
)
def test_a_pan_holds_at_least_what_is_expected(holds, told):
    assert ("R41" in codes(example("R41-right").replace("holds: 5 L", f"holds: {holds}"))) == told
