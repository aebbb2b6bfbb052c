"""The cure clock only ever lengthens. Published values: tests/reference/test_humidity_cure.py."""

import contextlib
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.cure import (
    COLD,
    DEEP,
    LABEL_WINS,
    NO_PATH,
    SKINS_SOONER,
    SOURCE,
    VALIDITY,
    in_this_bay,
    stretched,
)
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "cure.json").read_text(encoding="utf-8"))

celsius = st.floats(5, 50)
percent = st.floats(1, 100)
paths = st.none() | st.floats(0.1, 50)
clocks = st.sampled_from(["open", "tacky", "set", "full"])


DAY = Q_(24, "h")


def cure(label=DAY, clock="full", label_air=(23, 50), bay_air=(23, 50), label_path=None, path=None):
    return stretched(
        label,
        clock,
        label_temperature=Q_(label_air[0], "degC"),
        label_humidity=Q_(label_air[1], "percent"),
        bay_temperature=Q_(bay_air[0], "degC"),
        bay_humidity=Q_(bay_air[1], "percent"),
        label_path=None if label_path is None else Q_(label_path, "mm"),
        path=None if path is None else Q_(path, "mm"),
    )


@pytest.mark.parametrize("vector", VECTORS["waits"], ids=lambda vector: str(list(vector["wait"].values())))
def test_the_clock_answers_as_the_phone_does(vector):
    """The vectors hold static/js/cure.js too, in e2e/test_vectors.py."""
    wait, answer = vector["wait"], vector["answer"]

    def ask():
        return cure(
            Q_(wait["label"], "min"),
            wait["clock"],
            (wait["labelTemperature"], wait["labelHumidity"]),
            (wait["bayTemperature"], wait["bayHumidity"]),
            wait["labelPath"],
            wait["path"],
        )

    if "refused" in answer:
        with pytest.raises(Refused) as refused:
            ask()
        assert vars(refused.value) == answer["refused"]
        return
    got = ask()
    assert got.time.m_as("min") == pytest.approx(answer["minutes"], rel=1e-12)
    assert list(got.working) == answer["working"]
    assert list(got.cautions) == answer["cautions"]
    assert [{"source": got.source, "validity": got.validity}] == VECTORS["words"]


@given(
    label=st.floats(1, 90_000), clock=clocks, a=celsius, b=percent, c=celsius, d=percent, was=paths, now=paths
)
def test_no_bay_and_no_joint_shortens_the_label(label, clock, a, b, c, d, was, now):
    assert cure(Q_(label, "min"), clock, (a, b), (c, d), was, now).time.m_as("min") >= label


@given(clock=clocks, a=celsius, b=percent, was=paths)
def test_as_on_the_label_the_label_stands(clock, a, b, was):
    got = cure(Q_(60, "min"), clock, (a, b), (a, b), was, was)
    assert got.time.m_as("min") == 60
    assert "60 min" in got.working[-1]


@given(c=celsius, d=percent, was=st.floats(0.1, 20), now=st.floats(0.1, 20), more=st.floats(1, 2))
def test_a_longer_path_a_colder_bay_or_drier_air_never_takes_less_time(c, d, was, now, more):
    time = cure(bay_air=(c, d), label_path=was, path=now).time
    assert cure(bay_air=(c, d), label_path=was, path=now * more).time >= time
    assert cure(bay_air=(max(5, c / more), d), label_path=was, path=now).time >= time
    assert cure(bay_air=(c, max(1, d / more)), label_path=was, path=now).time >= time


@given(a=celsius, b=percent, c=celsius, d=percent, now=paths)
def test_an_open_time_is_never_lengthened(a, b, c, d, now):
    """Heat and damp shorten it, and nothing makes it safe to come back later."""
    assert cure(Q_(10, "min"), "open", (a, b), (c, d), 3, now).time.m_as("min") == 10


def test_a_damp_bay_does_not_pay_for_a_long_path():
    """Each factor is held at 1 by itself: 24 h × (6/3)², whatever the humidity."""
    assert cure(bay_air=(30, 90), label_path=3, path=6).time.m_as("h") == pytest.approx(96)


def test_a_tacky_surface_does_not_wait_for_the_depth():
    got = cure(Q_(15, "min"), "tacky", bay_air=(23, 25), label_path=3, path=6)
    assert got.time.m_as("min") == pytest.approx(30)


def test_hot_and_dry_is_not_fast():
    assert cure(bay_air=(35, 10)).time > 2 * cure().time


