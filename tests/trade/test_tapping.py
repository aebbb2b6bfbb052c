"""The hole for a thread and what it leaves. Published values: tests/reference/test_threads.py."""

import contextlib

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from webapp.trade.drills import DRAWERS
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.tapping import (
    BLIND,
    CHIPS,
    LEAST,
    MOST,
    SHALLOW,
    SOURCE,
    TIGHT,
    UNDER,
    VALIDITY,
    answer_percent,
    answer_tap_drill,
    choose,
    drill_for,
    full,
    look_alikes,
    percent,
    tap_drill,
)
from webapp.trade.threads import COARSE, UNC, UNF, read_thread, root_diameter

NAMES = [f"M{size}" for size in COARSE] + [f"{size}-{n}" for table in (UNC, UNF) for size, n in table.items()]
threads = st.sampled_from([read_thread(name) for name in NAMES])
shares = st.floats(LEAST, MOST)


def mm(size):
    return Q_(size, "mm")


# TM 10-4320-307-24: a 1 1/4-12 thread is tapped after a drill of 1 11/64 in, which leaves 72 %.
def test_the_army_manual_leaves_72_percent_of_its_thread():
    got = answer_percent("1 1/4-12", "1 11/64 in")
    assert got.value["share"].m_as("percent") == pytest.approx(72, abs=0.5)
    assert got.lines[0].text == "72 %"
    assert got.cautions == (CHIPS,)


@given(thread=threads)
def test_diameter_less_pitch_leaves_77_percent_of_every_thread(thread):
    assert percent(thread, tap_drill(thread)).m_as("percent") == pytest.approx(76.98, abs=0.01)


@given(thread=threads, share=shares)
def test_the_hole_for_a_share_leaves_that_share(thread, share):
    hole = drill_for(thread, Q_(share, "percent"))
    assert percent(thread, hole).m_as("percent") == pytest.approx(share)


@given(thread=threads, share=st.floats(1, 99), more=st.floats(0.1, 50))
def test_a_wider_hole_leaves_less_thread(thread, share, more):
    assume(share + more < 100)
    narrow = thread.diameter.m_as("mm") - (share + more) / 100 * full(thread)
    wide = thread.diameter.m_as("mm") - share / 100 * full(thread)
    assert percent(thread, mm(narrow)) > percent(thread, mm(wide))


@given(thread=threads)
def test_a_full_thread_reaches_no_deeper_than_the_root_of_the_bolt(thread):
    """3/4 of the height of the triangle on each side; the bolt's own root lies 17/24 deep, a little less."""
    core = thread.diameter.m_as("mm") - full(thread)
    assert core == pytest.approx(root_diameter(thread).m_as("mm"), abs=0.1 * thread.pitch.m_as("mm"))


@given(thread=threads, drawer=st.sampled_from(list(DRAWERS)), share=st.none() | shares)
def test_no_drill_is_answered_that_leaves_too_little_or_too_much(thread, drawer, share):
    with contextlib.suppress(Refused):
        got = answer_tap_drill(thread.designation, drawer, None if share is None else Q_(share, "percent"))
        assert LEAST - 1e-3 <= got.value["share"].m_as("percent") <= MOST + 1e-3
        left = percent(thread, got.value["diameter"]).m_as("percent")
        assert got.value["share"].m_as("percent") == pytest.approx(left)
        used = (got.value["hole"] + got.value["off"]).m_as("mm")
        assert used == pytest.approx(got.value["diameter"].m_as("mm"))


@pytest.mark.parametrize("thread", ["M3", "M5", "M8", "M12", "1/4-20", "3/8-16", "#10-24", "1/2-20"])
def test_every_common_thread_has_a_drill_in_a_full_drawer(thread):
    assert answer_tap_drill(thread, "all").value["drill"]


def test_where_the_nearest_drill_does_not_suit_the_next_one_is_taken():
    """#10-24 at 80 % wants 0.1467 in: 9/64 in is nearer and leaves 91 %, 5/32 in leaves 62 %."""
    thread = read_thread("#10-24")
    got = choose(thread, Q_(0.1467, "in"), "inch fractions")
    assert got.drill.name == "5/32 in"
    assert got.share.m_as("percent") == pytest.approx(62.4, abs=0.1)


def test_a_drawer_without_a_sound_drill_says_what_its_own_would_leave():
    with pytest.raises(Refused) as refused:
        answer_tap_drill("M4", "inch fractions")
    assert refused.value.what == "no drill of the drawer “inch fractions” suits M4x0.7"
    assert refused.value.why == "1/8 in leaves 91 %, 9/64 in leaves 47 %, and 55 to 80 % is sound"
    assert refused.value.write == "Get a drill of 3.3 mm (0.1299 in), or choose another drawer"


def test_with_fractions_only_a_quarter_twenty_drops_to_72_percent():
    assert answer_tap_drill("1/4-20", "inch fractions").lines[1].text == "72 %"


