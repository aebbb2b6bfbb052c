"""Threads and their drills, held to threads.csv, which names a source and its standing for each row."""

import pytest

from tests.reference.published import Table, inputs, within
from webapp.trade.drills import DRAWERS, nearest, read_drill
from webapp.trade.fasteners import engagement_answer
from webapp.trade.pipe import FLANKS, TAPER, half_angle, pipe_drill, read_pipe
from webapp.trade.pipe import minor_diameter as core
from webapp.trade.quantities import Q_
from webapp.trade.tapping import answer_percent, answer_tap_drill, drill_for, look_alikes, percent
from webapp.trade.threads import minor_diameter, pitch_diameter, read_thread, stress_area

TABLE = Table("threads.csv")

LEFT_OUT: dict[str, str] = {}
LISTS = {
    "common shop chart": "shop chart",
    "ASME B1.20.1 suggested, not reamed": "ASME without reamer",
    "with taper reamer": "ASME with taper reamer",
}


def between(row):
    low, high = map(float, row["expected"].split(".."))
    return low, high


def given_thread(given):
    """Return the thread of a row, read from its name, or made from its numbers where it has no name."""
    if "thread" in given:
        return read_thread(given["thread"])
    return read_thread(f"M{given['d_mm']}x{given['pitch_mm']}")


