"""Fills and cuts in the followed job: the mix is worked out by the vehicle, and stands on the record."""

import re

import pytest
from playwright.sync_api import expect

from webapp import places
from webapp.compile import compile_folder

MIX = ".screen[aria-current] .mix"


def put(follow, name, number, unit=None):
    """Type a number, after its unit is chosen."""
    if unit:
        follow.tap(f'{MIX} label:has(input[name="{name}-unit"][value="{unit}"])')
    follow.page.locator(f"{MIX} input[name={name}]").fill(number)


def choose(follow, name, value):
    follow.tap(f'{MIX} label:has(input[name="{name}"][value="{value}"])')


def work_out(follow):
    follow.tap(f"{MIX} form button")


def said(follow):
    return re.sub(r"\s+", " ", follow.page.locator(f"{MIX} .pour").inner_text()).replace(" ,", ",").strip()


@pytest.fixture
def at_fill(follow):
    """A job before its fill, with the form of the mix open."""
    follow.open().begin().up_to("fill")
    follow.tap(f"{MIX} .asks > summary")
    return follow


def held(follow, name):
    return follow.page.locator(f"{MIX} input[name={name}]").input_value()


def test_the_form_knows_what_the_pack_says_and_asks_how_strong_what_stayed_is(at_fill):
    """Nothing was rinsed in this job: nobody may take what stayed for water."""
    assert (held(at_fill, "capacity"), held(at_fill, "amount"), held(at_fill, "target")) == ("2", "1", "50")
    assert held(at_fill, "strength") == ""
    work_out(at_fill)
    expect(at_fill.page.locator(f"{MIX} .verdict")).to_have_text("✗ How strong is what stayed? It is needed.")
    assert at_fill.log("mix-worked-out") == []


def test_a_mix_is_worked_out_from_what_stayed_in_the_units_of_each_reader(at_fill):
    """9.5 L, 2.1 L of rinse water behind, half and half: 4.75 L of concentrate, then 2.65 L of water."""
    put(at_fill, "capacity", "9,5", "L")
    put(at_fill, "amount", "2.1", "L")
    put(at_fill, "strength", "0 %")
    work_out(at_fill)
    expect(at_fill.page.locator(f"{MIX} .pour")).to_be_visible()
    at_fill.tap("#units")
    assert said(at_fill) == "Concentrate 4.75 L, then water 2.65 L"
    at_fill.page.evaluate("localStorage.setItem('droplight-units', 'us'); location.reload()")
    at_fill.page.wait_for_selector("html[data-live]")
    assert said(at_fill) == "Concentrate 5 US qt, then water 2.8 US qt"


def test_what_came_out_gives_the_same_mix_as_what_stayed(at_fill):
    put(at_fill, "capacity", "9.5", "L")
    choose(at_fill, "known", "drained")
    assert held(at_fill, "amount") == "", "the number of the other question may not stay"
    put(at_fill, "amount", "7.4", "L")
    put(at_fill, "strength", "0")
    work_out(at_fill)
    (entry,) = at_fill.log("mix-worked-out")
    assert [line["text"] for line in entry["data"]["answer"]["lines"][:2]] == ["4.75 L", "2.65 L"]
    assert entry["data"]["answer"]["working"][0] == "Stayed: 9.5 L − 7.4 L that came out = 2.1 L"


def test_a_mix_survives_a_reload_without_the_network_and_stands_on_the_record(at_fill):
    at_fill.page.context.set_offline(True)
    put(at_fill, "strength", "0")
    work_out(at_fill)
    expect(at_fill.page.locator(f"{MIX} .pour")).to_contain_text("Concentrate 1 US qt")
    at_fill.page.reload()
    at_fill.page.wait_for_selector("html[data-live]")
    expect(at_fill.page.locator(f"{MIX} .pour")).to_contain_text("Concentrate 1 US qt")
    (entry,) = at_fill.log("mix-worked-out")
    assert entry["step"] == "fill"
    assert entry["data"]["fluid"] == "coolant"
    assert entry["data"]["inputs"]["strength"] == {"value": 0, "unit": "%"}


