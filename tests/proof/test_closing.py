"""Looks, follow-ups, pictures and conditions: what one file of the corpus for each case does not show."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.compile import compile_bytes
from webapp.pack import schema
from webapp.pack.compiled import holds
from webapp.proof import examples
from webapp.proof.job import Job
from webapp.proof.machines import BELT, LOOK, SETTINGS
from webapp.proof.rules.closing import can_be_met, without
from webapp.proof.shown import speaks_of, stems


def step(title: str, *lines: str) -> str:
    """Return a step with such lines in its block."""
    return f"\n## {title}\n\n```step\nhands-on: 5 min\n" + "\n".join(lines) + "\n```\n"


def do(*actions: str) -> str:
    """Return actions as a step writes them."""
    return "\n".join(["actions:", *(f"  - {action}" for action in actions)])


def codes(front: str, *steps: str) -> list[str]:
    """Return the codes of the findings of a pack, each once."""
    text = examples.whole(f"{front}---\n\n# A job\n{''.join(steps)}")
    return sorted({one.code for one in compile_bytes(text.encode(), "pack.md", {}, "job").findings})


def end_of(machine, start: str, *moves: str) -> str:
    """Return the state that moves lead to."""
    state = start
    for move in moves:
        state = machine.moves[move][state]
    return state


# --- R42 and R49: one fault of a belt is one finding

BELT_FRONT = """\
opening: {earth: on, wheels: on-ground, air: ventilated, engine: cold}
items:
  lead: {kind: earth-lead, name: earth lead}
  belt: {kind: drive, name: ribbed belt, renew: true}
parts:
  belt: {name: ribbed belt, for: belt}
tools:
  extinguisher: {name: fire extinguisher}
