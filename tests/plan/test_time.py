"""A job takes as long as one technician needs for its steps in order, waits running meanwhile."""

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.pack.compiled import Wait
from webapp.plan.time import duration, times

MIN, H = 60, 3600


def wait(name, least=None, most=None, kind="settle", attended=False):
    return Wait(
        id=name, step="", kind=kind, name=name, least=least, most=most, until=(), attended=attended,
        stop_if=(), sealant=None, stretches=False,
    )  # fmt: skip


def step(hands_on, *waits, after=()):
    return SimpleNamespace(hands_on=hands_on, waits=waits, after=after)


def test_steps_follow_one_another():
    found = times([step(10 * MIN), step(20 * MIN)])
    assert (found.hands_on, found.standing, found.finish) == (30 * MIN, 0, 30 * MIN)


def test_a_wait_runs_while_other_steps_are_done():
    """Drops fall for 20 minutes; 15 of them are spent cleaning, so 5 are stood about."""
    found = times([step(5 * MIN, wait("drip", 20 * MIN)), step(15 * MIN), step(5 * MIN, after=["drip"])])
    assert (found.hands_on, found.standing, found.finish) == (25 * MIN, 5 * MIN, 30 * MIN)


def test_a_wait_that_is_over_in_time_holds_nothing_up():
    found = times([step(5 * MIN, wait("drip", 10 * MIN)), step(15 * MIN), step(5 * MIN, after=["drip"])])
    assert (found.standing, found.finish) == (0, 25 * MIN)


def test_somebody_who_watches_does_nothing_else():
    found = times([step(5 * MIN, wait("warm-up", 15 * MIN, attended=True)), step(5 * MIN)])
    assert (found.hands_on, found.watching, found.standing, found.finish) == (10 * MIN, 15 * MIN, 0, 25 * MIN)


def test_a_cure_that_outlasts_the_last_step_is_part_of_the_job():
    found = times([step(5 * MIN, wait("full-cure", 24 * H, kind="full-cure"))])
    assert (found.standing, found.finish) == (24 * H, 24 * H + 5 * MIN)


def test_an_open_time_is_a_limit_and_holds_nothing_up():
    found = times([step(5 * MIN, wait("open", most=15 * MIN, kind="open-time")), step(5 * MIN)])
    assert (found.standing, found.finish, found.uncounted) == (0, 10 * MIN, ())


def test_a_wait_with_a_limit_only_counts_as_long_as_it_may_last():
    assert times([step(0, wait("bleed", most=30 * MIN)), step(0, after=["bleed"])]).finish == 30 * MIN


def test_a_wait_without_a_number_is_named_not_guessed():
    found = times([step(5 * MIN, wait("bubbles"))])
    assert [one.name for one in found.uncounted] == ["bubbles"]
    assert found.finish == 5 * MIN


def test_a_wait_of_a_step_that_the_answers_left_out_is_not_waited_for():
    assert times([step(5 * MIN, after=["left-out"])]).finish == 5 * MIN


def test_times_read_as_people_say_them():
    assert [duration(seconds) for seconds in (0, 30, 2_700, 3_600, 94_200)] == [
        "0 min", "30 s", "45 min", "1 h", "26 h 10 min",
    ]  # fmt: skip


STEPS = st.lists(
    st.tuples(st.integers(0, 600), st.none() | st.integers(0, 9000), st.booleans(), st.booleans()),
    max_size=30,
)


@given(STEPS)
def test_a_job_is_made_of_working_watching_and_standing_about(parts):
    """Nothing is counted twice and nothing is lost, whatever waits there are."""
    steps = []
    for number, (hands_on, least, attended, waited_for) in enumerate(parts):
        after = [f"w{number - 1}"] if waited_for else []
        steps.append(step(hands_on, wait(f"w{number}", least, attended=attended), after=after))
    found = times(steps)
    assert found.hands_on + found.watching + found.standing == pytest.approx(found.finish)
    longest = max((least or 0 for _, least, *_ in parts), default=0)
    assert found.finish >= max(found.hands_on, longest)
