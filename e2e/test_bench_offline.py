"""The bench at the car: no network, and the phone answers what the server would, word for word."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from webapp.figures import examples, find
from webapp.web.bench import ON_THE_PHONE

VECTORS = json.loads(
    (Path(__file__).parents[1] / "tests" / "vectors" / "figures.json").read_text(encoding="utf-8")
)
assert VECTORS["figures"], "a test over no vectors would pass by looking at nothing"
every_figure = pytest.mark.parametrize("name", ON_THE_PHONE)


def expected(answer):
    """Return an answer of the vectors with its sentences put in."""
    if "lines" not in answer:
        return answer
    phrase = VECTORS["phrases"]
    return {
        "lines": answer["lines"],
        "working": answer["working"],
        "source": phrase[answer["source"]],
        "validity": phrase[answer["validity"]],
        "cautions": [phrase[caution] for caution in answer["cautions"]],
    }


ANSWER = """async ([name, asks, every]) => {
  const { answer } = await import("/static/js/bench/figures.js")
  return every.map((texts) => {
    const found = answer(name, asks, texts)
    if (!found.lines) return found
    const { lines, working, source, validity, cautions } = found
    const shown = ({ label, text, us, si }) => [label, text, ...(us === text && si === text ? [] : [us, si])]
    return { lines: lines.map(shown), working, source, validity, cautions }
  })
}"""


@every_figure
def test_the_phone_answers_and_refuses_word_for_word_as_the_server(page, name):
    page.goto("/bench")
    figure = VECTORS["figures"][name]
    given = figure["answers"]
    answers = page.evaluate(ANSWER, [name, figure["asks"], [one["texts"] for one in given]])
    for vector, mine in zip(given, answers, strict=True):
        assert mine == expected(vector["answer"]), vector["texts"]


def test_the_phone_knows_every_unit_and_every_spelling_of_the_server_and_no_others(page):
    page.goto("/bench")
    units = page.evaluate(
        """async () => { const { KNOWN } = await import("/static/js/bench/say.js")
        return [...KNOWN].map(([name, { kind, system }]) => [name, kind, system]) }"""
    )
    by_kind = lambda table: sorted(table, key=lambda unit: unit[1])  # noqa: E731 - the order within a kind counts
    assert by_kind(units) == by_kind(VECTORS["units"])
    known = page.evaluate(
        """async (all) => { const { known } = await import("/static/js/bench/read.js")
        return Object.fromEntries(all.map((spelling) => [spelling, known(spelling)])) }""",
        [*VECTORS["spellings"], "furlong", "Nmm", ""],
    )
    assert known == {**VECTORS["spellings"], "furlong": None, "Nmm": None, "": None}
    bases = page.evaluate(
        """async (kinds) => { const { base } = await import("/static/js/bench/say.js")
        return Object.fromEntries(kinds.map((kind) => [kind, base(kind)])) }""",
        list(VECTORS["bases"]),
    )
    assert bases == VECTORS["bases"]


# --- With no network

KEPT = """async () => {
  await navigator.serviceWorker.ready
  if (navigator.serviceWorker.controller) return
  await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve))
}"""


@pytest.fixture
def in_the_garage(page, context):
    """A phone that once saw the bench, and has no network any more."""
    page.goto("/bench")
    page.evaluate(KEPT)
    context.set_offline(True)
    return page


def fill(page, texts):
    for name, text in texts.items():
        field = page.locator(f"#field-{name}")
        folded = page.locator(f"details.more:not([open]):has(#field-{name}) > summary")
        if folded.count():
            folded.click()
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)


def work_it_out(page):
    page.get_by_role("button", name="Work it out").click()


def read(page):
    return [
        " ".join(text.split())
        for text in page.locator("#answer .main-line, #answer dl.block > div").all_inner_texts()
    ]


@every_figure
def test_each_figure_needed_at_the_car_answers_its_example_as_it_does_online(page, context, name):
    page.goto(f"/bench/{name}?fill-in=example")
    online = read(page)
    assert online
    page.goto("/bench")
    page.evaluate(KEPT)
    context.set_offline(True)
    page.get_by_role("link", name=find(name).title, exact=False).first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text(find(name).title)
    fill(page, examples(find(name)))
    work_it_out(page)
    expect(page.get_by_role("heading", name="Answer")).to_be_in_viewport()
    expect(page.locator("#answer")).to_contain_text("on this phone, without the server")
    assert read(page) == online


def test_without_network_the_example_is_filled_in_and_a_reload_keeps_what_was_typed(in_the_garage):
    page = in_the_garage
    page.goto("/bench/drill")
    page.get_by_role("link", name="Fill in the example").click()
    expect(page.locator("#answer .main-line")).to_contain_text("8.5 mm")
    fill(page, {"diameter": "5/16 in", "drawer": "inch fractions"})
    work_it_out(page)
    expect(page.locator("#answer .main-line")).to_contain_text("5/16 in (0.3125 in, 7.94 mm)")
    page.reload()
    expect(page.locator("#field-diameter")).to_have_value("5/16 in")
    expect(page.locator("#field-drawer")).to_have_value("inch fractions")
    expect(page.locator("#answer .main-line")).to_contain_text("5/16 in (0.3125 in, 7.94 mm)")


def test_without_network_what_is_wrong_stands_beside_its_field(in_the_garage):
    page = in_the_garage
    page.goto("/bench/cool-down?fill-in=example")
    expect(page.locator("#answer .main-line")).to_contain_text("min")
    fill(page, {"second": "76"})
    work_it_out(page)
    expect(page.locator("#problem-second")).to_contain_text("“76” has no unit. ")
    expect(page.locator("#field-second")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#field-second")).to_be_focused()
    expect(page.get_by_role("heading", name="Not yet: 1 field needs another look")).to_be_visible()
    fill(page, {"second": "90 °C"})
    work_it_out(page)
    expect(page.get_by_role("heading", name="No honest answer")).to_be_visible()
    expect(page.locator("#answer")).to_contain_text("It is not cooling.")
    expect(page.locator("#problem-second")).to_be_empty()


def test_without_network_an_answer_follows_the_unit_toggle(in_the_garage):
    page = in_the_garage
    page.goto("/bench/fill?fill-in=example")
    both = page.locator("#answer .main-line .q")
    expect(both).to_contain_text("4.75 L")
    for system, shown in (("us", "5 US qt"), ("si", "4.75 L")):
        page.evaluate(
            """(system) => {
            const input = document.querySelector(`[data-toggle=units] input[value=${system}]`)
            input.checked = true; input.dispatchEvent(new Event("change", { bubbles: true })) }""",
            system,
        )
        assert re.sub(r"\s+", " ", both.inner_text()).strip() == shown


def test_when_the_server_is_silent_though_there_is_a_network_the_phone_answers(page):
    page.goto("/bench/cure")
    page.route("**/bench/cure?*", lambda route: route.abort())
    fill(page, examples(find("cure")))
    work_it_out(page)
    expect(page.locator("#answer")).to_contain_text("on this phone, without the server")
    expect(page.locator(".trouble")).to_be_hidden()


def test_with_a_network_the_server_answers_and_the_phone_fetches_nothing_to_work_with(page, told):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto("/bench/cure")
    fill(page, examples(find("cure")))
    work_it_out(page)
    expect(page.get_by_role("heading", name="Answer")).to_be_visible()
    expect(page.locator("#answer")).not_to_contain_text("on this phone")
    assert not told
    assert any("/bench/cure?" in url for url in asked)


def test_an_answer_without_network_can_be_used_by_everyone(in_the_garage, violations, too_small):
    page = in_the_garage
    page.goto("/bench/wrench?fill-in=example")
    expect(page.locator("#answer .main-line")).to_contain_text("N·m")
    assert violations(page) == []
    assert too_small(page) == []