"""
LEVEL = "follow-ups:\n  look: {name: Belt, heat-cycles: 3, checks: belt, what: Press the belt.}\n"
SEEN = (
    "readings:\n  ribs: {ask: How is it?, expect: In its grooves, if-outside: Lay it anew, proves: belt-seen}"
)
SET = "readings:\n  clock: {ask: What is lost?, expect: Nothing, if-outside: Set it, proves: settings}"


def belt_job(first: str, then: str, *, runs: bool, followed: bool) -> list[str]:
    """Return what is found of a new belt that is set once, perhaps run, and perhaps set again."""
    steps = [
        step("Earth off", do("key: out", "disconnect: lead"), "hazards: [battery]"),
        step("Belt off", do("remove: belt"), "photo: the belt path"),
        step("Belt on", do("fit: belt", first), "parts: [belt]", SEEN),
        step("Earth on", do("connect: lead"), "hazards: [battery]", SET),
    ]
    if runs:
        run = do('key: "on"', "start: engine", "stop: engine", "key: out")
        steps.append(step("Run", run, "hazards: [exhaust-gas, moving-parts]", "tools: [extinguisher]"))
    if then:
        steps += [
            step("Earth off again", do("disconnect: lead"), "hazards: [battery]"),
            step("Set it again", do(then)),
            step("Earth on again", do("connect: lead"), "hazards: [battery]"),
        ]
    front = BELT_FRONT if runs else BELT_FRONT.split("tools:")[0]
    return codes(front + (LEVEL if followed else ""), *steps)


NEW, USED, PLAIN = "{tension: belt, as: new}", "{tension: belt, as: used}", "tension: belt"


@pytest.mark.parametrize("first, then", list(product([NEW, USED, PLAIN], ["", NEW, USED, PLAIN])))
@pytest.mark.parametrize("runs", [False, True], ids=["still", "run"])
def test_a_belt_has_one_finding_at_most_and_none_when_it_is_followed_up(first, then, runs):
    """Only a belt that is set as used before it ran is wrong whatever comes later."""
    early = USED in then and first == NEW and not runs
    assert belt_job(first, then, runs=runs, followed=True) == (["R42"] if early else [])
    alone = belt_job(first, then, runs=runs, followed=False)
    assert len(alone) == 1 or (early and alone == ["R42", "R49"])


def test_a_new_belt_that_ran_and_is_not_set_again_is_asked_for_by_r42_and_one_that_is_by_r49():
    assert belt_job(NEW, "", runs=True, followed=False) == ["R42"]
    assert belt_job(NEW, USED, runs=True, followed=False) == ["R49"]


# --- The machines of looks and settings


@given(st.lists(st.sampled_from(sorted(LOOK.moves))))
def test_a_look_is_due_just_when_work_was_run_and_not_looked_at_since(moves):
    state = end_of(LOOK, "quiet", *moves)
    due = False
    worked = False
    for move in moves:
        if move == "work":
            worked = True
        elif move == "start":
            due, worked = due or worked, False
        else:
            due = False
    assert state.startswith("due") == due


@pytest.mark.parametrize(
    "moves, end",
    [
        (["start"], "quiet"),
        (["work", "seen", "start"], "due"),
        (["work", "start", "seen", "start"], "seen"),
        (["work", "start", "work", "seen"], "worked"),
        (["work", "start", "seen", "work", "start"], "due"),
    ],
)
def test_a_look_before_the_start_counts_for_nothing_and_new_work_asks_for_a_new_one(moves, end):
    assert end_of(LOOK, "quiet", *moves) == end


@pytest.mark.parametrize(
    "moves, end",
    [
        (["start"], "quiet"),
        (["lose", "start"], "due"),
        (["lose", "seen", "start"], "seen"),
        (["lose", "start", "seen"], "seen"),
        (["seen", "lose", "start"], "due"),
        (["lose", "start", "seen", "lose", "start"], "due"),
    ],
)
def test_what_the_battery_forgot_may_be_set_before_or_after_the_start(moves, end):
    assert end_of(SETTINGS, "quiet", *moves) == end


def test_only_a_belt_that_is_set_as_new_runs_in():
    assert {state: end_of(BELT, state, "run") for state in ("set", "slack", "new", "used")} == {
        "set": "set", "slack": "slack", "new": "run in", "used": "used",
    }  # fmt: skip


# --- Captions


@pytest.mark.parametrize(
    "name, caption, shown",
    [
        ("ribbed belt", "the belt on all four pulleys", True),
        ("upper hose", "all hoses, with the way each clamp faces", True),
        ("upper hose", "the tag on the steering wheel", False),
        ("glass of the lamp", "the gauge", False),  # no word loses an s that is its own
        ("the old belt", "the old tag", False),  # small words tell nothing
        ("belt", "", False),
    ],
)
def test_a_caption_speaks_of_a_thing_by_a_word_of_its_name(name, caption, shown):
    assert speaks_of(stems(name), caption) == shown


# --- R52 and R53: conditions, against somebody who tries every answer

ASKED = {
    "fan": schema.Question(ask="Fan?", answers={"belt": "Belt", "motor": "Motor"}),
    "plug": schema.Question(ask="Plugs?", answers={"one": "One", "two": "Two"}, when={"fan": ["motor"]}),
    "lamp": schema.Question(ask="Lamp?", answers={"on": "On", "off": "Off"}, when={"plug": ["two"]}),
}
WHEN = st.fixed_dictionaries(
    {},
    optional={
        name: st.lists(st.sampled_from(sorted(one.answers)), min_size=1, unique=True)
        for name, one in ASKED.items()
    },
)
JOB = Job(schema.FrontMatter.model_construct(questions=ASKED), ())
VEHICLES = [
    {"fan": "belt"},
    {"fan": "motor", "plug": "one"},
    {"fan": "motor", "plug": "two", "lamp": "on"},
    {"fan": "motor", "plug": "two", "lamp": "off"},
]


@given(WHEN, WHEN)
def test_a_step_is_found_to_be_shown_without_its_thing_just_when_some_vehicle_sees_it_so(when, has):
    lacks = [one for one in VEHICLES if holds(when, one) and not holds(has, one)]
    found = without(JOB, when, has)
    assert (found is not None) == bool(lacks)
    assert found is None or any(found.items() <= one.items() for one in lacks)


@given(WHEN)
def test_a_condition_can_be_met_just_when_some_vehicle_is_asked_and_answers_so(when):
    met = [one for one in VEHICLES if when.keys() <= one.keys() and holds(when, one)]
    assert can_be_met(JOB, when) == bool(met)
