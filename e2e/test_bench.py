"""The bench on a phone: a figure is filled in with gloves, answered, toggled and refused."""

import re

import pytest
from playwright.sync_api import expect

from webapp.figures import FIGURES, examples, of_many_lines

NAMES = [declared.name for declared in FIGURES]
assert NAMES, "a test over no figures would pass by looking at nothing"
TABLES = [one.name for one in FIGURES if any(map(of_many_lines, one.asks))]
SCREENS = [
    "/bench",
    "/bench/tap-drill",
    "/bench/tap-drill?fill-in=example",
    "/bench/tap-drill?thread=&drawer=metric",
]


@pytest.fixture
def plain_page(browser, browser_context_args):
    """A page in a browser that runs no scripts."""
    context = browser.new_context(**{**browser_context_args, "java_script_enabled": False})
    yield context.new_page()
    context.close()


def answer(page):
    return page.locator("#answer .main-line")


def fill(page, **texts):
    for name, text in texts.items():
        field = page.locator(f"#field-{name}")
        if not field.is_visible():
            page.get_by_text("More, where it is known").click()
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)


def work_it_out(page):
    page.get_by_role("button", name="Work it out").click()


# --- A mechanic


def test_a_mechanic_finds_the_drill_for_a_thread_from_the_shelf(page, told):
    page.goto("/")
    page.get_by_role("link", name="Work out a figure").click()
    page.get_by_role("link", name="Drill for a thread").click()
    page.evaluate("window.stayed = true")
    fill(page, thread="M8", drawer="metric")
    work_it_out(page)
    expect(answer(page)).to_contain_text("6.8 mm")
    expect(page.get_by_role("heading", name="Answer")).to_be_in_viewport()
    expect(page).to_have_url(re.compile(r"/bench/tap-drill\?thread=M8&drawer=metric&share=$"))
    assert page.evaluate("window.stayed")
    page.get_by_text("How it was worked out").click()
    expect(page.locator(".working li").first).to_be_visible()
    assert told == []


def test_what_the_address_says_is_what_a_reload_shows(page):
    page.goto("/bench/tap-drill")
    fill(page, thread="M8", drawer="metric")
    work_it_out(page)
    expect(answer(page)).to_be_visible()
    shown = page.locator("#answer").inner_text()
    page.reload()
    assert page.locator("#answer").inner_text() == shown
    expect(page.locator("#field-thread")).to_have_value("M8")
    expect(page.locator("#field-drawer")).to_have_value("metric")


def test_an_answer_is_shown_in_the_units_of_its_reader(page, told):
    page.goto("/bench/tap-drill?thread=M8&drawer=metric")
    depth = page.locator("#answer .q").filter(has=page.locator(".q-us")).first
    expect(depth.locator(".q-si")).to_be_visible()
    expect(depth.locator(".q-us")).to_be_visible()
    page.get_by_role("radio", name="US", exact=True).check(force=True)
    expect(depth.locator(".q-si")).not_to_be_visible()
    page.get_by_role("radio", name="SI", exact=True).check(force=True)
    expect(depth.locator(".q-us")).not_to_be_visible()
    expect(depth.locator(".q-si")).to_be_visible()
    assert told == []


def test_a_slip_is_said_beside_its_field_and_goes_when_it_is_mended(page, told):
    page.goto("/bench/drill")
    example = examples(next(one for one in FIGURES if one.name == "drill"))
    fill(page, **{**example, "diameter": "8,5"})
    work_it_out(page)
    field = page.locator("#field-diameter")
    expect(field).to_be_focused()
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile("“8,5” may be 8.5 or 85"))
    expect(page.locator("#problem-diameter")).to_be_in_viewport()
    expect(field).to_have_value("8,5")
    fill(page, diameter="8.5 mm")
    work_it_out(page)
    expect(answer(page)).to_contain_text("8.5 mm")
    expect(page.locator("#problem-diameter")).not_to_be_visible()
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    assert told == []


