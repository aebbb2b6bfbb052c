"""Two power runs are compared over all speeds they share, and chance is not called a gain."""

from fractions import Fraction
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from webapp.trade.power import KW
from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.runs import (
    FIGURES,
    GAIN,
    HIDDEN,
    LOSS,
    NO_CHANGE,
    ONE_RUN,
    SAME_AIR,
    area,
    at,
    read,
    resampled,
    runs,
)

HEAD = "speed (rpm), torque (N·m)\n"
SPEEDS = (2000, 3000, 4000, 5000, 6000)
BEFORE = (150, 170, 175, 150, 110)
AFTER = (146, 168, 178, 166, 140)


def table(values, speeds=SPEEDS, head=HEAD):
    return head + "".join(f"{n!r}, {v!r}\n" for n, v in zip(speeds, values, strict=True))


def several(*columns, unit="N·m"):
    head = "rpm," + ",".join(f"pull {i} ({unit})" for i in range(len(columns))) + "\n"
    return head + "".join(
        f"{n},{','.join(repr(v) for v in row)}\n" for n, *row in zip(SPEEDS, *columns, strict=True)
    )


@st.composite
def pulls(draw, least=4):
    speeds = sorted(draw(st.sets(st.integers(500, 8000), min_size=least, max_size=15)))
    values = draw(st.lists(st.integers(1, 900), min_size=len(speeds), max_size=len(speeds)))
    return tuple(zip(speeds, values, strict=True))


def text_of(points):
    return table([v for _, v in points], [n for n, _ in points])


def compared(one, two, **more):
    if max(one[0][0], two[0][0]) < min(one[-1][0], two[-1][0]):
        return runs(text_of(one), text_of(two), **more).value
    with pytest.raises(Refused, match="the runs share no range of speeds"):
        runs(text_of(one), text_of(two), **more)
    return None


def exactly(points, low, high):
    """The area under straight lines, by fractions."""

    def height(x):
        (x0, y0), (x1, y1) = next((a, b) for a, b in pairwise(points) if a[0] <= x <= b[0])
        return Fraction(y0) + Fraction(x - x0, x1 - x0) * (y1 - y0)

    xs = sorted({low, high, *(x for x, _ in points if low < x < high)})
    return sum((b - a) * (height(a) + height(b)) / 2 for a, b in pairwise(xs))


