"""What bolts bear, held to bolt-strength.csv, which names a source and its standing for each row."""

import re
from fractions import Fraction

import pytest

from tests.reference.published import Table, inputs, within
from webapp.trade.fasteners import (
    NUT_FACTORS,
    REUSABLE,
    lubricated,
    nominal_yield,
    nut_factor,
    strength,
    torque_answer,
    torque_for,
)
from webapp.trade.quantities import Q_
from webapp.trade.threads import Thread, read_thread

TABLE = Table("bolt-strength.csv")

LEFT_OUT: dict[str, str] = {}
LEFT_OUT_CASES = {
    "ex-preload-stress": "a stress is load by area; no figure of the program asks for it",
    "ex-stiffness-constant": "needs the stiffness of bolt and joint, which nobody knows at a vehicle",
    "lub-test-mean": "the mean of ten measured loads, from a bolt whose size the row does not give",
}


def inches(text):
    return float(sum(Fraction(part) for part in text.split()))


def of_size(size):
    """Return a thread of a diameter in inches that the series may not have; strength goes by diameter."""
    return Thread("", Q_(size, "inch"), Q_(1 / 16, "inch"), "unified", "fine", 16)


@pytest.mark.parametrize("row", TABLE.of("iso-property", without=LEFT_OUT_CASES))
def test_a_class_guarantees_what_its_standard_says(row):
    given = inputs(row)
    grade, _, band = given["class"].partition(" ")
    sizes = {"": ("M6", "M16"), "(d<=16)": ("M6", "M16"), "(d>16)": ("M18", "M20", "M24")}[band]
    for size in sizes:
        bolt = strength(read_thread(size), grade)
        stress = bolt.tensile_stress if given["quantity"] == "Rm min" else bolt.yield_stress
        assert stress.m_as("MPa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("iso-code", without=LEFT_OUT_CASES))
def test_a_marking_spells_its_nominal_yield(row):
    assert nominal_yield(inputs(row)["class"]).m_as("MPa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("iso-boundary", without=LEFT_OUT_CASES))
def test_the_last_diameter_of_a_band_belongs_to_it(row):
    given = inputs(row)
    assert strength(read_thread(given["thread"]), given["class"]).proof_stress.m_as("MPa") == within(row)


@pytest.mark.parametrize("row", TABLE.of("iso-proof-load", "iso-proof-load-fine", without=LEFT_OUT_CASES))
def test_a_metric_bolt_bears_its_printed_proof_load(row):
    given = inputs(row)
    assert strength(read_thread(given["thread"]), given["class"]).proof_load.m_as("N") == within(row)


@pytest.mark.parametrize("row", TABLE.of("iso-tensile-load", without=LEFT_OUT_CASES))
def test_a_metric_bolt_tears_at_its_printed_load(row):
    given = inputs(row)
    assert strength(read_thread(given["thread"]), given["class"]).tensile_load.m_as("N") == within(row)


@pytest.mark.parametrize("row", TABLE.of("j429-property", "j429-boundary", without=LEFT_OUT_CASES))
def test_a_grade_guarantees_what_its_standard_says(row):
    """At both ends of the row's band: just above the lower one, where that belongs to the next band."""
    given = inputs(row)
    low, _, high = given["size_in"].partition("..")
    over = low.startswith("over ")
    sizes = [inches(low.removeprefix("over ")) + (0.001 if over else 0), inches(high or low)]
    quantity = given.get("quantity", "proof")
    for size in sizes:
        bolt = strength(of_size(size), f"grade {given['grade']}")
        stress = bolt.proof_stress if quantity == "proof" else bolt.yield_stress
        assert stress.m_as("ksi") == within(row)


@pytest.mark.parametrize("row", TABLE.of("j429-proof-load", without=LEFT_OUT_CASES))
def test_an_inch_bolt_bears_its_proof_load(row):
    given = inputs(row)
    bolt = strength(read_thread(given["thread"]), f"grade {given['grade']}")
    assert bolt.proof_load.m_as("force_pound") == within(row)


@pytest.mark.parametrize(
    "row", TABLE.of("nut-factor", "nut-factor-bickford", "nut-factor-ifi", without=LEFT_OUT_CASES)
)
def test_each_list_of_k_is_kept_apart_and_named(row):
    given = inputs(row)
    author = re.match(r"Shigley|Bickford|IFI", given["table"])[0]
    state = given["condition"].replace(" compound (one named product)", "")
    factor, source = nut_factor(f"{state} ({author})")
    assert factor == within(row)
    assert author in source


@pytest.mark.parametrize(
    "row", TABLE.of("short-form-torque", "short-form-torque-inch", without=LEFT_OUT_CASES)
)
def test_the_torque_for_a_share_of_proof_load_is_the_published_one(row):
    given = inputs(row)
    grade = given.get("class") or f"grade {given['grade']}"
    share = Q_(100 * float(given["preload_fraction_of_proof"]), "percent")
    answer = torque_answer(given["thread"], grade, "my own number", float(given["K"]), share)
    unit = {"N.m": "N*m", "lbf.in": "force_pound * inch"}[row["unit"]]
    assert answer.value["torque"].m_as(unit) == within(row)


@pytest.mark.parametrize("row", TABLE.of("shigley-example", without=LEFT_OUT_CASES))
def test_torque_by_k_load_and_diameter_agrees_with_the_handbook(row):
    given = inputs(row)
    thread = of_size(float(given["d_in"]))
    factor = float(given.get("K", 0.2))
    load = float(given.get("Fi_lbf") or float(given["K_times_Fi_lbf"]) / factor)
    found = torque_for(Q_(load, "force_pound"), thread, factor)
    assert found.m_as("force_pound * inch") == within(row)


@pytest.mark.parametrize("row", TABLE.of("rule", without=LEFT_OUT_CASES))
def test_the_rules_of_preload_and_of_oil_on_a_dry_figure(row):
    given = inputs(row)
    if "K_dry" in given:
        assert lubricated(float(given["K_dry"]), float(given["K_lub"])) == within(row)
    else:
        assert REUSABLE.m_as("") == within(row)


def test_the_lists_of_k_hold_nothing_that_no_row_checks_but_common_practice():
    checked = {row["case"] for row in TABLE.rows if row["kind"].startswith("nut-factor")}
    assert len(NUT_FACTORS) == len(checked) + 3


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
    assert set(LEFT_OUT_CASES) <= {row["case"] for row in TABLE.rows}
