"""Laws of the walk: it finds what somebody finds who tries every order under every answer, and no more."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp.compile import compile_bytes
from webapp.pack import schema
from webapp.pack.compiled import holds
from webapp.pack.model import BEGIN, END, FINISH, Model, Move, Need, State, Variable
from webapp.proof import examples, job, walk
from webapp.proof.job import Job, JobStep

STATES = ("on", "off", "gone")
MOST_STEPS = 5
QUESTIONS = {
    "fan": schema.Question(ask="What turns the fan?", answers={"belt": "A belt", "motor": "A motor"}),
    "plug": schema.Question(
        ask="How many plugs?", answers={"one": "One", "two": "Two"}, when={"fan": ["motor"]}
    ),
}


@st.composite
def conditions(draw: st.DrawFn) -> dict[str, list[str]]:
    """A step's or a thing's `when`: mostly none."""
    when = {}
    for question, entry in QUESTIONS.items():
        if draw(st.integers(0, 3)) == 0:
            when[question] = [draw(st.sampled_from(sorted(entry.answers)))]
    return when


@st.composite
def walked_jobs(draw: st.DrawFn) -> Job:
    """A few steps with needs that make any order of theirs, some of them only under some answers."""
    asked = draw(st.booleans())
    steps = []
    for index in range(draw(st.integers(1, MOST_STEPS))):
        needs = tuple(one.id for one in steps if draw(st.booleans()))
        when = draw(conditions()) if asked else {}
        data = schema.Step.model_construct(when=when)
        steps.append(JobStep(f"step-{index}", index, data, needs))
    return Job(schema.FrontMatter.model_construct(questions=QUESTIONS if asked else {}), tuple(steps))


@st.composite
def variables(draw: st.DrawFn, of: Job) -> Variable:
    """A thing with a table of its own: states, or a count."""
    counted = draw(st.booleans())
    total = 2
    states: tuple[State, ...] = tuple(range(total + 1)) if counted else STATES
    places = st.sampled_from([step.id for step in of.steps])
    at = st.sampled_from([BEGIN, 0, 1, 2, FINISH])
    moves = []
    for number in range(draw(st.integers(0, 4))):
        tables = st.dictionaries(st.sampled_from(STATES), st.sampled_from(STATES), min_size=1)
        to = draw(st.sampled_from([-1, 1, 2]) if counted else tables)
        moves.append(Move(draw(places), draw(at), f"move {number}", to, "R52", f"move {number}"))
    needs = []
    for number in range(draw(st.integers(0, 3))):
        allowed = draw(st.frozensets(st.sampled_from(states), min_size=1))
        place = draw(st.one_of(places, st.just(END)))
        what = f"need {number}"
        needs.append(Need(place, draw(at), "moment", allowed, "R01", "error", what, "", ""))
    when = draw(conditions()) if of.front.questions else {}
    start = draw(st.sampled_from(states))
    return Variable(
        "thing:one", "thing", "one", "items", "thing", start, frozenset(states), {}, total, when,
        tuple(moves), tuple(needs),
    )  # fmt: skip


@st.composite
def cases(draw: st.DrawFn) -> tuple[Job, Variable]:
    """A job and one thing that its steps move and need."""
    one = draw(walked_jobs())
    return one, draw(variables(one))


@dataclass(frozen=True)
class Tried:
    """What somebody meets who does the steps in one order: what is broken, and after how many own steps."""

    answers: tuple[tuple[str, str], ...]
    printed: bool
    broken: dict[str, int]


def orders(of: Job, selected: int) -> Iterator[tuple[int, ...]]:
    """Yield every order of the selected steps that the pack allows, the printed one first."""
    own = [step.index for step in of.steps if selected >> step.index & 1]
    for order in permutations(own):
        if all(
            not of.before[earlier] >> later & 1 for at, earlier in enumerate(order) for later in order[at:]
        ):
            yield order


def done_in(of: Job, variable: Variable, order: tuple[int, ...]) -> dict[str, int]:
    """Return what is broken in one order, by what it says, with how many of the thing's steps come before."""
    state, steps = variable.start, 0
    broken: dict[str, int] = {}
    places = {step.id: step.index for step in of.steps} | {END: len(of.steps)}
    for place in (*order, len(of.steps)):
        moves = [one for one in variable.moves if places[one.step] == place]
        needs = [one for one in variable.needs if places[one.step] == place]
        for part in sorted([*needs, *moves], key=lambda one: (one.at, isinstance(one, Move))):
            if isinstance(part, Need):
                met = state in part.allowed
            else:
                state, met = variable.moved(state, part)
            if not met:
                broken.setdefault(part.what, steps)
        steps += bool(moves)
    return broken