def test_a_mix_that_cannot_be_is_refused_with_the_least_to_drain(at_fill):
    """Of 8 qt, 5 qt of water behind: 3 qt of concentrate give 37.5 %. 4 qt must be free: drain 1 qt more."""
    put(at_fill, "capacity", "8", "L")
    put(at_fill, "amount", "5", "L")
    put(at_fill, "strength", "0")
    work_out(at_fill)
    expect(at_fill.page.locator(f"{MIX} .pour")).to_have_text("✗ No mix: too much stayed behind.")
    expect(at_fill.page.locator(f"{MIX} .mixed")).to_contain_text("Drain at least 1 L more")
    assert at_fill.log("mix-worked-out")[-1]["data"]["answer"]["refused"]["what"] == "too much stayed behind"


def test_premix_is_poured_by_the_strength_on_its_label(at_fill):
    """Of 10 L, 2 L of 30 % behind, 50 % wanted: 4.4 L of glycol are missing, in 8 L of room: 55 % premix."""
    choose(at_fill, "jug", "premix")
    put(at_fill, "capacity", "10", "L")
    put(at_fill, "amount", "2", "L")
    put(at_fill, "strength", "30")
    put(at_fill, "poured", "55")
    work_out(at_fill)
    expect(at_fill.page.locator(f"{MIX} .pour")).to_contain_text("Premix of 55\u00a0%")
    expect(at_fill.page.locator(f"{MIX} .pour")).to_contain_text("and no water")


def test_a_number_of_the_pack_goes_with_its_unit_and_a_typed_one_stays_as_it_was_typed(at_fill):
    at_fill.tap(f'{MIX} label:has(input[name="capacity-unit"][value="L"])')
    assert held(at_fill, "capacity") == "1.893"  # 2 US qt
    put(at_fill, "amount", "1.2")
    at_fill.tap(f'{MIX} label:has(input[name="amount-unit"][value="L"])')
    assert held(at_fill, "amount") == "1.2"


def test_what_was_read_at_the_drain_is_what_came_out(follow):
    follow.open().begin().up_to("drain")
    follow.type_value(".screen[aria-current] .value", "1.5", "US qt")
    follow.tap(".screen[aria-current] .value button")
    follow.up_to("fill")
    follow.tap(f"{MIX} .asks > summary")
    assert held(follow, "amount") == "1.5"
    assert follow.page.locator(f"{MIX} input[name=known]:checked").get_attribute("value") == "drained"


def test_every_control_of_the_mix_is_big_enough_for_a_glove(at_fill):
    choose(at_fill, "jug", "premix")
    small = at_fill.page.locator(
        f"{MIX} :is(summary, button, input:not([type=radio], [type=hidden]), .units label)"
    )
    heights = small.evaluate_all(
        "all => all.filter(one => one.checkVisibility()).map(one => one.offsetHeight)"
    )
    assert len(heights) >= 15
    assert min(heights) >= 64
    assert at_fill.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_drill_line_says_which_drill_of_the_owners_drawer_is_nearest(page, server):
    """6.8 mm is wanted; of fractions and letters H is nearest, and says how far it is off."""
    pack = compile_folder(places.CONTENT / "inlet-manifold").pack
    step = next(one.id for one in pack.steps if any(line.verb == "drill" for line in one.lines))
    page.goto(f"{server.url}/jobs/{pack.hash}")
    page.wait_for_selector("html[data-live]")
    own = page.locator(".screen[aria-current] .own-drill")

    def keep(*drills):
        kit = page.locator("link[rel=modulepreload][href$='/kit.js']").get_attribute("href")
        page.evaluate(
            "([kit, drills]) => import(kit).then(async (m) => m.keep({ ...(await m.read()), drills }))",
            [kit, list(drills)],
        )
        page.evaluate("location.hash = 'cover'")
        page.evaluate(f"location.hash = 'step-{step}'")

    keep()
    expect(page.locator(".screen[aria-current] [data-drills]")).to_be_visible()
    expect(own).to_have_count(0)
    keep("fraction", "letter")
    expect(own).to_contain_text("In your drawer: H (0.266 in, 6.76 mm)")
    keep("fraction", "metric")
    expect(own).to_have_text("In your drawer: 6.8 mm")