@given(points=pulls(), ends=st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_the_area_is_the_exact_integral_of_the_straight_lines(points, ends):
    first, last = points[0][0], points[-1][0]
    low, high = sorted(round(first + (last - first) * x) for x in ends)
    if low < high:
        assert area(points, low, high) == pytest.approx(float(exactly(points, low, high)), rel=1e-12)


@given(points=pulls())
def test_the_area_is_what_scipy_makes_of_it(points):
    xs, ys = zip(*points, strict=True)
    assert area(points, xs[0], xs[-1]) == pytest.approx(float(integrate.trapezoid(ys, xs)), rel=1e-12)


@given(points=pulls())
def test_a_run_goes_through_its_own_points(points):
    assert [at(points, x) for x, _ in points] == [y for _, y in points]


@given(points=pulls(), cuts=st.lists(st.floats(0, 1), max_size=20))
def test_resampled_a_run_is_itself_at_every_speed(points, cuts):
    first, last = points[0][0], points[-1][0]
    grid = sorted({first, last, *(first + (last - first) * x for x in cuts)})
    assert resampled(points, grid) == [at(points, x) for x in grid]


@given(one=pulls(), two=pulls())
def test_before_and_after_changed_over_turn_the_difference_round(one, two):
    there, back = compared(one, two), compared(two, one)
    if there is not None:
        assert there["before"] == back["after"]
        assert there["after"] == back["before"]
        assert {there["verdict"], back["verdict"]} in ({GAIN, LOSS}, {NO_CHANGE})


@given(points=pulls())
def test_a_run_against_itself_shows_no_change(points):
    got = compared(points, points)
    assert got["verdict"] == NO_CHANGE
    assert got["change"].m == 0
    assert got["worst"] is None


@given(one=pulls(), two=pulls(), k=st.integers(2, 9))
def test_a_brake_that_reads_k_times_too_much_changes_no_percentage(one, two, k):
    here = compared(one, two)
    if here is not None:
        there = compared([(n, k * v) for n, v in one], [(n, k * v) for n, v in two])
        assert there["change"].m == pytest.approx(here["change"].m, abs=1e-9)
        assert there["before"].m == pytest.approx(k * here["before"].m)
        assert (there["worst"] is None) == (here["worst"] is None)
        if here["worst"]:
            assert there["worst"]["speed"] == here["worst"]["speed"]


@given(one=pulls(), k=st.floats(0.5, 2))
def test_all_gains_by_one_factor_are_that_factor_in_the_mean_and_in_every_band(one, k):
    got = compared(one, [(n, v * k) for n, v in one])
    assert got["change"].m == pytest.approx(100 * (k - 1), abs=1e-6)
    for band in got["bands"]:
        assert band["after"] == pytest.approx(k * band["before"])


@given(one=pulls(), two=pulls())
def test_bands_weighed_by_their_width_are_the_mean(one, two):
    got = compared(one, two)
    if got is not None:
        low, high = (end.m for end in got["range"])
        for side in ("before", "after"):
            total = sum(band[side] * (band["to"].m - band["from"].m) for band in got["bands"])
            assert total / (high - low) == pytest.approx(got[side].m)
            assert got[f"area_{side}"].m == pytest.approx(total)


@given(one=pulls(), two=pulls(), x=st.floats(0, 1))
def test_nowhere_is_more_lost_than_the_greatest_loss(one, two, x):
    got = compared(one, two)
    if got is not None:
        low, high = (end.m for end in got["range"])
        speed = low + (high - low) * x
        lost = at(two, speed) - at(one, speed)
        assert lost >= (got["worst"]["difference"].m if got["worst"] else 0) - 1e-6


@pytest.mark.parametrize("order", list(permutations([0, 1, 2])))
def test_the_order_of_the_pulls_is_no_matter(order):
    pull = [BEFORE, tuple(v + 2 for v in BEFORE), tuple(v - 1 for v in BEFORE)]
    got = runs(several(*(pull[i] for i in order)), several(AFTER)).value
    straight = runs(several(*pull), several(AFTER)).value
    assert (got["before"], got["spread"]) == (straight["before"], straight["spread"])


# By hand: (160 + 172.5 + 162.5 + 130) / 4 = 156.25; (157 + 173 + 172 + 153) / 4 = 163.75; +4.8 %;
# at 2000 rpm 146 against 150 is −2.7 %.
def test_a_gain_in_the_mean_does_not_hide_a_loss_low_down():
    got = runs(table(BEFORE), table(AFTER))
    assert got.value["before"].m_as("N*m") == pytest.approx(156.25)
    assert got.value["after"].m_as("N*m") == pytest.approx(163.75)
    assert got.lines[0].text == "+4.8 %: gain, not tested against chance"
    assert got.value["worst"]["speed"].m_as("rpm") == 2000
    texts = {line.label: line.text for line in got.lines}
    assert texts["Greatest loss"] == "−4 N·m (−2.7 %) at 2000 rpm"
    assert texts["Highest torque"] == "175 N·m at 4000 rpm, then 178 N·m at 4000 rpm"
    assert texts["Highest power"] == "78.5 kW at 5000 rpm, then 88 kW at 6000 rpm"
    assert got.working[0] == "Before: area 625000 N·m·rpm / 4000 rpm = 156.25 N·m"
    assert got.working[2] == "(163.75 − 156.25) / 156.25 = +4.8 %"
    assert set(got.cautions) == {SAME_AIR, ONE_RUN, HIDDEN}
    assert got.curves["before"] == tuple(zip(SPEEDS, BEFORE, strict=True))


def test_a_difference_within_the_spread_of_repeated_pulls_is_no_change():
    up = tuple(v + 3 for v in BEFORE)
    little = tuple(v + 2 for v in BEFORE)
    got = runs(several(BEFORE, up), several(little))
    assert got.value["verdict"] == NO_CHANGE
    assert got.value["spread"].m_as("N*m") == pytest.approx(3)
    assert ONE_RUN not in got.cautions
    much = tuple(v + 12 for v in BEFORE)
    assert runs(several(BEFORE, up), several(much)).lines[0].text == "+6.7 %: gain"
    assert runs(several(much), several(BEFORE, up)).value["verdict"] == LOSS


def test_pulls_of_different_speeds_are_compared_where_both_are():
    got = runs(table(BEFORE), table((160, 160, 160, 160), (2500, 3500, 4500, 7000))).value
    assert [end.m for end in got["range"]] == [2500, 6000]
    assert got["after"].m == pytest.approx(160)


def test_power_and_torque_say_the_same_in_any_unit():
    kilowatts = [t * n / KW for t, n in zip(BEFORE, SPEEDS, strict=True)]
    feet = [Q_(t, "N*m").m_as("lbf*ft") for t in BEFORE]
    horses = [Q_(p, "kW").m_as("metric_horsepower") for p in kilowatts]
    for text in (
        table(kilowatts, head="rpm, kW\n"),
        table(horses, head="n [1/min], power [PS]\n"),
        table(feet, head="Engine speed rpm, Torque lb-ft\n"),
        table(BEFORE, head="speed/rpm, torque/Nm\n").replace(",", ";"),
        table(BEFORE).replace(",", "\t"),
    ):
        got = runs(text, table(BEFORE)).value
        assert got["before"].m == pytest.approx(156.25)
        assert got["change"].m == pytest.approx(0, abs=1e-9)
        assert runs(text, table(BEFORE), "power").value["before"].check("[power]")


def test_torque_and_power_side_by_side_are_one_pull():
    both = "rpm, torque (N·m), power (kW), lambda\n" + "".join(
        f"{n}, {t}, {t * n / KW}, rich\n" for n, t in zip(SPEEDS, BEFORE, strict=True)
    )
    (run,) = read(both)
    assert run.measure == "torque"
    assert run.points == tuple(zip(SPEEDS, BEFORE, strict=True))
    assert run.as_("power")[0][1] == pytest.approx(150 * 2000 / KW)


def test_another_heading_begins_another_pull():
    found = read("# bay 2, warm\n" + table(BEFORE) + "\n" + table(AFTER, head="rpm, second (N·m)\n"))
    assert [run.name for run in found] == ["torque", "second"]
    assert found[1].points[0] == (2000, 146)


def test_the_range_is_cut_where_it_is_asked():
    got = runs(table(BEFORE), table(AFTER), "torque", [Q_(3500, "rpm")]).value
    assert [(band["from"].m, band["to"].m) for band in got["bands"]] == [(2000, 3500), (3500, 6000)]


GOOD = table(BEFORE)


@pytest.mark.parametrize(
    "text, words",
    [
        ("", "the runs before are empty"),
        ("\n# nothing\n", "the runs before are empty"),
        ("2000, 150\n3000, 160\n", "line 1 of the runs before is no heading with units"),
        ("speed, torque\n2000, 150\n", "line 1 of the runs before is no heading with units"),
        ("rpm, torque\n2000, 150\n", "line 1: “torque” has no unit"),
        ("rpm, lambda\n2000, 1\n", "line 1 names no torque and no power with its unit"),
        ("torque (N·m), rpm\n150, 2000\n", "line 1 does not begin with the speed"),
        ("rpm, rpm, N·m\n1, 2, 3\n", "line 1 names two columns of speed"),
        (table((1, 2, 3), (1000, 2000, 3000)), "the table that begins in line 1 has 3 points"),
        (HEAD, "the table that begins in line 1 has 0 points"),
        (table(BEFORE, (2000, 3000, 2500, 5000, 6000)), "line 4 goes back to 2500 rpm"),
        (table(BEFORE, (2000, 3000, 3000, 5000, 6000)), "line 4 gives 3000 rpm a second time"),
        (GOOD.replace("170", "x"), "line 3: “x” is no number"),
        (GOOD.replace("170", "nan"), "line 3: “nan” is no number"),
        (GOOD.replace("170", "1e99"), "line 3 holds a torque or power below 0 or beyond 100000"),
        (GOOD.replace("170", "-170"), "line 3 holds a torque or power below 0"),
        (GOOD.replace("170", ""), "line 3: “” is no number"),
        (GOOD.replace("170", "170,5"), "line 3 has 3 cells, its heading has 2"),
        (GOOD.replace(", ", ";").replace("170", "170,5"), "line 3: “170,5” is no number"),
        (GOOD.replace("2000", "0"), "line 2: 0 is no speed of an engine"),
        (table((0, 0, 0, 0, 0)), "the runs before show nothing"),
        (table(BEFORE, (6000, 7000, 8000, 9000, 10000)), "the runs share no range of speeds"),
        ("#" * 100_001, "the runs before are too long"),
    ],
)
def test_a_text_that_is_no_run_is_refused_by_its_line(text, words):
    with pytest.raises(Refused) as refused:
        runs(text, GOOD)
    assert words in str(refused.value)


def test_the_refused_side_is_named_and_bands_lie_inside():
    with pytest.raises(Refused, match="the runs after are empty"):
        runs(GOOD, "")
    with pytest.raises(Refused, match="boost is not compared"):
        runs(GOOD, GOOD, "boost")
    with pytest.raises(Refused, match="a band is cut outside the shared range"):
        runs(GOOD, GOOD, "torque", [Q_(6500, "rpm")])


@given(text=st.text(alphabet="0123456789.,;\n\t rpmNmkW()-e", max_size=80))
def test_any_text_is_read_or_refused_in_words(text):
    for whole in (text, HEAD + text, GOOD + text):
        try:
            got = runs(whole, GOOD)
        except Refused as refused:
            got = refused
        assert getattr(got, "lines", None) or (got.what and got.why and got.write)


def test_the_figures_of_this_module():
    assert [figure.name for figure in FIGURES] == ["runs"]
