"""A wrench is set inside the band and where it is true. Published: tests/reference/test_torque_adapter.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.quantities import Q_
from webapp.trade.refusal import Refused
from webapp.trade.wrench import (
    FIGURES,
    Wrench,
    adapter_answer,
    adapter_factor,
    adapter_gives,
    adapter_gives_answer,
    adapter_setting,
    choose,
    dial,
    true_torque,
    wrench_answer,
)

BACK = "toward the handle"
AWAY = "away from the handle"


def nm(value):
    return Q_(float(value), "N*m")


def ft(value):
    return Q_(float(value), "force_pound * foot")


def mm(value):
    return Q_(float(value), "mm")


def deg(value):
    return Q_(float(value), "degree")


def wrench(least, most, graduation=1, unit=nm, **more):
    return Wrench(unit(least), unit(most), unit(graduation), **more)


SMALL, MIDDLE, LARGE = wrench(5, 25, 0.5), wrench(10, 60), wrench(40, 200)

figures = st.floats(0.5, 400).map(nm)
units = st.sampled_from([nm, ft])
wrenches = st.builds(
    lambda unit, most, share, marks: wrench(most * share, most, most / marks, unit),
    units,
    st.integers(5, 400),
    st.floats(0.05, 0.4),
    st.sampled_from([20, 50, 60, 100, 200]),
)


@given(figures, st.lists(wrenches, min_size=1, max_size=5))
def test_what_is_set_is_in_the_band_at_a_mark_and_where_the_wrench_is_true(wanted, owned):
    try:
        found = choose(wanted, owned)
    except Refused:
        return
    assert 0.9 - 1e-6 <= (found.setting / wanted).m_as("") <= 1.1 + 1e-6
    assert found.wrench.place(found.setting) == "ok"
    marks = (found.setting / found.wrench.graduation).m_as("")
    assert marks == pytest.approx(round(marks), abs=1e-6)
    assert found.setting.units == found.wrench.most.units
    assert found.error == pytest.approx((found.setting / wanted).m_as("") - 1)


@given(figures, st.lists(wrenches, min_size=1, max_size=5), st.randoms(use_true_random=False))
def test_no_smaller_wrench_would_have_served_in_whatever_order_they_hang(wanted, owned, chance):
    try:
        found = choose(wanted, owned)
    except Refused:
        for each in owned:
            with pytest.raises(Refused):
                dial(wanted, each)
        return
    for each in owned:
        if each.most < found.wrench.most * (1 - 1e-9):
            with pytest.raises(Refused):
                dial(wanted, each)
    shuffled = list(owned)
    chance.shuffle(shuffled)
    assert choose(wanted, shuffled).setting == found.setting


@given(figures, wrenches)
def test_the_mark_is_the_nearest_one_unless_an_end_is_in_the_way(wanted, owned):
    try:
        found = dial(wanted, owned)
    except Refused:
        return
    off = abs((found.setting - wanted) / owned.graduation).m_as("")
    if off > 0.5 + 1e-6:
        nearer = found.setting + owned.graduation * (1 if found.setting < wanted else -1)
        outside = owned.place(nearer) != "ok" or abs((nearer / wanted).m_as("") - 1) > 0.1 - 1e-9
        assert outside


@given(figures, st.floats(0, 0.2), st.floats(0, 0.2), wrenches)
def test_a_makers_band_is_kept(wanted, under, over, owned):
    low, high = wanted * (1 - under), wanted * (1 + over)
    try:
        found = dial(wanted, owned, low, high)
    except Refused:
        return
    assert low * (1 - 1e-6) <= found.setting <= high * (1 + 1e-6)


@pytest.mark.parametrize(
    "wanted, chosen, setting",
    [
        (nm(10), SMALL, 10),
        (nm(25), SMALL, 25),
        (nm(25.4), MIDDLE, 25),
        (nm(60), MIDDLE, 60),
        (nm(61), LARGE, 61),
    ],
)
def test_the_smallest_wrench_that_holds_the_figure_is_taken(wanted, chosen, setting):
    found = choose(wanted, [LARGE, MIDDLE, SMALL])
    assert found.wrench == chosen
    assert found.setting.magnitude == setting


def test_24_newton_metres_are_18_pound_feet_on_an_inch_wrench():
    """24 N·m = 17.70 lbf·ft by the factor of NIST SP 811; a mark a pound-foot: +1.7 %."""
    found = choose(nm(24), [wrench(10, 75, 1, ft)])
    assert found.setting == ft(18)
    assert found.error == pytest.approx(0.0169, abs=1e-4)


def test_a_never_exceed_stays_a_ceiling():
    """25.6 N·m rounds to 26, which is more than the figure; where only a low end is given, it is the top."""
    assert dial(nm(25.6), MIDDLE).setting == nm(26)
    assert dial(nm(25.6), MIDDLE, low=nm(23)).setting == nm(25)
    assert dial(nm(25.4), MIDDLE, high=nm(28)).setting == nm(26)


def test_a_band_between_two_marks_is_refused():
    with pytest.raises(
        Refused, match=r"no mark for 13 N·m: .* none lies in 11\.7–14\.3 N·m\. Use .* finer marks"
    ):
        dial(nm(13), wrench(5, 50, 5))


def test_where_none_serves_it_is_said_which_would():
    with pytest.raises(Refused) as refused:
        choose(nm(8), [MIDDLE, LARGE])
    assert "10–60 N·m: it is true from 12 N·m up" in refused.value.why
    assert refused.value.write == "Use one that ends at 8 to 40 N·m, with marks at most 0.8 N·m apart"


@given(figures, st.floats(0.2, 1), st.floats(0.001, 0.1))
def test_any_wrench_as_it_is_advised_serves(wanted, share, step):
    """It ends between the figure and five times the figure, and its marks are at most a tenth of it apart."""
    found = Wrench(nm(0), wanted / share, wanted * step)
    assert dial(wanted, found).wrench == found


def test_the_floor_is_an_input_of_the_wrench():
    assert wrench(4, 100, floor=Q_(5, "percent")).place(nm(6)) == "ok"
    assert wrench(4, 100).place(nm(6)) == "below-range"
    assert wrench(30, 100).place(nm(25)) == "below-range"


@given(st.floats(1, 500), st.floats(1, 500))
def test_what_the_fastener_gets_lies_around_the_setting_further_above_than_below(setting, most):
    low, high = true_torque(nm(setting), nm(most))
    assert low < nm(setting) < high
    assert high - nm(setting) > nm(setting) - low


def answered(wanted=25.0, **more):
    return wrench_answer(nm(wanted), [nm(10)], [nm(60)], [nm(1)], **more)


@pytest.mark.parametrize(
    "more, warning",
    [
        ({"wanted": 13}, "Near the low end"),
        ({"wanted": 59}, "Near the top"),
        ({"months": [13]}, "Calibrated 13 months ago"),
        ({"dropped": ["yes"]}, "It was dropped"),
        ({"low": nm(24.9), "high": nm(25.1)}, "The wrench's own deviation reaches past the band"),
    ],
)
def test_a_doubtful_wrench_is_warned_of(more, warning):
    assert [caution for caution in answered(**more).cautions if caution.startswith(warning)]


def test_a_wrench_in_order_in_the_middle_of_its_scale_is_not_warned_of():
    assert answered(months=[12], dropped=["no"]).cautions == ()


def test_the_dial_is_said_in_the_wrenchs_own_unit_and_never_converted():
    answer = wrench_answer(nm(24), [ft(10)], [ft(75)], [ft(1)])
    assert answer.lines[0].text == "18 lbf·ft"
    assert answer.lines[0].figure is None
    assert answer.lines[2].text == "+1.7 %"


@pytest.mark.parametrize(
    "ask, what",
    [
        (lambda: choose(nm(0), [MIDDLE]), "the figure is not more than 0"),
        (lambda: choose(nm(-5), [MIDDLE]), "the figure is not more than 0"),
        (lambda: choose(nm("nan"), [MIDDLE]), "the figure is not more than 0"),
        (lambda: choose(nm(25), []), "there is no wrench"),
        (lambda: choose(nm(25), [MIDDLE], low=nm(26)), "lies outside its band"),
        (lambda: wrench(60, 10), "does not run from a smaller to a larger"),
        (lambda: wrench(-1, 10), "does not run from a smaller to a larger"),
        (lambda: wrench(10, 60, 0), "do not fit a scale"),
        (lambda: wrench(10, 60, 70), "do not fit a scale"),
        (lambda: wrench(10, 60, floor=Q_(100, "percent")), "floor is not between"),
        (lambda: wrench(10, 60, months=-1.0), "months since calibration"),
        (lambda: wrench_answer(nm(25), [nm(10)], [nm(60), nm(200)], [nm(1)]), "make no wrenches"),
        (lambda: answered(months=[1, 2]), "do not go with 1 wrenches"),
        (lambda: answered(dropped=["no", "no"]), "do not go with 1 wrenches"),
    ],
)
def test_a_wrench_or_figure_that_cannot_be_is_refused(ask, what):
    with pytest.raises(Refused, match=what):
        ask()


levers = st.floats(50, 1500).map(mm)
arms = st.floats(0, 40).map(mm)
angles = st.floats(0, 180)


def way(degrees):
    return BACK if degrees > 90 else AWAY


@given(figures, levers, arms, angles)
def test_what_is_set_gives_what_is_wanted(wanted, lever, arm, degrees):
    setting = adapter_setting(wanted, lever, arm, deg(degrees), way(degrees))
    assert adapter_gives(setting, lever, arm, deg(degrees), way(degrees)).m == pytest.approx(wanted.m)
    assert setting.units == wanted.units


@given(levers, arms, st.floats(0.1, 2), angles)
def test_only_the_ratio_of_the_lengths_counts(lever, arm, scale, degrees):
    one = adapter_factor(lever, arm, deg(degrees), way(degrees))
    assert adapter_factor(lever * scale, arm * scale, deg(degrees), way(degrees)) == pytest.approx(one)
    assert adapter_factor(lever.to("inch"), arm.to("inch"), deg(degrees), way(degrees)) == pytest.approx(one)


@given(levers, st.floats(1, 40).map(mm), st.floats(0, 89))
def test_away_from_the_handle_less_is_set_and_toward_it_more(lever, arm, degrees):
    away = adapter_factor(lever, arm, deg(degrees), AWAY)
    back = adapter_factor(lever, arm, deg(180 - degrees), BACK)
    assert away > 1 > back
    assert away - 1 == pytest.approx(1 - back)


@given(figures, levers, arms, st.sampled_from([AWAY, BACK]))
def test_square_to_the_handle_nothing_changes(wanted, lever, arm, either):
    assert adapter_setting(wanted, lever, arm, deg(90), either).m == pytest.approx(wanted.m)


@given(figures, levers, st.sampled_from([0, 45, 90]))
def test_a_straight_extension_bar_changes_nothing(wanted, lever, degrees):
    assert adapter_setting(wanted, lever, mm(0), deg(degrees)).m == pytest.approx(wanted.m)


@pytest.mark.parametrize(
    "wanted, lever, arm, degrees, printed",
    [(40, 12, 4, 0, 30), (40, 12, 3, 180, 53.3), (40, 12, 4, 90, 40)],
)
def test_an_adapter_is_set_as_in_the_manual(wanted, lever, arm, degrees, printed):
    """40 lbf·ft, 12 in and 4 in: worked example of US Army TM 9-2350-261-20-1; the others follow."""
    setting = adapter_setting(ft(wanted), Q_(lever, "inch"), Q_(arm, "inch"), deg(degrees), way(degrees))
    assert setting.m == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(
    "lever, arm, degrees, either, what, write",
    [
        (
            350,
            40,
            135,
            AWAY,
            "at 135° the adapter points back",
            "Say that it points toward the handle, or write 45°",
        ),
        (
            350,
            40,
            45,
            BACK,
            "at 45° the adapter points away",
            "Say that it points away from the handle, or write 135°",
        ),
        (350, 40, 181, BACK, "an angle of 181°", "Write 179°"),
        (350, 40, -30, AWAY, "an angle of −30°", "Write 30°"),
        (350, 40, 720, AWAY, "an angle of 720°", "Measure it again"),
        (350, 40, "nan", AWAY, "an angle of NaN", "Measure it again"),
        (0, 40, 0, AWAY, "the wrench's length", "Measure from the middle of the grip"),
        (-350, 40, 0, AWAY, "the wrench's length", "Measure from the middle of the grip"),
        (350, -40, 0, AWAY, "the adapter's length", "say that it points toward the handle"),
        (350, 9000, 0, AWAY, "the adapter's length", "Measure from the drive square"),
        (100, 100, 180, BACK, "the fastener is at the hand or behind it", "use a shorter one"),
        (100, 150, 180, BACK, "the fastener is at the hand or behind it", "use a shorter one"),
    ],
)
def test_an_adapter_that_cannot_be_is_refused_with_what_to_say(lever, arm, degrees, either, what, write):
    with pytest.raises(Refused) as refused:
        adapter_factor(mm(lever), mm(arm), deg(degrees), either)
    assert what in refused.value.what
    assert write in refused.value.write


def with_wrench(wanted, least, most, **more):
    return adapter_answer(
        nm(wanted), mm(350), mm(100), least=nm(least), most=nm(most), graduation=nm(1), **more
    )


def test_the_range_is_judged_on_the_corrected_setting():
    """64 N·m is more than this wrench holds, but corrected it is 49.8; and 14 N·m, held, becomes 10.9."""
    assert with_wrench(64, 10, 60).value["dial"] == nm(50)
    with pytest.raises(Refused, match="too little for the wrench 10–60 N·m"):
        with_wrench(14, 10, 60)


@given(st.floats(20, 70))
def test_with_an_adapter_the_fastener_stays_in_its_own_band(wanted):
    answer = with_wrench(wanted, 10, 60)
    assert 0.9 - 1e-9 <= answer.value["gets"].m_as("N*m") / wanted <= 1.1 + 1e-9


def test_half_a_wrench_is_refused():
    with pytest.raises(Refused, match="only half said"):
        adapter_answer(nm(25), mm(350), mm(40), least=nm(10))


def test_the_working_can_be_followed_with_a_pencil():
    answer = adapter_answer(nm(25), mm(350), mm(40))
    assert answer.working == (
        "(350 mm + 40 mm × cos 0°) / 350 mm = 1.114",
        "Setting: 25 N·m / 1.114 = 22.44 N·m",
    )
    assert answer.lines[0].text == "22.4 N·m"
    assert answer.lines[1].text == "27.9 N·m"


def test_a_very_short_or_very_long_lever_is_warned_of():
    short = adapter_answer(nm(25), mm(100), mm(60), deg(180), BACK)
    assert any("a small error of length counts much" in caution for caution in short.cautions)
    long = adapter_gives_answer(nm(25), mm(100), mm(60))
    assert any("bends and slips" in caution for caution in long.cautions)


def test_the_figures_are_named():
    assert [each.name for each in FIGURES] == ["wrench", "adapter", "adapter-gives"]
