"""What a log says, worked out in the browser: the vectors that every fold of it is held to, and its laws."""

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

VECTORS = json.loads((Path(__file__).parents[2] / "tests/vectors/fold.json").read_text("utf-8"))["jobs"]
TABLES = {"steps", "waits", "readings", "hazards", "touched", "answers"}


@pytest.fixture(scope="module")
def fold(browser, server):
    """Fold logs with the phone's own module."""
    page = browser.new_page()
    page.goto(f"{server.url}/static/js/fold.js")

    def run(logs):
        assert logs, "a test over no logs would pass by looking at nothing"
        return page.evaluate(
            "async (logs) => { const { fold } = await import('/static/js/fold.js'); return logs.map(fold) }",
            logs,
        )

    yield run
    page.close()


def holds(state, expected, name=None):
    if isinstance(expected, dict):
        exact = state.keys() == expected.keys() if name in TABLES else state.keys() >= expected.keys()
        return exact and all(holds(state[key], expected[key], key) for key in expected)
    return state == expected


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: vector["name"].replace(" ", "-"))
def test_a_log_says_what_its_vector_says(fold, vector):
    entries = vector["entries"]
    (forward, backward, twice) = fold([entries, entries[::-1], entries[::-1] + entries])
    assert holds(forward, vector["state"]), json.dumps(forward, indent=1)
    assert forward == backward == twice


STEPS, WAITS = st.sampled_from(["drain", "bead", "shut"]), st.sampled_from(["drips", "cured"])
BOLT = {"group": st.just("bolts"), "pass": st.sampled_from(["1", "check"]), "bolt": st.integers(1, 3)}
DATA = {
    "step-done": st.fixed_dictionaries({}),
    "step-undone": st.fixed_dictionaries({}),
    "step-passed-over": st.fixed_dictionaries({"already": st.just(True)}),
    "answer-changed": st.fixed_dictionaries(
        {"question": st.sampled_from(["stud", "air"]), "answer": st.sampled_from(["yes", "no"])}
    ),
    "job-begun": st.fixed_dictionaries({"pack": st.just("p"), "answers": st.just({"air": "no"})}),
    "wait-begun": st.fixed_dictionaries(
        {"wait": WAITS, "length": st.sampled_from([0, 5, None])},
        optional={
            "began": st.integers(0, 9),
            "since": st.integers(0, 9),
            "inputs": st.just({"humidity": 50}),
        },
    ),
    "wait-ended": st.fixed_dictionaries({"wait": WAITS, "seen": st.just(["dry"])}),
    "wait-stopped": st.fixed_dictionaries({"wait": WAITS, "reason": st.just("it runs")}),
    "condition-seen": st.fixed_dictionaries(
        {"wait": WAITS, "condition": st.just("dry"), "seen": st.booleans()}
    ),
    "alarm-heard": st.fixed_dictionaries({"wait": WAITS, "due": st.integers(0, 9)}),
    "reading-taken": st.fixed_dictionaries(
        {
            "reading": st.just("volts"),
            "value": st.integers(0, 15),
            "unit": st.just("V"),
            "verdict": st.just("in"),
        }
    ),
    "hazard-answered": st.fixed_dictionaries({"hazard": st.just("scald"), "fact": st.just("cool")}),
    "bolt-turned": st.fixed_dictionaries(BOLT),
    "bolt-taken-back": st.fixed_dictionaries(BOLT),
    "mix-worked-out": st.fixed_dictionaries(
        {"fluid": st.just("coolant"), "inputs": st.just({}), "answer": st.just({"lines": []})}
    ),
    "permit-passed": st.fixed_dictionaries(
        {"gate": st.just("start"), "rules": st.just(["R32"]), "reason": st.just("the label allows it")}
    ),
    "note": st.fixed_dictionaries({"text": st.just("loose post")}),
}
ENTRY = st.sampled_from(sorted(DATA)).flatmap(
    lambda kind: st.fixed_dictionaries(
        {
            "id": st.uuids().map(str),
            "job": st.just("j"),
            "device": st.sampled_from(["a", "b"]),
            "kind": st.just(kind),
            "step": STEPS,
            "data": DATA[kind],
            "at": st.integers(0, 9),
            "stamp": st.integers(0, 9),  # few, so that many are equal and the id has to decide
        }
    )
)
LOG = st.lists(ENTRY, max_size=12, unique_by=lambda entry: entry["id"])


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(log=LOG, data=st.data())
def test_any_order_and_any_repetition_of_a_log_says_the_same(fold, log, data):
    again = data.draw(st.lists(st.sampled_from(log), max_size=6)) if log else []
    mixed = data.draw(st.permutations(log + again))
    first, second = fold([log, mixed])
    assert first == second