def test_where_there_is_no_honest_answer_none_stands_there(page):
    page.goto("/bench/tap-drill")
    fill(page, thread="M8", drawer="metric", share="5 %")
    work_it_out(page)
    expect(page.get_by_role("heading", name="No honest answer")).to_be_visible()
    expect(page.locator("#answer .block")).to_have_count(0)
    expect(page.locator("#field-share")).to_have_value("5 %")


@pytest.mark.parametrize("name", NAMES)
def test_the_example_of_every_figure_is_one_tap_away(page, name, told):
    page.goto(f"/bench/{name}")
    page.get_by_role("link", name="Fill in the example").click()
    expect(answer(page)).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
    work_it_out(page)  # and htmx answers what the page answered
    expect(page.locator("#answer-is")).to_be_focused()
    expect(answer(page)).to_be_visible()
    assert told == []


# --- Without scripts


def test_without_scripts_the_form_sends_itself_and_the_address_holds_the_answer(plain_page):
    plain_page.goto("/bench/tap-drill")
    fill(plain_page, thread="M8", drawer="metric")
    work_it_out(plain_page)
    expect(answer(plain_page)).to_contain_text("6.8 mm")
    expect(plain_page.get_by_role("heading", name="Answer")).to_be_in_viewport()
    assert "thread=M8" in plain_page.url


def test_without_scripts_a_slip_is_marked_and_what_leads_to_it_is_in_sight(plain_page):
    plain_page.goto("/bench/tap-drill")
    fill(plain_page, drawer="metric", share="75")
    work_it_out(plain_page)
    leads = plain_page.get_by_role("link", name="How much of the full thread?")
    expect(leads).to_be_in_viewport()
    leads.click()
    expect(plain_page.locator("#field-share")).to_be_in_viewport()
    expect(plain_page.locator("#field-share")).to_have_value("75")
    expect(plain_page.locator("#problem-share")).to_contain_text("“75” has no unit")


@pytest.mark.parametrize("name", TABLES)
def test_without_scripts_a_table_is_sent_and_kept(plain_page, name):
    declared = next(one for one in FIGURES if one.name == name)
    plain_page.goto(f"/bench/{name}")
    fill(plain_page, **examples(declared))
    work_it_out(plain_page)
    expect(answer(plain_page)).to_be_visible()
    table = next(filter(of_many_lines, declared.asks))
    expect(plain_page.locator(f"#field-{table.name}")).to_have_value(table.example)


# --- Everyone


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("screen", SCREENS)
def test_axe_finds_nothing(page, screen, light, violations):
    page.emulate_media(color_scheme=light)
    page.goto(screen)
    for details in page.locator("#answer summary").all():
        details.click()
    assert violations(page) == []


@pytest.mark.parametrize("name", TABLES)
def test_axe_finds_nothing_on_a_drawing_with_its_table(page, name, violations):
    page.goto(f"/bench/{name}?fill-in=example")
    for details in page.locator("#answer summary").all():
        details.click()
    assert violations(page) == []


@pytest.mark.parametrize("width", [412, 320])
@pytest.mark.parametrize("screen", [*SCREENS, *(f"/bench/{name}?fill-in=example" for name in TABLES)])
def test_a_gloved_thumb_hits_one_thing_and_no_other(page, screen, width, too_small, too_close):
    """64 CSS px are 10 mm on a phone, 88 for the main control, 12 px apart."""
    page.set_viewport_size({"width": width, "height": 568})
    page.goto(screen)
    assert too_small(page) == []
    assert too_close(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("screen", SCREENS)
def test_letters_twice_as_large_still_fit(page, screen):
    page.goto(screen)
    page.evaluate("document.documentElement.style.fontSize = '36px'")
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def test_an_answer_prints_as_ink_on_paper(page):
    page.emulate_media(media="print", color_scheme="dark")
    page.goto("/bench/tap-drill?fill-in=example")
    for control in page.locator(".button, .toggle").all():
        expect(control).not_to_be_visible()
    assert answer(page).evaluate("e => getComputedStyle(e).color") == "rgb(0, 0, 0)"
