"""Where a job stands and how its clocks run: the phone's pure modules, asked in the browser."""

from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

HOUR = 3_600_000


@pytest.fixture(scope="module")
def ask(browser, server):
    """Run a JavaScript expression over values, with the exports of one module as `m` and the value as `v`."""
    page = browser.new_page()
    page.goto(f"{server.url}/static/js/fold.js")

    def run(module, expression, values):
        assert values, "a test over no values would pass by looking at nothing"
        return page.evaluate(
            f"async (values) => {{ const m = await import('/static/js/{module}');"
            f" return values.map((v) => {expression}) }}",
            values,
        )

    yield run
    page.close()


SPELL = st.tuples(st.integers(0, 40 * HOUR), st.integers(24 * HOUR, 200 * HOUR))


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(spells=st.lists(SPELL, min_size=1, max_size=6))
def test_however_the_bay_changes_no_cure_is_shorter_than_its_label_or_than_the_time_gone_by(ask, spells):
    """A label of 24 h: every bay takes at least that, so every mixture of bays does."""
    bays, since = [], 0
    for stays, whole in spells:
        bays.append({"since": since, "whole": whole})
        since += stays
    (cure,) = ask("clocks.js", "m.cureIn(v)", [bays])
    gone = bays[-1]["since"]
    done = sum((later["since"] - bay["since"]) / bay["whole"] for bay, later in pairwise(bays))
    assert cure["length"] >= max(gone, 24 * HOUR if done < 1 else 0)
    assert cure["length"] <= max(gone, max(bay["whole"] for bay in bays)) + 1
    assert cure["left"] == pytest.approx(max(0, 1 - done), abs=1e-9)


def test_half_a_cure_in_the_cold_and_half_in_the_warm(ask):
    """By hand: 24 h of 48 h is a half, and the other half of 24 h is 12 h more."""
    bays = [{"since": 0, "whole": 48 * HOUR}, {"since": 24 * HOUR, "whole": 24 * HOUR}]
    assert ask("clocks.js", "m.cureIn(v)", [bays]) == [{"left": 0.5, "length": 36 * HOUR}]


def wait(name, kind, **times):
    return {"id": name, "kind": kind, "least": None, "most": None, "until": [], "attended": False, **times}


def test_of_all_clocks_an_open_bead_comes_first_then_the_earliest_deadline_then_what_has_none(ask):
    waits = [
        wait("cool", "cool-down", until=["cold to the hand"]),
        wait("cure", "full-cure", least=24 * HOUR, stretches=True),
        wait("drips", "settle", least=1),
        wait("soak", "settle", least=HOUR),
        wait("bead", "open-time", most=2 * HOUR),
    ]
    running = {
        one["id"]: {"is": "running", "began": 0, "length": one["least"] or 0, "seen": [], "heard": []}
        for one in waits
    }
    order = """m.counting({ waits: new Map(v[0].map((one) => [one.id, one])) }, { waits: v[1] }, 1000)
        .map(({ id }) => id)"""
    attended = [{**one, "attended": one["id"] == "drips"} for one in waits]
    for given_order in (attended, attended[::-1]):
        assert ask("cards.js", order, [[given_order, running]]) == [["bead", "drips", "soak", "cure", "cool"]]