def test_the_working_can_be_followed_with_a_pencil():
    got = answer_tap_drill("M8", "metric")
    assert got.working == (
        "M8x1.25: 8 mm, pitch 1.25 mm",
        "Hole: 8 − 1.25 = 6.75 mm",
        "Nearest of the drawer “metric”: 6.8 mm (0.2677 in)",
        "Thread left: (8 − 6.8) / (1.299 × 1.25) = 73.9 %",
    )
    assert pytest.approx(0.739, abs=0.0005) == (8 - 6.8) / (1.299 * 1.25)
    assert got.lines[0].text == "6.8 mm (0.2677 in)"
    assert got.value["pilots"] == ["3.4 mm"]
    assert (got.source, got.validity) == (SOURCE, VALIDITY)
    assert {CHIPS, BLIND} <= set(got.cautions)


def test_a_wanted_share_is_in_the_working():
    got = answer_tap_drill("1/4-20", "inch", Q_(75, "percent"))
    assert got.working[1] == "Hole: 6.35 − 0.75 × 1.299 × 1.27 = 5.113 mm"
    assert got.value["drill"] == "#7"


def test_an_inch_thread_that_starts_on_a_metric_one_is_named():
    """M8 and 5/16-18: 8 and 7.94 mm, 1.25 and 1.41 mm of pitch."""
    assert [other.designation for other in look_alikes(read_thread("M8"))] == ["5/16-18 UNC"]
    assert any("5/16-18 UNC" in caution for caution in answer_tap_drill("M8", "metric").cautions)


def test_looking_alike_is_mutual():
    """M5 and #10-32, 3/8-16 and M10: whoever holds either is told of the other."""
    for one, other in (("M5", "#10-32"), ("M6", "1/4-28"), ("M10", "3/8-16"), ("M12", "1/2-13")):
        first, second = read_thread(one), read_thread(other)
        assert second in look_alikes(first)
        assert first in look_alikes(second)


def test_threads_of_one_system_or_of_unlike_pitch_are_not_taken_for_each_other():
    assert look_alikes(read_thread("M10x1.25")) == ()
    assert "1/4-20 UNC" not in [other.designation for other in look_alikes(read_thread("M6"))]


def test_aluminium_wants_a_deeper_thread_than_steel():
    got = answer_tap_drill("M8", "metric").value
    assert got["depth_in_steel"].m_as("mm") == pytest.approx(8)
    assert [depth.m_as("mm") for depth in got["depth_in_aluminium"]] == pytest.approx([12, 16])


@pytest.mark.parametrize(
    "thread, drill, caution",
    [("M8", "7.2 mm", SHALLOW), ("M8", "6.6 mm", TIGHT), ("M8", "6.5 mm", UNDER), ("M8", "6.8 mm", CHIPS)],
)
def test_a_poor_drill_is_answered_with_its_caution(thread, drill, caution):
    assert caution in answer_percent(thread, drill).cautions


def test_a_good_drill_has_no_caution_about_its_size():
    assert not {SHALLOW, TIGHT, UNDER} & set(answer_percent("M8", "6.8 mm").cautions)


@pytest.mark.parametrize(
    "ask, what",
    [
        (lambda: answer_percent("M8", "8 mm"), "a hole of 8 mm (0.315 in) is as wide as M8x1.25"),
        (
            lambda: answer_percent("M8", "6 mm"),
            "a hole of 6 mm (0.2362 in) is narrower than the core of M8x1.25",
        ),
        (lambda: percent(read_thread("M8"), mm(0)), "the hole is no number above 0"),
        (lambda: percent(read_thread("M8"), mm(float("nan"))), "the hole is no number above 0"),
        (lambda: percent(read_thread("M8"), mm(float("inf"))), "the hole is no number above 0"),
        (lambda: answer_tap_drill("M8", "metric", Q_(90, "percent")), "a thread of 90 %"),
        (lambda: answer_tap_drill("M8", "metric", Q_(50, "percent")), "a thread of 50 %"),
        (lambda: answer_tap_drill("M8", "metric", Q_(float("nan"), "percent")), "a thread of nan %"),
        (lambda: answer_tap_drill("3/8-18", "inch"), "“3/8-18” is the taper pipe thread 3/8-18 NPT"),
        (lambda: answer_tap_drill("M8", "biscuits"), "no drawer is called “biscuits”"),
        (
            lambda: answer_tap_drill("M42", "metric"),
            "no drill for 37.5 mm (1.4764 in) in this drawer",
        ),
    ],
)
def test_what_has_no_honest_answer_is_refused_in_words(ask, what):
    with pytest.raises(Refused) as refused:
        ask()
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


@given(size=st.floats(), share=st.none() | st.floats())
def test_no_number_whatever_gives_anything_but_an_answer_or_a_refusal(size, share):
    with contextlib.suppress(Refused):
        percent(read_thread("M8"), mm(size))
    with contextlib.suppress(Refused):
        choose(read_thread("M8"), mm(size), "all")
    with contextlib.suppress(Refused):
        answer_tap_drill("M8", "all", None if share is None else Q_(share, "percent"))
