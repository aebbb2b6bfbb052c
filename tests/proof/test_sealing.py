"""Beads and their clocks: what a bead can become, and how its minutes are counted."""

from itertools import product
from pathlib import Path

import pytest

from webapp.compile import compile_bytes
from webapp.pack.model import ANYWHERE
from webapp.pack.schema import Sealant
from webapp.proof import examples, machines
from webapp.proof.machines import Machine
from webapp.proof.rules import sealing

METHODS = ("close-wet", "close-tacky", "finger-tight-then-torque")
EXAMPLES = Path(examples.__file__).parent


def findings(text: str) -> list[tuple[str, str]]:
    result = compile_bytes(examples.whole(text).encode(), "pack.md", {}, "example")
    return [(finding.code, finding.what) for finding in result.findings]


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.md").read_text("utf-8")


def after(machine: Machine, *moves: str) -> str | int | None:
    """Return where moves lead from the start, None when one of them cannot be made."""
    state: str | int = "none"
    for move in moves:
        table = machine.moves[move]
        assert not isinstance(table, int)
        if state not in table:
            return None
        state = table[state]
    return state


def test_the_methods_are_those_that_a_label_can_name():
    assert set(METHODS) == set(Sealant.model_fields["method"].annotation.__args__)


@pytest.mark.parametrize("method", ["close-wet", "finger-tight-then-torque"])
def test_a_wet_bead_is_closed_wet(method):
    bead = machines.bead(method, must=True)
    assert after(bead, "apply", "join") == "closed"
    assert after(bead, "apply", "tacky", "join") is None


def test_a_tacky_bead_is_not_closed_before_it_is_tacky():
    bead = machines.bead("close-tacky", must=True)
    assert after(bead, "apply", "join") is None
    assert after(bead, "apply", "tacky", "join", "cure") == "cured"


@pytest.mark.parametrize("method", METHODS)
def test_no_wait_cures_a_bead_that_is_open(method):
    bead = machines.bead(method, must=True)
    for wait in ("set", "cure"):
        assert after(bead, "apply", wait) is None


@pytest.mark.parametrize("method", METHODS)
def test_a_part_that_comes_off_takes_its_bead_along(method):
    bead = machines.bead(method, must=True)
    closed = ["apply", "tacky", "join"] if method == "close-tacky" else ["apply", "join"]
    assert after(bead, *closed, "cure", "part") == "none"
    assert after(bead, *closed, "cure", "part", "join") is None


@pytest.mark.parametrize("method, must", list(product(METHODS, (True, False))))
def test_a_dab_beside_a_gasket_is_never_asked_for(method, must):
    assert (after(machines.bead(method, must), "join") is None) == must


@pytest.mark.parametrize("moves, possible", [
    (["part", "clean", "seal", "join"], True),
    (["part", "seal"], False),
    (["part", "clean", "strip", "seal"], False),
    (["part", "strip", "clean", "seal", "seal", "join"], True),
    (["part", "clean", "join"], False),
    (["part", "clean", "seal", "join", "seal"], False),
    (["part", "clean", "seal", "join", "clean", "part", "clean", "seal", "join"], True),
])  # fmt: skip
def test_a_joint_is_parted_stripped_cleaned_sealed_and_closed(moves, possible):
    state: str | int | None = "closed"
    for move in moves:
        table = machines.JOINT.moves[move]
        assert not isinstance(table, int)
        state = table.get(state) if state is not None else None
    assert (state is not None) == possible


@pytest.mark.parametrize("minutes, late", [(9, False), (10, False), (10.5, True), (600, True)])
def test_the_open_time_may_be_used_up_and_not_more(minutes, late):
    text = example("R31-right").replace("hands-on: 8 min", f"hands-on: {minutes} min")
    assert text != example("R31-right") or minutes == 8
    assert ("R31" in {code for code, _ in findings(text)}) == late


def test_steps_of_different_vehicles_are_not_added_up():
    text = example("R31-right").replace(
        "items:", "questions:\n  fan: {ask: Which?, answers: {a: A, b: B}}\nitems:"
    )
    step = "## Look {answer}\n\n```step\nhands-on: 8 min\nwhen: {{fan: {answer}}}\n```\n\n## Close the joint"
    either = "".join(step.format(answer=one).replace("## Close the joint", "") for one in "ab")
    one_after_the_other = text.replace("hands-on: 8 min", "hands-on: 1 min").replace(
        "## Close the joint", either + "## Close the joint"
    )
    assert findings(one_after_the_other) == []
    both = one_after_the_other.replace("when: {fan: a}\n", "").replace("when: {fan: b}\n", "")
    assert "R31" in {code for code, _ in findings(both)}


def test_an_overnight_wait_of_another_kind_is_no_cure():
    text = example("R33-right")
    assert findings(text) == []
    for kind in ("settle", "dry", "soak"):
        other = text.replace(
            "kind: full-cure, name: The sealant cures, sealant: rtv",
            f"kind: {kind}, name: The sealant cures, least: 72 h",
        )
        assert other != text
        assert "R33" in {code for code, _ in findings(other)}


@pytest.mark.parametrize("thread, taper", [
    ("1/8-27 NPT", True), ("1/4-18 NPTF", True), ("R 1/4", True), ("Rc 1/8", True),
    ("M12x1.5", False), ("3/8-16 UNC", False), ("G 1/4", False), ("1/4-28 UNF", False),
])  # fmt: skip
def test_a_taper_thread_is_known_by_its_name(thread, taper):
    assert bool(sealing.TAPER.search(thread)) == taper


def test_the_phone_says_what_to_do_with_an_open_bead_when_the_work_is_laid_down():
    """Also where the open-time clock runs, and the compiler has nothing to say."""
    clock = "\nwaits:\n  live: {kind: open-time, name: The bead is live, sealant: rtv}\n```\n\n## Sort"
    for text in (example("R31-right"), example("R31-right").replace("\n```\n\n## Sort", clock)):
        result = compile_bytes(examples.whole(text).encode(), "pack.md", {}, "example")
        assert result.pack is not None
        bead = next(one for one in result.pack.model.variables if one.machine == "bead")
        laid_down = [need for need in bead.needs if need.step == ANYWHERE]
        assert [need.allowed & {"wet", "tacky"} for need in laid_down] == [set()]
        assert "Close the joint now" in laid_down[0].do
    assert clock in text
