"""The shelf and a pack's front page on a phone, with scripts and without."""

import re

import pytest
from playwright.sync_api import expect


@pytest.fixture
def plain_page(browser, browser_context_args):
    """A page in a browser that runs no scripts."""
    context = browser.new_context(**{**browser_context_args, "java_script_enabled": False})
    yield context.new_page()
    context.close()


@pytest.fixture
def pack(slugs):
    return f"/packs/{slugs[0]}"


def cards(page):
    return page.locator("#packs .pack")


def answer_all(page):
    """Give the first answer to every question that is asked."""
    for question in page.locator("fieldset.question").all():
        if question.is_visible():
            question.locator("input").first.check()


# --- The shelf


def test_every_pack_that_ships_is_on_the_shelf(page, slugs, told):
    page.goto("/")
    expect(cards(page)).to_have_count(len(slugs))
    assert told == []


def test_the_shelf_narrows_while_words_are_typed(page, slugs, told):
    page.goto("/")
    title = cards(page).first.locator("strong").inner_text()
    with page.expect_response(lambda answer: "/shelf?" in answer.url):
        page.get_by_label("Words in the pack").press_sequentially(slugs[0], delay=20)
    expect(cards(page)).to_have_count(1)
    expect(cards(page).locator("strong")).to_have_text(title)
    page.get_by_label("Words in the pack").fill("zzz")
    expect(page.get_by_text("No pack holds all of these words")).to_be_visible()
    assert told == []


def test_without_scripts_the_same_words_are_sent_by_the_button(plain_page, slugs):
    plain_page.goto("/")
    plain_page.get_by_label("Words in the pack").fill(slugs[0])
    plain_page.get_by_role("button", name="Filter").click()
    expect(plain_page).to_have_url(re.compile(rf"/\?words={slugs[0]}$"))
    expect(cards(plain_page)).to_have_count(1)
    expect(plain_page.get_by_label("Words in the pack")).to_have_value(slugs[0])


def test_a_card_leads_to_its_pack(page):
    page.goto("/")
    title = cards(page).first.locator("strong").inner_text()
    cards(page).first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text(title)


def test_a_server_that_went_away_is_said_and_what_was_there_stays(page, own_server, slugs):
    page.goto(own_server.url)
    own_server.stop()
    page.get_by_label("Words in the pack").fill("zzz")
    expect(page.get_by_role("alert")).to_contain_text("The server does not answer.")
    expect(cards(page)).to_have_count(len(slugs))


# --- A pack


def test_answering_changes_parts_tools_and_time_without_leaving_the_page(page, pack, told):
    """What is swapped in is what a reload with the same answers shows."""
    page.goto(pack)
    page.evaluate("window.stayed = true")
    before = page.locator("#for-answers").inner_text()
    for question in page.locator("fieldset.question:visible").all():
        with page.expect_response(lambda answer: "/kit?" in answer.url):
            question.locator("input").last.check()
    expect(page.locator("#for-answers")).not_to_have_text(before)
    given = page.evaluate("new URLSearchParams(new FormData(document.querySelector('#answers'))).toString()")
    swapped = page.locator("#for-answers").inner_text()
    assert page.evaluate("window.stayed")
    page.goto(f"{pack}?{given}")
    assert page.locator("#for-answers").inner_text() == swapped
    assert told == []


def test_starting_leads_to_the_job_with_the_answers(page, pack):
    page.goto(pack)
    answer_all(page)
    page.get_by_role("button", name="Start this job").click()
    expect(page).to_have_url(re.compile(r"/jobs/[0-9a-f]{16}\?[\w&=-]+"))


def test_a_job_does_not_start_before_its_questions_are_answered(page, pack):
    page.goto(pack)
    page.get_by_role("button", name="Start this job").click()
    expect(page).to_have_url(re.compile(rf"{pack}$"))
    assert page.locator(".choice input:invalid").count() > 0


def test_without_scripts_answers_are_sent_by_a_button_and_the_job_still_starts(plain_page, pack):
    plain_page.goto(pack)
    answer_all(plain_page)
    plain_page.get_by_role("button", name="Show parts, tools and time for these answers").click()
    expect(plain_page).to_have_url(re.compile(rf"{pack}\?"))
    for question in plain_page.locator("fieldset.question:visible").all():
        expect(question.locator("input").first).to_be_checked()
    plain_page.get_by_role("button", name="Start this job").click()
    expect(plain_page).to_have_url(re.compile(r"/jobs/[0-9a-f]{16}\?"))


def test_with_scripts_there_is_no_button_that_does_nothing_new(page, pack):
    page.goto(pack)
    expect(page.get_by_role("button", name="Show parts, tools and time")).not_to_be_visible()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_is_made_for_the_answers_and_the_units_in_use(page, pack, paper):
    page.goto(pack)
    answer_all(page)
    page.get_by_role("radio", name="both").check()
    with page.context.expect_event("request", lambda request: "/sheet.pdf?" in request.url) as asked:
        page.get_by_role("button", name=f"Job sheet (PDF, {paper})").click()
    address = asked.value.url
    assert f"paper={paper.lower()}" in address
    assert "units=both" in address
    made = page.request.get(address)
    assert made.headers["content-type"] == "application/pdf"
    assert made.body().startswith(b"%PDF-")


def test_checking_again_shows_what_the_author_just_broke_and_that_it_is_mended(page, own_server, slugs):
    path = own_server.packs / slugs[0] / "pack.md"
    whole = path.read_text("utf-8")
    page.goto(f"{own_server.url}/packs/{slugs[0]}")
    path.write_text(whole.replace("\nsummary:", "\nsumary:", 1), "utf-8")
    page.get_by_role("button", name="Check again").click()
    expect(page.locator(".finding mark").filter(has_text="sumary")).to_be_visible()
    path.write_text(whole, "utf-8")
    page.get_by_role("button", name="Check again").click()
    expect(page.locator(".finding").filter(has_text="error")).to_have_count(0)