def tried(of: Job, variable: Variable) -> list[Tried]:
    """Return what every order gives under every combination of answers that has the thing."""
    found = []
    for answers in of.combinations(set(of.front.questions)):
        if holds(dict(variable.when), answers):
            for number, order in enumerate(orders(of, of.selected(answers))):
                found.append(Tried(tuple(answers.items()), number == 0, done_in(of, variable, order)))
    return found


def walked(of: Job, variable: Variable) -> dict[str, walk.Breach]:
    """Return the breaches that the walk finds, by what they say."""
    return {one.at.what: one for one in walk.walk(of, Model((variable,))).breaches}


@settings(deadline=None)
@given(cases())
def test_the_walk_finds_a_breach_just_when_some_order_under_some_answers_has_one(case):
    everything = {what for one in tried(*case) for what in one.broken}
    assert walked(*case).keys() == everything


@settings(deadline=None)
@given(cases())
def test_a_breach_is_said_to_be_in_the_printed_order_just_when_it_is(case):
    printed = {what for one in tried(*case) if one.printed for what in one.broken}
    assert {what for what, breach in walked(*case).items() if breach.printed} == printed


@settings(deadline=None)
@given(cases())
def test_a_breach_without_answers_is_there_whatever_is_answered(case):
    everything = tried(*case)
    for what, breach in walked(*case).items():
        under = {one.answers for one in everything if what in one.broken}
        if breach.answers:
            assert any(set(breach.answers) <= set(answers) for answers in under)
            continue
        at = case[0].by_id.get(breach.at.step)
        missing = {one.answers for one in everything} - under  # those whose vehicle does not have the step
        assert all(at and not holds(at.data.when, dict(answers)) for answers in missing)


@settings(deadline=None)
@given(cases())
def test_the_run_of_a_breach_can_be_done_and_none_is_shorter(case):
    of, variable = case
    everything = tried(of, variable)
    for what, breach in walked(of, variable).items():
        own = [*breach.run[:-1]] if breach.at.step != END else [*breach.run]
        done = [of.by_id[step].index for step in own]
        assert all(not of.before[one] >> other & 1 for at, one in enumerate(done) for other in done[at:])
        assert all(any(move.step == step for move in variable.moves) for step in own)
        if not breach.printed and not of.front.questions:
            assert len(own) == min(one.broken[what] for one in everything if what in one.broken)


# --- The two bounds, each reached by a pack

STEP = "\n## Step {at}\n\n```step\nhands-on: 5 min\n{data}\n```\n"
SWITCH = """\
items:
  plug: {kind: connection, name: plug, carries: signal}
"""


def codes(front: str, *data: str) -> set[str]:
    """Return the codes of a pack of such steps."""
    steps = "".join(STEP.format(at=at, data=one) for at, one in enumerate(data))
    text = examples.whole(f"{front}---\n\n# Many\n{steps}")
    return {finding.code for finding in compile_bytes(text.encode(), "pack.md", {}, "many").findings}


def asking(count: int) -> tuple[str, list[str]]:
    """Return a pack with so many questions that all move one plug."""
    questions = "".join(
        f"  q{at}: {{ask: Is part {at} fitted?, answers: {{fitted: 'Yes', none: 'No'}}}}\n"
        for at in range(count)
    )
    step = "when: {{q{at}: fitted}}\nactions:\n  - disconnect: plug\n  - connect: plug"
    return f"{SWITCH}questions:\n{questions}", [step.format(at=at) for at in range(count)]


@pytest.mark.parametrize("count, found", [(8, set()), (9, {"answers-too-many"})])
def test_an_author_is_told_when_one_thing_hangs_on_too_many_questions(count, found):
    assert job.MOST_ANSWERS == 2**8
    front, steps = asking(count)
    assert codes(front, *steps) == found


@pytest.mark.parametrize("count, found", [(10, set()), (12, {"order-too-free"})])
def test_an_author_is_told_when_one_thing_is_moved_in_too_many_orders(count, found):
    assert 2**10 < walk.MOST_PLACES < 2**12
    step = "needs: []\nactions:\n  - disconnect: plug\n  - connect: plug"
    assert codes(SWITCH, *[step] * count) == found
