"""The tables of the machine: what the compiler walks is what the phone folds."""

import importlib.util
import json
import random
from pathlib import Path

import pytest

from tests.vectors import machine_twin as twin
from webapp import places
from webapp.compile import compile_folder
from webapp.pack.danger import DANGER
from webapp.pack.model import Model, Move, Need, Variable

VECTORS = Path(__file__).parents[1] / "vectors"
SLUGS = sorted(folder.name for folder in places.CONTENT.iterdir())


@pytest.fixture(scope="module", params=SLUGS)
def pack(request):
    """Each pack that ships."""
    return compile_folder(places.CONTENT / request.param).pack


def plain(model):
    return json.loads(json.dumps(model.plain()))


def test_the_vectors_of_the_machine_say_what_its_tables_say():
    """The vectors hold static/js/machine.js too, in e2e/test_vectors.py."""
    spec = importlib.util.spec_from_file_location("write_machine", VECTORS / "write_machine.py")
    writer = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(writer)
    written = json.loads((VECTORS / "machine.json").read_text(encoding="utf-8"))
    assert written["states"]
    assert json.loads(json.dumps(writer.tables())) == written


def test_the_phone_folds_the_machine_as_the_compiler_does(pack):
    steps = [step.id for step in pack.steps]
    tables, chance = plain(pack.model), random.Random(3)
    own = {variable["id"] for variable in tables["variables"]}
    for _ in range(10):
        order = chance.sample(steps, chance.randint(0, len(steps)))
        state = pack.model.start
        for step in order:
            state = pack.model.after(state, step)
        ticks = {step: {"is": "done", "stamp": stamp} for stamp, step in enumerate(order)}
        folded = twin.walked(tables, {"answers": {}, "steps": ticks}, order)
        assert {name: now for name, (now, _) in folded.items()} == {name: state[name] for name in own}


def test_a_pack_that_ships_misses_nothing_that_is_an_error_when_it_is_done_as_printed(pack):
    tables, phone = plain(pack.model), twin.pack_of(pack)
    questions = {name: list(one.answers) for name, one in pack.front.questions.items()}
    chance = random.Random(5)
    for _ in range(6):
        answers = {name: chance.choice(choices) for name, choices in questions.items()}
        own = [step.id for step in pack.selected(answers)]
        ticks = {step: {"is": "done", "stamp": stamp} for stamp, step in enumerate(own)}
        state = {"answers": answers, "steps": ticks}
        missed = [one for step in (*own, twin.END) for one in twin.unmet(tables, phone, state, step)]
        assert [one["what"] for one in missed if one["severity"] == "error"] == []


def test_only_errors_of_danger_are_never_passed(pack):
    texts = pack.model.plain()["texts"]
    assert texts
    for rule, severity, _, _, _, danger in texts:
        assert danger == (severity == "error" and rule in DANGER)


def test_every_sentence_stands_once_in_the_tables_and_is_used(pack):
    tables = plain(pack.model)
    assert len({json.dumps(text) for text in tables["texts"]}) == len(tables["texts"])
    used = {index for variable in tables["variables"] for _, _, _, index in variable["needs"]}
    assert used == set(range(len(tables["texts"])))


def test_the_tables_name_only_steps_and_states_that_there_are(pack):
    tables, steps = plain(pack.model), {step.id for step in pack.steps}
    for variable in tables["variables"]:
        assert {step for step, *_ in variable["moves"]} <= steps
        assert {step for step, *_ in variable["needs"]} <= steps | {"", "*"}
        if not isinstance(variable["start"], int):
            reached = {state for _, _, to, *_ in variable["moves"] for state in to.values()}
            assert reached | {variable["start"]} <= variable["words"].keys()
    for gate, own in tables["gates"].items():
        assert gate in ("start", "fill", "lower", "move", "stop")
        assert set(own) <= steps


def test_every_kind_of_thing_has_its_place_on_the_board(pack):
    """A kind that the phone does not know would be told under “off”."""
    known = set().union(*(machines for _, machines in twin.KINDS.values()))
    for variable in pack.model.variables:
        left = {
            state for move in variable.moves if not isinstance(move.to, int) for state in move.to.values()
        }
        if left - variable.rest or isinstance(variable.start, int):
            assert variable.machine in known, variable.id


def test_starts_and_cranks_are_one_gate_and_a_planned_stop_is_one_too():
    gates = compile_folder(places.CONTENT / "inlet-manifold").pack.model.gates
    assert gates["start"][0] == "baseline-run"
    assert gates["move"] == ("road-test",)
    assert "battery-off" in gates["stop"]


def variable(**more):
    """Return a rag of which there are two."""
    given = {
        "id": "temporary:rag",
        "machine": "temporary",
        "object": "rag",
        "table": "items",
        "name": "rag",
        "start": 0,
        "rest": frozenset({0}),
        "words": {"count": "in: {n} of {of}"},
        "total": 2,
        "when": {},
        "moves": (),
        "needs": (),
    }
    return Variable(**given | more)


def test_a_count_never_leaves_its_bounds_and_says_when_it_would_have():
    rag = variable()
    for start, step, after, possible in (
        (0, 2, 2, True),
        (1, 2, 2, False),
        (1, -2, 0, False),
        (2, -2, 0, True),
    ):
        assert rag.moved(start, Move("s", 0, "in", step, "R01", "")) == (after, possible)


def test_a_move_that_is_not_possible_leaves_the_thing_where_it_leads():
    hose = variable(start="made", rest=frozenset({"made"}))
    assert hose.moved("undone", Move("s", 0, "disconnect", {"made": "undone"}, "R52", "")) == (
        "undone",
        False,
    )
    assert hose.moved("made", Move("s", 0, "disconnect", {"made": "undone"}, "R52", "")) == ("undone", True)


def test_a_thing_that_nothing_moves_and_nothing_needs_is_not_told_to_the_phone():
    need = Need("s", 0, "turns", frozenset({0}), "R01", "error", "{name}: {state}", "", "Take it out.")
    tables = Model((variable(), variable(id="temporary:cap", needs=(need,)))).plain()
    assert [one["id"] for one in tables["variables"]] == ["temporary:cap"]
    assert tables["texts"] == [["R01", "error", "turns", "{name}: {state}", "Take it out.", True]]


def test_what_a_wait_brings_names_the_wait(pack):
    """On the phone a bead that still cures is not cured, whatever was ticked after it."""
    waits = {wait.id for step in pack.steps for wait in step.waits}
    told = {
        (variable["kind"], move[3])
        for variable in plain(pack.model)["variables"]
        for move in variable["moves"]
        if move[3:]
    }
    assert {wait for _, wait in told} <= waits
    cures = {
        wait.id
        for step in pack.steps
        for wait in step.waits
        if wait.kind == "full-cure" and not wait.attended
    }
    after = {wait for step in pack.steps for wait in step.after}
    assert {wait for kind, wait in told if kind == "bead"} >= cures & after