def test_a_pack_that_was_broken_stays_on_the_shelf_and_leads_to_its_findings(page, own_server, slugs):
    path = own_server.packs / slugs[0] / "pack.md"
    path.write_text(path.read_text("utf-8").replace("\nsummary:", "\nsumary:", 1), "utf-8")
    page.goto(own_server.url)
    page.locator(".broken").click()
    expect(page.locator(".finding").first).to_be_visible()
    page.locator(".finding a").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("How a pack is written")
    assert "#" in page.url


# --- Units and light


def shown_units(page):
    """Which of the two systems the quantities of the page are shown in."""
    us, si = (page.locator(f".q-{system}:visible").count() for system in ("us", "si"))
    return {(True, False): "us", (False, True): "si", (True, True): "both"}[bool(us), bool(si)]


def test_a_pack_opens_in_the_units_of_its_author(page, slugs):
    for slug in slugs:
        page.goto(f"/packs/{slug}")
        written_in = page.locator(".block div").filter(has_text="Written in").locator("dd").inner_text()
        assert shown_units(page) == written_in.split()[0].lower()


def test_units_change_at_once_are_remembered_and_reach_every_tab(page, context, pack):
    other = context.new_page()
    for tab in (page, other):
        tab.goto(pack)
    for units in ("us", "si", "both"):
        page.locator(f"[data-toggle=units] input[value={units}]").check()
        assert shown_units(page) == units
        expect(other.locator("html")).to_have_attribute("data-units", units)
        assert shown_units(other) == units
        expect(other.locator(f"[data-toggle=units] input[value={units}]")).to_be_checked()
    page.reload()
    assert shown_units(page) == "both"


def test_the_authors_own_figure_is_one_tap_away(page, pack):
    page.goto(pack)
    authors = page.locator("html").get_attribute("data-units")
    page.locator(f"[data-toggle=units] input[value={'si' if authors == 'us' else 'us'}]").check()
    figure = page.locator(f".q-a-{authors}").filter(has=page.locator(f".q-{authors}")).first
    expect(figure.locator(f".q-{authors}")).not_to_be_visible()
    figure.click()
    expect(figure.locator(f".q-{authors}")).to_be_visible()


@pytest.mark.parametrize("width", ["auto", "min-content"])
def test_in_both_units_the_authors_figure_comes_first_on_one_line_or_two(page, slugs, width):
    seen = set()
    for slug in slugs:
        page.goto(f"/packs/{slug}")
        page.locator("[data-toggle=units] input[value=both]").check()
        for author, other in (("us", "si"), ("si", "us")):
            for figure in page.locator(f".q-a-{author}:visible").all()[:5]:
                figure.evaluate("(element, width) => { element.style.width = width }", width)
                first, second = (figure.locator(f".q-{system}").bounding_box() for system in (author, other))
                before = "x" if width == "auto" and first["y"] == second["y"] else "y"
                assert first[before] < second[before], figure.inner_text()
                seen.add((author, before))
    assert {author for author, _ in seen} == {"us", "si"}
    assert width == "auto" or {before for _, before in seen} == {"y"}


def ground(page):
    return page.locator(".card").first.evaluate("e => getComputedStyle(e).backgroundColor")


def test_light_or_dark_follows_the_phone_until_it_is_chosen(page, pack):
    page.emulate_media(color_scheme="light")
    page.goto(pack)
    card = page.locator(".card").nth(1)
    colours = {}
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        colours[scheme] = card.evaluate("e => getComputedStyle(e).backgroundColor")
    assert colours["light"] != colours["dark"]
    for chosen in ("light", "dark"):
        page.locator(f"[data-toggle=theme] input[value={chosen}]").check()
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert card.evaluate("e => getComputedStyle(e).backgroundColor") == colours[chosen]
    page.locator("[data-toggle=theme] input[value=auto]").check()
    page.emulate_media(color_scheme="light")
    assert card.evaluate("e => getComputedStyle(e).backgroundColor") == colours["light"]


def test_the_chosen_light_and_units_are_there_before_the_first_paint(page, pack):
    """In a dark bay a white flash blinds: what was chosen is on the root before there is a body."""
    page.goto(pack)
    page.locator("[data-toggle=theme] input[value=dark]").check()
    page.locator("[data-toggle=units] input[value=both]").check()
    page.add_init_script(
        """new MutationObserver((_, watching) => {
          if (!document.body) return
          globalThis.atFirst = { ...document.documentElement.dataset }
          watching.disconnect()
        }).observe(document, { childList: true, subtree: true })"""
    )
    page.reload()
    assert page.evaluate("atFirst") == {"theme": "dark", "units": "both"}


def test_a_browser_that_keeps_nothing_still_toggles(page, pack, told):
    page.add_init_script(
        """Object.defineProperty(window, "localStorage", {
          get() { throw new DOMException("no", "SecurityError") }
        })"""
    )
    page.goto(pack)
    page.locator("[data-toggle=units] input[value=both]").check()
    page.locator("[data-toggle=theme] input[value=dark]").check()
    assert shown_units(page) == "both"
    expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    assert told == []


# --- The policy


@pytest.mark.parametrize("screen", ["/", "{pack}", "{pack}/check", "/authors"])
def test_no_page_breaks_its_own_policy(page, pack, told, screen):
    page.goto(screen.format(pack=pack))
    page.wait_for_load_state("networkidle")
    assert told == []
