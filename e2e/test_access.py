"""Every screen works for everyone: with gloves, by keyboard, read aloud, in sun and darkness, enlarged."""

import pytest
from playwright.sync_api import expect

SCREENS = ["/", "/packs/{slug}", "/packs/{slug}/check", "/authors", "/nope", "/?words=nothing-holds-this"]


@pytest.fixture(params=SCREENS)
def screen(request, slugs):
    return request.param.format(slug=slugs[0])


@pytest.fixture(params=["light", "dark"])
def light(request, page):
    page.emulate_media(color_scheme=request.param)
    return request.param


def test_axe_finds_nothing(page, screen, light, violations):
    page.goto(screen)
    assert violations(page) == []


def test_axe_finds_nothing_on_a_pack_with_errors(page, light, own_server, slugs, violations):
    spoil(own_server.packs / slugs[0])
    page.goto(f"{own_server.url}/packs/{slugs[0]}")
    expect(page.get_by_text("does not compile")).to_be_visible()
    assert violations(page) == []


def spoil(folder):
    """Misspell a key of a pack."""
    path = folder / "pack.md"
    path.write_text(path.read_text("utf-8").replace("\ntitle:", "\ntitel:", 1), "utf-8")


@pytest.mark.parametrize("width", [412, 320])
def test_a_gloved_thumb_hits_one_thing_and_no_other(page, screen, width, too_small, too_close):
    """64 CSS px are 10 mm on a phone, 88 for the main control, 12 px apart."""
    page.set_viewport_size({"width": width, "height": 568})
    page.goto(screen)
    assert too_small(page) == []
    assert too_close(page) == []


# WCAG 2.2, SC 1.4.10: at 400 % of 1280 px a page is 320 CSS px wide, and nothing may need scrolling two ways.
@pytest.mark.parametrize("width", [320, 280])
def test_nothing_is_cut_off_when_the_page_is_enlarged_four_times(page, screen, width):
    page.set_viewport_size({"width": width, "height": 256})
    page.goto(screen)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate("document.body.scrollWidth") <= width


def test_letters_twice_as_large_still_fit(page, screen):
    """WCAG 2.2, SC 1.4.4: text can be enlarged to 200 % without loss, here by the phone's own setting."""
    page.goto(screen)
    page.evaluate("document.documentElement.style.fontSize = '36px'")
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def test_the_first_tab_offers_to_skip_to_what_the_page_says(page, screen):
    page.goto(screen)
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to what this page says")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()


def test_what_has_the_focus_can_be_seen(page, screen, light):
    """Every stop of the Tab key has an outline of its own or on the label that surrounds it."""
    page.goto(screen)
    stops = page.locator("a[href], button, input").count()
    without = []
    for _ in range(min(stops + 2, 40)):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            """() => {
              const focused = document.activeElement
              if (focused === document.body) return null
              const outlined = [focused, focused.closest("label")].filter(Boolean).some((element) => {
                const { outlineStyle, outlineWidth } = getComputedStyle(element)
                return outlineStyle === "solid" && parseFloat(outlineWidth) >= 3
              })
              return outlined ? "" : focused.outerHTML
            }"""
        )
        if seen:
            without.append(seen)
    assert without == []


def test_every_screen_has_one_heading_of_the_first_level_and_a_title_of_its_own(page, slugs):
    titles = set()
    for screen in SCREENS:
        page.goto(screen.format(slug=slugs[0]))
        expect(page.locator("h1")).to_have_count(1)
        titles.add(page.title())
    assert len(titles) >= 5


def test_units_and_light_are_chosen_by_keyboard(page, slugs):
    page.goto(f"/packs/{slugs[0]}")
    page.get_by_role("radio", name="US", exact=True).focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("html")).to_have_attribute("data-units", "si")
    page.get_by_role("radio", name="auto").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("html")).to_have_attribute("data-theme", "light")


def test_a_system_with_colours_of_its_own_still_shows_which_answer_is_chosen(page, slugs):
    """With forced colours, backgrounds of ours vanish: the browser's own radio button has to be there."""
    page.emulate_media(forced_colors="active")
    page.goto(f"/packs/{slugs[0]}")
    radio = page.locator(".choice input").first
    assert radio.evaluate("e => getComputedStyle(e).appearance") == "auto"


@pytest.mark.parametrize("screen", ["/", "/packs/{slug}", "/authors"])
def test_a_page_prints_as_ink_on_paper(page, slugs, screen):
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(screen.format(slug=slugs[0]))
    for control in page.locator(".button, .toggle").all():
        expect(control).not_to_be_visible()
    ink = page.locator("h1").evaluate("e => getComputedStyle(e).color")
    paper = page.locator("body").evaluate("e => getComputedStyle(e).background")
    assert ink == "rgb(0, 0, 0)"
    assert paper.startswith("rgba(0, 0, 0, 0) none")