def test_the_working_can_be_followed_with_a_pencil():
    got = cure(bay_air=(13, 40), label_path=3, path=5)
    assert got.working == (
        "Label: 24 h at 23 °C / 73 °F and 50 % humidity, 3 mm / 0.12 in path",
        "Bay: 13 °C / 55 °F and 40 % humidity",
        "Path 5 mm / 0.2 in: (5/3)² = 2.778 times as long",
        "Water vapour: 1.41 kPa on the label, 0.599 kPa in the bay: 2.346 times as long",
        "24 h × 2.778 × 2.346 = 156.4 h (6 d 12 h 23 min)",
    )
    assert pytest.approx(156.4, abs=0.05) == 24 * 2.778 * 2.346
    assert got.time.m_as("h") == pytest.approx(156.4, abs=0.1)
    assert got.source == SOURCE
    assert got.validity == VALIDITY


@pytest.mark.parametrize(
    "wait, caution",
    [
        ({}, LABEL_WINS),
        ({"bay_air": (10, 90)}, COLD),
        ({"path": 5}, NO_PATH),
        ({"label_path": 3, "path": 12}, DEEP),
        ({"clock": "open", "bay_air": (30, 50)}, SKINS_SOONER),
        ({"clock": "open", "bay_air": (23, 80)}, SKINS_SOONER),
    ],
)
def test_what_the_clock_cannot_know_is_said_beside_it(wait, caution):
    assert caution in cure(**wait).cautions


def test_a_bay_in_fahrenheit_is_refused_at_the_same_cold():
    fahrenheit = {"label_temperature": Q_(73.4, "degF"), "label_humidity": Q_(50, "percent")}
    stretched(
        Q_(1, "h"),
        "full",
        **fahrenheit,
        bay_temperature=Q_(41, "degF"),
        bay_humidity=Q_(50, "percent"),
    )
    with pytest.raises(Refused, match="below 5 °C in the bay"):
        stretched(
            Q_(1, "h"),
            "full",
            **fahrenheit,
            bay_temperature=Q_(40.9, "degF"),
            bay_humidity=Q_(50, "percent"),
        )


@pytest.mark.parametrize(
    "wait, what",
    [
        ({"bay_air": (4.9, 50)}, "below 5 °C in the bay"),
        ({"bay_air": (51, 50)}, "above 50 °C in the bay"),
        ({"label_air": (4, 50)}, "below 5 °C on the label"),
        ({"bay_air": (20, 0)}, "a humidity outside 1–100 % in the bay"),
        ({"bay_air": (20, 101)}, "a humidity outside 1–100 % in the bay"),
        ({"bay_air": (float("nan"), 50)}, "temperature or humidity in the bay is no number"),
        ({"bay_air": (20, float("inf"))}, "temperature or humidity in the bay is no number"),
        ({"label": Q_(0, "h")}, "the label's time is not between 0 and 100000 min"),
        ({"label": Q_(float("nan"), "h")}, "the label's time is not between 0 and 100000 min"),
        ({"label_path": 0, "path": 3}, "the label's bead is not between 0 and 100 mm"),
        ({"label_path": 3, "path": 1e9}, "the path is not between 0 and 100 mm"),
    ],
)
def test_what_has_no_honest_answer_is_refused_in_words(wait, what):
    with pytest.raises(Refused) as refused:
        cure(**wait)
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


@given(
    label=st.floats(),
    a=st.floats(),
    b=st.floats(),
    c=st.floats(),
    d=st.floats(),
    was=st.none() | st.floats(),
    now=st.none() | st.floats(),
)
def test_no_number_whatever_gives_anything_but_an_answer_or_a_refusal(label, a, b, c, d, was, now):
    with contextlib.suppress(Refused):
        cure(Q_(label, "min"), "full", (a, b), (c, d), was, now)


def test_the_answer_says_the_wait_and_what_the_label_says():
    """24 h at 23 °C and 50 % grow in a cold, dry bay; `stretched` is held to published vapour pressures."""
    given_ = {"label": Q_(24, "hour"), "bay_temperature": Q_(13, "degC"), "bay_humidity": Q_(40, "percent")}
    full = in_this_bay(clock="full", **given_)
    assert full.lines[0].label == "Wait at least"
    assert full.value["time"] > Q_(24, "hour")
    assert full.lines[1].text == "24 h"
    assert in_this_bay(clock="open", **given_).lines[0].text == "1 d"
