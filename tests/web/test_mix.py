"""Which fills the phone can work out the mix for, and what it is told of them."""

import pytest

from tests.pack.writing import pack, result, step
from webapp import places
from webapp.compile import compile_folder
from webapp.web.job.mix import mixes

FLUID = "name: coolant, circuit: cooling, capacity: 9.5 L, stays-after-drain: 2 L, "
FLUID += "base: ethylene glycol, mix: 50 %"
DRAIN = "actions:\n  - drain: coolant\n"
RINSE = "actions:\n  - rinse: coolant\n    stays: 2.1 L\n"
FILL = "actions:\n  - fill: coolant\n"


def told(*steps: str, fluid: str = FLUID):
    """Return what the phone is told at each step of a pack, whatever else the compiler warns of."""
    text = pack(f"fluids:\n  coolant: {{{fluid}}}\n", *(step(f"Do {n}", one) for n, one in enumerate(steps)))
    found = result(text).pack
    assert found is not None, [finding.text() for finding in result(text).findings]
    return [mixes(found, one) for one in found.steps]


def test_a_fill_after_a_drain_is_told_what_the_pack_knows():
    drained, (mix,) = told(DRAIN, FILL)
    assert drained == []
    assert (mix["capacity"], mix["stayed"], mix["target"], mix["unit"]) == (9.5, 2, 50, "L")
    assert [unit for unit, _ in mix["units"]] == ["L", "US gal"]


def test_nothing_counts_as_rinsed_unless_the_pack_rinses_it():
    assert told(DRAIN, FILL)[-1][0]["rinsed"] == []
    (mix,) = told(DRAIN, RINSE, FILL)[-1]
    assert len(mix["rinsed"]) == 1
    assert mix["stayed"] == 2.1, "what the rinse leaves wins over what the drain leaves"


def test_a_rinse_before_the_drain_leaves_no_water_behind():
    assert told(RINSE, DRAIN, FILL)[-1][0]["rinsed"] == []


def test_who_tops_up_later_is_not_asked_again_until_it_is_drained_once_more():
    found = told(DRAIN, FILL, FILL, DRAIN, FILL)
    assert [len(one) for one in found] == [0, 1, 0, 0, 1]


READ = "readings:\n  out: {ask: How much came out?, unit: L}\n"
OTHER = "readings:\n  jug: {ask: How much is in the jug?, unit: L}\n"


@pytest.mark.parametrize(
    "steps, reading",
    [
        ((DRAIN + READ, FILL), "out"),
        ((DRAIN + READ, OTHER, FILL), None),
        ((DRAIN, FILL + READ), None),
    ],
)
def test_what_came_out_is_the_one_volume_that_is_read_on_the_way(steps, reading):
    assert told(*steps)[-1][0]["drained"] == reading


@pytest.mark.parametrize(
    "fluid",
    [
        FLUID.replace("circuit: cooling", "circuit: oil"),
        FLUID.replace("capacity: 9.5 L, ", ""),
        FLUID.replace("base: ethylene glycol, ", ""),
        FLUID.replace("ethylene glycol", "plain water"),
    ],
)
def test_there_is_no_mix_of_what_is_no_coolant_of_a_known_capacity(fluid):
    assert told(DRAIN, FILL, fluid=fluid) == [[], []]


def test_the_pump_job_that_ships_works_out_its_first_fill_from_its_own_reading():
    found = compile_folder(places.CONTENT / "coolant-pump").pack
    assert found is not None
    every = {one.id: told for one in found.steps if (told := mixes(found, one))}
    assert len(every) == 1, "the second fill only tops up"
    ((mix,),) = every.values()
    assert (mix["capacity"], mix["stayed"], mix["unit"]) == (8, 2.2, "US qt")
    assert mix["drained"] == "drained"
    assert mix["rinsed"] == ["rinse"]
