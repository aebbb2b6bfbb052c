"""Pipe threads told apart, and their drills. Published values: tests/reference/test_threads.py."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.pipe import (
    DEPTH,
    FLANKS,
    LISTS,
    SCATTER,
    SEAL_PARALLEL,
    SEAL_TAPER,
    SOURCE,
    VALIDITY,
    answer,
    confusable,
    minor_diameter,
    pipe_drill,
    read_pipe,
)
from webapp.trade.refusal import Refused
from webapp.trade.tapping import CHIPS

SIZES = ("1/8", "1/4", "3/8", "1/2", "3/4", "1")


@pytest.mark.parametrize(
    "text, name",
    [
        ("3/8-18", "3/8-18 NPT"),
        ("3/8-18 NPT", "3/8-18 NPT"),
        ("3/8 NPT", "3/8-18 NPT"),
        ("NPT 3/8", "3/8-18 NPT"),
        ("⅜ npt", "3/8-18 NPT"),
        ('1/4" NPT', "1/4-18 NPT"),
        ("1-11.5 NPT", "1-11.5 NPT"),
        ("1/8-27", "1/8-27 NPT"),
        ("G 1/2", "G 1/2"),
        ("G1/2A", "G 1/2"),
        ("1/2 BSPP", "G 1/2"),
        ("Rc 1/4", "Rc 1/4"),
        ("1/4-19 BSPT", "Rc 1/4"),
    ],
)
def test_a_pipe_thread_is_read_as_the_trade_writes_it(text, name):
    assert read_pipe(text).name == name


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("family", FLANKS)
def test_every_name_that_is_shown_can_be_read_again(family, size):
    thread = read_pipe(f"{family} {size}")
    assert read_pipe(thread.name) == thread


@pytest.mark.parametrize(
    "text, what",
    [
        ("1/2-14", "“1/2-14” may be 1/2-14 NPT, G 1/2 or Rc 1/2"),
        ("3/8", "“3/8” may be 3/8-18 NPT, G 3/8 or Rc 3/8"),
        ("3/8-19", "“3/8-19” may be G 3/8 or Rc 3/8"),
        ("3/8-16", "“3/8-16” is no pipe thread"),
        ("3/8-24", "“3/8-24” is no pipe thread"),
        ("3/8-16 UNC", "“3/8-16 UNC” is a screw thread, not a pipe thread"),
        ("1/2-13 NPT", "“1/2-13 NPT” has 13 threads per inch, and 1/2-14 NPT has 14"),
        ("1/2 BSP", "“1/2 BSP” is either parallel, G, or taper, Rc"),
        ("R 1/2", "“R 1/2” is the outside of a taper pipe, whose hole is Rc"),
        ("Rp 1/2", "“Rp 1/2” is a parallel hole for a taper pipe, not G"),
        ("3/8 NPTF", "“3/8 NPTF” is a dry sealing taper thread, cut with other taps"),
        ("2 NPT", "“2 NPT” is not one of the sizes 1/8, 1/4, 3/8, 1/2, 3/4, 1"),
        ("M10x1", "“M10x1” is no pipe thread that can be read"),
        ("", "“” is no pipe thread that can be read"),
    ],
)
def test_what_may_be_another_thread_is_refused_in_words(text, what):
    with pytest.raises(Refused) as refused:
        read_pipe(text)
    assert refused.value.what == what
    assert refused.value.why
    assert refused.value.write


def test_three_eighths_eighteen_is_a_pipe_thread_and_neither_screw_thread():
    got = answer("3/8-18", "shop chart")
    assert got.value["drill"] == "37/64 in"
    assert got.lines[0].text == "37/64 in (0.5781 in, 14.68 mm)"
    assert "Not 3/8-16 UNC or 3/8-24 UNF: 3/8-18 NPT is 17.145 mm (0.675 in) over the threads" in got.cautions


def test_a_half_inch_npt_starts_in_a_half_inch_g_and_leaks():
    """14 threads per inch both, 60° against 55°."""
    assert "G 1/2 has the same threads per inch and starts, but 60° against 55°: it leaks" in confusable(
        read_pipe("1/2 NPT")
    )
    assert any("1/2-14 NPT has the same threads" in said for said in confusable(read_pipe("G 1/2")))


def test_the_lists_are_told_apart_and_none_is_a_mean():
    """One eighth NPT: Q, 21/64 and R, as each list has it."""
    drills = {by: answer("1/8 NPT", by).value["drill"] for by in LISTS}
    assert drills == {"ASME without reamer": "Q", "ASME with taper reamer": "21/64 in", "shop chart": "R"}
    assert set(answer("1/8 NPT", "shop chart").value["other_lists"]) == set(LISTS) - {"shop chart"}


def test_npt_without_a_list_is_refused_with_what_each_list_has():
    with pytest.raises(Refused) as refused:
        answer("1/8 NPT")
    assert all(name in refused.value.why for name in ("Q (", "21/64 in (", "R ("))
    assert all(name in refused.value.write for name in LISTS)


def test_a_list_without_the_size_names_one_that_has_it():
    with pytest.raises(Refused, match="Take the list “shop chart”"):
        answer("1 NPT", "ASME without reamer")


@pytest.mark.parametrize("size", [size for size in SIZES if size != "1"])
def test_a_reamed_hole_is_drilled_no_wider_than_a_straight_one(size):
    reamed, straight, shop = (
        pipe_drill(read_pipe(f"{size} NPT"), by).mm
        for by in ("ASME with taper reamer", "ASME without reamer", "shop chart")
    )
    assert reamed <= straight <= shop


@pytest.mark.parametrize("size", SIZES)
def test_the_drill_of_a_parallel_thread_clears_its_core_and_leaves_thread(size):
    thread = read_pipe(f"G {size}")
    core, outside = minor_diameter(thread).m_as("mm"), thread.outside.m_as("mm")
    left = (outside - pipe_drill(thread).mm) / (outside - core)
    assert 0.7 < left < 1


@pytest.mark.parametrize("size", SIZES)
def test_the_taper_hole_is_drilled_smaller_than_the_parallel_one(size):
    assert pipe_drill(read_pipe(f"Rc {size}")).mm < pipe_drill(read_pipe(f"G {size}")).mm


@pytest.mark.parametrize("size", LISTS["ASME without reamer"])
def test_the_straight_hole_for_npt_is_as_wide_as_the_core_at_the_small_end(size):
    """ASME B1.20.1, from memory: E0 = D − (0.05 · D + 1.1) · p, the core lies 0.8 · p below it."""
    thread = read_pipe(f"{size} NPT")
    outside, pitch = thread.outside.m_as("in"), thread.pitch.m_as("in")
    end = outside - (0.05 * outside + 1.1) * pitch - 0.8 * pitch
    assert pipe_drill(thread, "ASME without reamer").mm / 25.4 == pytest.approx(end, abs=0.006)


def test_a_taper_thread_has_no_one_core():
    with pytest.raises(Refused, match="1/4-18 NPT has no one minor diameter"):
        minor_diameter(read_pipe("1/4 NPT"))


def test_taper_seals_on_the_thread_and_parallel_on_a_washer():
    taper, parallel, hole = answer("1/4 NPT", "shop chart"), answer("G 1/4"), answer("Rc 1/4")
    assert [got.lines[3].text for got in (taper, parallel, hole)] == [SEAL_TAPER, SEAL_PARALLEL, SEAL_TAPER]
    assert [DEPTH in got.cautions for got in (taper, parallel, hole)] == [True, False, True]
    assert [SCATTER in got.cautions for got in (taper, parallel, hole)] == [False, False, True]
    assert all(CHIPS in got.cautions for got in (taper, parallel, hole))


def test_the_working_can_be_followed_with_a_pencil():
    got = answer("G 1/4")
    assert got.working == (
        "G 1/4: 13.157 mm (0.518 in) over the threads",
        "Pitch: 25.4 / 19 = 1.337 mm",
        "Core: 13.157 − 1.281 × 1.337 = 11.445 mm, so the drill is a little wider",
    )
    assert (got.source, got.validity) == (SOURCE, VALIDITY)


@given(text=st.text(max_size=12) | st.from_regex(r"(NPT|G|Rc|R)? ?[0-9]/[0-9](-[0-9]{1,3})?", fullmatch=True))
def test_no_text_whatever_gives_anything_but_a_thread_or_a_refusal(text):
    with contextlib.suppress(Refused):
        assert read_pipe(text).size in SIZES