@pytest.mark.parametrize("row", TABLE.of("metric-coarse-pitch"))
def test_a_thread_without_a_pitch_has_the_coarse_one(row):
    assert read_thread(inputs(row)["thread"]).pitch.m_as("mm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("metric-stress-area", "metric-stress-area-fine"))
def test_the_stress_area_of_a_metric_thread_is_the_published_one(row):
    given = inputs(row)
    thread = given_thread(given)
    assert thread.diameter.m_as("mm") == float(given["d_mm"])
    assert thread.pitch.m_as("mm") == float(given["pitch_mm"])
    assert stress_area(thread).m_as("mm**2") == within(row)


@pytest.mark.parametrize("row", TABLE.of("unified-stress-area"))
def test_the_stress_area_of_a_unified_thread_is_the_published_one(row):
    given = inputs(row)
    thread = given_thread(given)
    assert thread.diameter.m_as("in") == pytest.approx(float(given["d_in"]))
    assert thread.threads_per_inch == int(given["tpi"])
    assert stress_area(thread).m_as("in**2") == within(row)


@pytest.mark.parametrize("row", TABLE.of("metric-geometry"))
def test_pitch_and_minor_diameter_are_the_published_ones(row):
    given = inputs(row)
    which = {"basic pitch diameter": pitch_diameter, "basic minor diameter internal": minor_diameter}
    assert which[given["quantity"]](given_thread(given)).m_as("mm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("tap-drill-metric-coarse", "tap-drill-metric-fine"))
def test_the_drill_of_a_metric_thread_is_the_published_one(row):
    """From a drawer in steps of 0.1 mm; D − pitch of M8 lies between two, and the larger is printed."""
    got = answer_tap_drill(inputs(row)["thread"], "metric")
    assert got.value["diameter"].m_as("mm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("tap-drill-unified"))
def test_the_drill_of_a_unified_thread_is_that_of_the_usual_chart(row):
    """The charts ask for 75 %, and choose among number, letter and fraction drills."""
    got = answer_tap_drill(inputs(row)["thread"], "inch", Q_(75, "percent"))
    assert got.value["drill"].removesuffix(" in") == row["expected"]


@pytest.mark.parametrize("row", TABLE.of("percent-thread"))
def test_the_thread_left_by_an_inch_drill_is_the_published_share(row):
    given = inputs(row)
    assert percent(given_thread(given), Q_(float(given["drill_in"]), "in")).m_as("percent") == within(row)
    named = row["case"].partition("-with-")[2].replace("over", "/")
    assert answer_percent(given["thread"], named).value["share"].m_as("percent") == within(row)


@pytest.mark.parametrize("row", TABLE.of("percent-thread-metric"))
def test_the_thread_left_by_a_metric_drill_is_the_published_share(row):
    given = inputs(row)
    assert percent(given_thread(given), Q_(float(given["drill_mm"]), "mm")).m_as("percent") == within(row)


@pytest.mark.parametrize("row", TABLE.of("tap-drill-diameter"))
def test_the_hole_for_a_share_is_the_published_one(row):
    given = inputs(row)
    hole = drill_for(given_thread(given), Q_(float(given["percent"]), "percent"))
    assert hole.m_as("in") == within(row)


@pytest.mark.parametrize("row", TABLE.of("npt-geometry"))
def test_an_npt_thread_is_as_wide_and_fine_as_published(row):
    given = inputs(row)
    thread = read_pipe(given["thread"])
    if given["quantity"] == "tpi":
        assert thread.threads_per_inch == within(row)
    else:
        assert given["quantity"] == "pipe outside diameter"
        assert thread.outside.m_as("in") == within(row)


@pytest.mark.parametrize("row", TABLE.of("tap-drill-npt-shop", "tap-drill-npt-asme", "tap-drill-npt-reamed"))
def test_each_list_of_npt_drills_is_kept_apart(row):
    given = inputs(row)
    drill = pipe_drill(read_pipe(given["thread"]), LISTS[given["list"]])
    assert drill.name.removesuffix(" in") == row["expected"]
    assert nearest(drill.diameter, DRAWERS["inch"]).drill.name == drill.name == read_drill(drill.name).name


@pytest.mark.parametrize("row", TABLE.of("taper"))
def test_a_taper_pipe_grows_by_one_in_sixteen(row):
    if inputs(row)["quantity"] == "half angle of taper":
        assert half_angle().m_as("degree") == within(row)
    else:
        assert within(row) == TAPER


@pytest.mark.parametrize("row", TABLE.of("bsp-geometry"))
def test_a_g_thread_is_as_wide_and_fine_as_published(row):
    given = inputs(row)
    thread = read_pipe(given["thread"])
    if given["quantity"] == "tpi":
        assert thread.threads_per_inch == within(row)
    else:
        assert given["quantity"] == "major diameter"
        assert thread.outside.m_as("mm") == within(row)


@pytest.mark.parametrize("row", TABLE.of("tap-drill-G"))
def test_the_drill_of_a_g_thread_is_the_published_one_and_clears_its_core(row):
    thread = read_pipe(inputs(row)["thread"])
    assert pipe_drill(thread).mm == within(row)
    published = float(row["note"].rpartition(" ")[2])
    assert core(thread).m_as("mm") == pytest.approx(published, abs=0.001)
    assert pipe_drill(thread).mm > published


@pytest.mark.parametrize("row", TABLE.of("tap-drill-Rc"))
def test_the_drill_of_a_taper_hole_is_within_the_scatter_of_the_lists(row):
    name = inputs(row)["thread"].removesuffix(" (ISO 7-1 taper)")
    assert pipe_drill(read_pipe(name)).mm == within(row)


@pytest.mark.parametrize("row", TABLE.of("confusable"))
def test_what_is_taken_for_another_is_told_apart(row):
    given = inputs(row)
    if given["quantity"] == "pitch difference":
        one, other = read_thread(given["a"]), read_thread(given["b"])
        assert abs(one.pitch - other.pitch).m_as("mm") == within(row)
        assert other in look_alikes(one)
        assert one in look_alikes(other)
    else:
        one, other = read_pipe(given["a"]), read_pipe(given["b"])
        assert one.threads_per_inch == other.threads_per_inch
        assert f"{FLANKS[one.family]} vs {FLANKS[other.family]}" == row["expected"]


@pytest.mark.parametrize("row", TABLE.of("engagement"))
def test_the_depth_of_thread_lies_within_the_design_rules(row):
    low, high = between(row)
    material = inputs(row)["material"].removeprefix("cast ")
    got = engagement_answer("M8", material).value
    least, most = (got[limit].m_as("mm") / 8 for limit in ("least", "most"))
    assert low <= least <= most <= high


def test_every_kind_of_row_is_tested_or_left_out_for_a_reason():
    assert TABLE.tested | set(LEFT_OUT) == TABLE.kinds
