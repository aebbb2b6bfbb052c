"""What is open at the vehicle, what stands in the way, and how to stop: as a person meets it on the phone."""

import json

import pytest
from playwright.sync_api import expect

from webapp import places
from webapp.compile import compile_folder

from .conftest import PACKS, SAME_PRESS
from .test_access import TOO_CLOSE

REASON = "the lamp is scrapped"


@pytest.fixture(scope="session")
def duct_pack():
    """A small job in which something is opened and stuffed with a rag."""
    result = compile_folder(PACKS / "duct-plug")
    assert result.findings == ()
    return result.pack


@pytest.fixture
def duct(page, lamp_server, follower, duct_pack):
    return follower(page, lamp_server.url, duct_pack)


@pytest.fixture
def pump(page, server, follower):
    """The pump job that ships."""
    return follower(page, server.url, compile_folder(places.CONTENT / "coolant-pump").pack)


def go_to(follow, step):
    follow.tap("#to-overview")
    follow.tap(f'#overview [data-to="{step}"]')
    follow.answer_stops()


def count(follow, wanted):
    expect(follow.page.locator("#open-now b")).to_have_text(str(wanted))


def test_the_count_of_what_is_open_is_on_every_step_and_follows_each_tick(duct):
    duct.open(ready=False).begin()
    expect(duct.page.locator("#open-now")).to_be_visible()
    count(duct, 0)
    duct.done()
    count(duct, 1)
    expect(duct.page.locator("#open-said")).to_have_text("Open now: 1")
    duct.done()
    count(duct, 4)  # plug, cover, mouth, rag


def test_the_board_says_what_is_open_since_when_and_what_ends_it(duct):
    duct.open(ready=False).begin().up_to("wipe")
    duct.tap("#open-now")
    rag = duct.page.locator("#board li", has_text="Clean rag")
    expect(rag).to_contain_text("Clean rag: still in")
    links = rag.locator("a")
    assert links.all_inner_texts() == ["Since: Take the cover off", "Ends with: Take the rag out"]
    expect(duct.page.locator("#board-told")).to_have_text("4 things open, off or loose. No clock runs.")
    links.last.click()
    assert duct.step == "rag-out"


def test_what_could_hurt_someone_is_never_ticked_and_the_dialog_leads_to_the_step(duct):
    duct.open(ready=False).begin().up_to("wipe")
    go_to(duct, "cover-on")
    expect(duct.page.locator("#missing")).to_contain_text(
        "Clean rag: still in when “Put the cover on” hides itThis has to be put right first."
    )
    duct.done()
    assert duct.dialog == "ahead"
    expect(duct.page.locator("#ahead-title")).to_have_text("Not yet")
    lines = duct.page.locator("#ahead li")
    expect(lines.first).to_contain_text("Clean rag: still in")
    expect(lines).to_have_count(1)  # told once, not as an open step too
    expect(duct.page.locator("#ahead [data-do=do-anyway]")).to_be_hidden()
    expect(duct.page.locator("#pass-why")).to_be_hidden()
    duct.tap('#ahead a[data-to="rag-out"]')
    assert (duct.dialog, duct.step) == (None, "rag-out")
    assert [entry["step"] for entry in duct.log("step-done")] == ["plug-off", "cover-off"]


def test_the_engine_is_not_started_on_a_cloth_in_its_port(pump):
    pump.open(ready=False).begin().up_to("rinse")
    pump.tap("#open-now")
    cloth = pump.page.locator("#board li", has_text="Lint-free cloth")
    expect(cloth).to_contain_text("Since: Take the housing off")
    go_to(pump, "start")
    pump.done()
    while pump.dialog == "stop":
        pump.answer_stops()
    assert pump.dialog == "ahead"
    danger = pump.page.locator("#ahead [data-word=danger]", has_text="Lint-free cloth: still in")
    expect(pump.page.locator("#ahead [data-do=do-anyway]")).to_be_hidden()
    links = pump.page.locator("#ahead [data-word=danger] a").all()
    assert len({link.get_attribute("data-to") for link in links}) == len(links)  # each step is named once
    danger.locator("a").first.click()
    pump.answer_stops()
    assert pump.step != "start"
    assert "start" not in [entry["step"] for entry in pump.log("step-done")]


IN_ORDER = """async (answers) => {
  const modules = ["machine", "pack", "course"].map((name) => import(`/static/js/${name}.js`))
  const [board, pack, course] = await Promise.all(modules)
  const model = board.prepare(await (await fetch(`${location.pathname}/machine.json`)).json())
  const own = pack.readPack(document)
  let state = { answers, steps: {} }
  const asked = []
  const steps = course.selected(own, state).map(({ id }) => id)
  for (const [stamp, id] of [...steps, ""].entries()) {
    const missed = board.unmet(model, own, state, id).filter(({ severity }) => severity === "error")
    asked.push(...missed.map(({ rule, what }) => `${id}: ${rule} ${what}`))
    state = { answers, steps: { ...state.steps, [id]: { is: "done", at: stamp, stamp, open: [] } } }
  }
  return [steps.length, asked]
}"""


@pytest.mark.parametrize("which", [0, -1])
def test_whoever_works_in_order_is_asked_for_no_reason(page, server, follower, slugs, which):
    """A gate that stops right work would soon be passed without being read."""
    for slug in slugs:
        pack = compile_folder(places.CONTENT / slug).pack
        follower(page, server.url, pack).open(ready=False)
        answers = {name: list(question.answers)[which] for name, question in pack.front.questions.items()}
        steps, asked = page.evaluate(IN_ORDER, answers)
        assert steps > 10
        assert asked == []


def test_what_may_be_passed_is_passed_only_with_a_reason_that_stays_in_the_record(duct, tmp_path):
    duct.open(ready=False).begin().up_to("plug-on")
    duct.tap("#leave-out summary")
    duct.page.fill("#reason", "its tab is broken")
    duct.tap("#why-out button")
    assert duct.step == "look"
    duct.tap("#step-look [data-do=look][value=in]")
    duct.done()  # the last step: now everything has to be whole again
    assert duct.dialog == "ahead"
    expect(duct.page.locator("#ahead li")).to_contain_text("Lamp plug is undone at the end of the job")
    expect(duct.page.locator("#ahead li a")).to_have_text("Left out: Push the lamp plug on")
    for short in ("", "scrapped", "            "):
        duct.page.fill("#pass-why", short)
        duct.tap("#ahead [data-do=do-anyway]")
        expect(duct.page.locator("#pass-said")).to_contain_text("12 letters or more")
        assert duct.dialog == "ahead"
    duct.page.fill("#pass-why", REASON)
    duct.tap("#ahead [data-do=do-anyway]")
    duct.page.wait_for_selector("#overview[aria-current]")
    before, done = duct.log()[-2:]
    assert (before["kind"], done["kind"]) == ("permit-passed", "step-done")
    assert before["step"] == "look"
    assert before["data"] == {"gate": "hand-over", "rules": ["R03"], "reason": REASON}
    expect(duct.page.locator("#passed")).to_contain_text(REASON)
    go_to(duct, "look")
    expect(duct.page.locator("#missing")).to_contain_text(f"Passed all the same: {REASON}")
    duct.tap("#to-overview")
    with duct.page.expect_download() as saving:
        duct.page.click("[data-do=save-record]")
    saving.value.save_as(tmp_path / "record.json")
    record = json.loads((tmp_path / "record.json").read_text("utf-8"))
    assert before["id"] in [entry["id"] for entry in record["entries"]]


def test_leaving_a_step_out_or_taking_a_tick_back_is_judged_anew_at_once(duct):
    duct.open(ready=False).begin().up_to("plug-on")
    count(duct, 1)
    go_to(duct, "rag-out")
    duct.tap("[data-do=undo]")
    count(duct, 3)  # the rag, the mouth, the plug
    go_to(duct, "cover-on")  # done already: it says what it missed
    expect(duct.page.locator("#missing")).to_contain_text("Clean rag: still in")
    go_to(duct, "look")
    expect(duct.page.locator("#missing")).to_be_hidden()
    go_to(duct, "rag-out")
    duct.done()
    count(duct, 1)


def test_already_so_is_held_to_the_same_needs_as_a_tick(duct):
    duct.open(ready=False).begin()
    duct.tap("#step-plug-off [data-do=already]")
    assert duct.step == "cover-off"  # nothing is missed: nothing is asked
    count(duct, 1)
    duct.up_to("wipe")
    go_to(duct, "cover-on")
    duct.tap("#step-cover-on [data-do=already]")
    assert duct.dialog == "ahead"
    expect(duct.page.locator("#ahead [data-do=do-anyway]")).to_be_hidden()
    duct.tap("#ahead [data-do=leave]")
    assert duct.log("step-passed-over")[-1]["step"] == "plug-off"


def test_permits_say_what_stands_in_the_way_and_say_plainly_when_nothing_does(duct):
    duct.open(ready=False).begin().up_to("wipe")
    duct.tap("#open-now")
    duct.tap("#permits details[data-gate=hand-over] summary")
    lines = duct.page.locator("#permits li")
    expect(lines.filter(has_text="Clean rag")).to_contain_text("Put right: Take the rag out")
    expect(lines.filter(has_text="Lamp plug")).to_contain_text("Put right: Push the lamp plug on")
    go_to(duct, "wipe")
    duct.up_to("look")
    duct.tap("#open-now")
    expect(duct.page.locator("#permits")).to_contain_text("To hand over: nothing in the way")
    expect(duct.page.locator("#board-told")).to_have_text("Nothing is open, off or loose. No clock runs.")


def test_work_is_laid_down_with_a_tag_that_says_what_is_open(duct):
    duct.open(ready=False).begin().up_to("wipe")
    duct.tap("#open-now")
    duct.tap("a[href='#safe']")
    tag = duct.page.locator("#tag")
    expect(tag).to_contain_text("DO NOT START")
    expect(tag).to_contain_text("Undone: lamp plug")
    expect(tag).to_contain_text("In: clean rag")
    duct.tap("[data-do=lay-down]")
    expect(duct.page.locator("#laid-down")).to_have_text("✓ Noted.")
    (note,) = duct.log("note")
    assert note["data"]["text"].startswith("Work laid down. DO NOT START. ")
    assert "________" not in note["data"]["text"]
    duct.page.go_back()
    assert duct.step == "now"


def test_all_of_it_works_with_no_network(duct):
    duct.open().begin()
    duct.page.context.set_offline(True)
    duct.page.reload()
    duct.page.wait_for_selector("html[data-live]")
    duct.up_to("wipe")
    count(duct, 4)
    duct.tap("#open-now")
    expect(duct.page.locator("#board li")).to_have_count(4)
    go_to(duct, "cover-on")
    duct.done()
    expect(duct.page.locator("#ahead [data-do=do-anyway]")).to_be_hidden()


def test_without_its_tables_nothing_is_taken_for_safe(duct):
    duct.page.add_init_script(
        "const get = fetch; globalThis.fetch = (url, ...more) =>"
        " String(url).endsWith('machine.json') ? Promise.reject(new TypeError('gone')) : get(url, ...more)"
    )
    duct.open(ready=False).begin()
    duct.done()
    duct.page.wait_for_selector("#ahead[open]")
    expect(duct.page.locator("#ahead li")).to_contain_text("not known")
    duct.tap("#ahead [data-do=do-anyway]")
    assert duct.step == "cover-off"
    duct.tap("#open-now")
    expect(duct.page.locator("#board-told")).to_contain_text("not known yet")
    duct.tap("a[href='#safe']")
    expect(duct.page.locator("#safe-way")).to_contain_text("Engine off, key out.")
    expect(duct.page.locator("#tag")).to_have_text("DO NOT START")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("screen", ["step", "now", "safe", "ahead", "reason"])
def test_its_screens_suit_every_eye_and_hand(duct, screen, scheme, violations, too_small, told):
    page = duct.page
    page.set_viewport_size({"width": 360, "height": 740})
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    bring_up(duct, screen)
    assert violations(page) == []
    assert too_small(page) == []
    assert page.evaluate(TOO_CLOSE) == []
    assert told == []


@pytest.mark.parametrize("width, height", [(320, 568), (320, 256), (160, 284)])
@pytest.mark.parametrize("screen", ["now", "safe", "ahead", "reason"])
def test_its_screens_fit_a_small_phone_and_400_percent_zoom(duct, screen, width, height, too_small):
    """1280 by 1024 at 400 % is 320 by 256 (WCAG 2.2, 1.4.10): no scrolling in two directions."""
    duct.page.set_viewport_size({"width": width, "height": height})
    bring_up(duct, screen)
    over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert duct.page.evaluate(over) <= 0
    dialogs = "[...document.querySelectorAll('dialog[open]')].map((one) => one.scrollWidth - one.clientWidth)"
    assert all(over <= 0 for over in duct.page.evaluate(dialogs))
    assert too_small(duct.page) == []


def bring_up(duct, screen):
    duct.open(ready=False).begin()
    if screen == "reason":
        duct.up_to("plug-on")
        duct.tap("#leave-out summary")
        duct.page.fill("#reason", "its tab is broken")
        duct.tap("#why-out button")
        duct.tap("#step-look [data-do=look][value=in]")
        duct.done()
        duct.tap("#ahead [data-do=do-anyway]")
        return
    duct.up_to("wipe")
    if screen in ("step", "ahead"):
        go_to(duct, "cover-on")
        expect(duct.page.locator("#missing")).to_be_visible()
        if screen == "ahead":
            duct.done()
        return
    duct.tap("#open-now")
    if screen == "now":
        duct.tap("#permits details summary")
    else:
        duct.tap("a[href='#safe']")


def test_by_keyboard_alone_the_board_is_reached_and_left(duct):
    duct.open(ready=False).begin().up_to("wipe")
    duct.page.locator("#open-now").focus()
    duct.page.keyboard.press("Enter")
    duct.page.wait_for_selector("#now[aria-current]")
    expect(duct.page.locator("#now-title")).to_be_focused()
    duct.page.keyboard.press("Tab")
    expect(duct.page.locator("a[href='#safe']")).to_be_focused()
    duct.page.keyboard.press("Enter")
    expect(duct.page.locator("#safe-title")).to_be_focused()


def test_a_program_killed_while_it_asks_has_ticked_nothing_and_asks_again(duct):
    duct.open(ready=False).begin().up_to("wipe")
    go_to(duct, "cover-on")
    duct.done()
    assert duct.dialog == "ahead"
    before = duct.log()
    again = duct.page.context.new_page()
    address = duct.page.url
    duct.page.close()
    again.goto(address)
    again.wait_for_selector("html[data-live]")
    duct.page = again
    assert duct.log() == before
    assert (duct.dialog, duct.step) == (None, "cover-on")
    count(duct, 4)
    duct.done()
    assert duct.dialog == "ahead"


def test_what_another_tab_takes_back_while_a_reason_is_typed_is_asked_anew(duct):
    duct.open(ready=False).begin().up_to("plug-on")
    duct.tap("#leave-out summary")
    duct.page.fill("#reason", "its tab is broken")
    duct.tap("#why-out button")
    duct.tap("#step-look [data-do=look][value=in]")
    duct.done()
    expect(duct.page.locator("#ahead li")).to_have_count(1)
    other = duct.page.context.new_page()
    other.goto(duct.page.url.split("#")[0] + "#step-rag-out")
    other.wait_for_selector("html[data-live]")
    other.click("[data-do=undo]")
    other.click("#leave-out summary")
    other.fill("#reason", "cannot get at it")
    other.click("#why-out button")
    expect(other.locator("#open-now b")).to_have_text("3")
    count(duct, 3)
    duct.page.fill("#pass-why", REASON)
    duct.tap("#ahead [data-do=do-anyway]")
    expect(duct.page.locator("#ahead-title")).to_have_text("Not yet")  # there is a rag in it now
    expect(duct.page.locator("#ahead li[data-word=danger]")).to_contain_text("Clean rag")
    duct.tap("#ahead [data-do=leave]")
    assert "look" not in [entry["step"] for entry in duct.log("step-done")]
    assert duct.log("permit-passed") == []


def test_the_board_follows_what_another_tab_ticks(duct):
    duct.open(ready=False).begin().up_to("cover-off")
    duct.tap("#open-now")
    expect(duct.page.locator("#board li")).to_have_count(1)
    other = duct.page.context.new_page()
    other.goto(duct.page.url.split("#")[0] + "#step-cover-off")
    other.wait_for_selector("html[data-live]")
    other.click("#on")
    expect(duct.page.locator("#board li")).to_have_count(4)
    count(duct, 4)


def test_the_back_button_takes_the_question_with_it(duct):
    """What is asked belongs to its step: over another one it would be answered for the wrong step."""
    duct.open(ready=False).begin().up_to("wipe")
    go_to(duct, "cover-on")
    duct.done()
    assert duct.dialog == "ahead"
    duct.page.evaluate("history.back()")
    duct.page.wait_for_selector("#overview[aria-current]")
    assert duct.dialog is None
    assert "cover-on" not in [entry["step"] for entry in duct.log("step-done")]
    duct.tap("#on")
    assert duct.dialog is None


def test_back_from_the_board_leads_to_the_step_it_was_asked_from(duct):
    duct.open(ready=False).begin().up_to("wipe")
    duct.tap("#open-now")
    duct.page.go_back()
    duct.page.wait_for_selector("#step-wipe[aria-current]")
    duct.page.go_forward()
    duct.page.wait_for_selector("#now[aria-current]")
    expect(duct.page.locator("#board li")).to_have_count(4)
    duct.tap("#back")
    assert duct.step == "wipe"


def test_a_job_whose_last_steps_were_left_out_is_not_called_done(duct):
    duct.open(ready=False).begin().up_to("wipe")
    while duct.step != "overview":
        duct.tap("#leave-out summary")
        duct.page.fill("#reason", "called away")
        duct.tap("#why-out button")
        duct.answer_stops()
    expect(duct.page.locator("#on")).to_have_text("To the shelf")
    missing = duct.page.locator("#missing")
    expect(missing).to_contain_text("No step is left, and 3 things are not put right")
    expect(missing.locator("li", has_text="Clean rag")).to_contain_text("Left out: Take the rag out")
    duct.tap("#open-now")
    expect(duct.page.locator("#on")).to_have_text("To the overview")
    duct.tap("#on")
    duct.tap('#missing a[data-to="rag-out"]')
    assert duct.step == "rag-out"


def test_a_job_of_which_every_step_was_left_out_has_nothing_open(duct):
    duct.open(ready=False).begin()
    while duct.step != "overview":
        duct.tap("#leave-out summary")
        duct.page.fill("#reason", "wrong vehicle")
        duct.tap("#why-out button")
    count(duct, 0)
    expect(duct.page.locator("#missing")).to_be_hidden()
    expect(duct.page.locator("#standing")).to_have_text("0 of 7 steps done, 7 left out.")


def test_taking_the_first_step_back_at_the_end_is_judged_for_every_step_after_it(pump):
    """What was undone twice in the log counts once: the ticks that stand are the machine."""
    pump.open(ready=False).begin().up_to("rinse")
    pump.page.wait_for_function("document.querySelector('#open-now b').textContent !== '…'")
    open_before = pump.page.inner_text("#open-now b")
    go_to(pump, "battery-off")
    pump.tap("[data-do=undo]")
    pump.answer_stops()
    expect(pump.page.locator("#open-now b")).not_to_have_text(open_before)
    pump.tap("#open-now")
    expect(pump.page.locator("#board li", has_text="Battery earth lead")).to_have_count(0)
    go_to(pump, "battery-off")
    pump.done_anyway()
    expect(pump.page.locator("#open-now b")).to_have_text(open_before)


PUT = """entries => new Promise((resolve, reject) => {
  const opening = indexedDB.open("droplight")
  opening.onerror = () => reject(opening.error)
  opening.onsuccess = () => {
    const store = opening.result.transaction("entries", "readwrite").objectStore("entries")
    for (const entry of entries) store.put(entry)
    store.transaction.oncomplete = resolve
  }
})"""


def test_a_log_from_before_there_were_permits_opens_and_is_judged(duct):
    duct.open(ready=False).begin()
    (begun,) = duct.log("job-begun")
    made = [
        {**begun, "id": f"{begun['id']}-{at}", "stamp": begun["stamp"] + at, "kind": kind, "step": step,
         "data": data}
        for at, (kind, step, data) in enumerate(
            [
                ("step-done", "plug-off", {}),
                ("step-done", "cover-off", {}),
                ("step-done", "wipe", {"open": ["Reading not taken: light"]}),
                ("step-passed-over", "rag-out", {"reason": "done later"}),
                ("step-done", "cover-on", {}),
                ("step-done", "a-step-that-is-gone", {}),
                ("something-else", "wipe", {}),
            ],
            start=1,
        )
    ]  # fmt: skip
    duct.page.evaluate(PUT, made)
    duct.page.goto(duct.page.url.split("#")[0])
    duct.page.wait_for_selector("html[data-live]")
    assert duct.step == "plug-on"
    count(duct, 3)
    go_to(duct, "cover-on")
    expect(duct.page.locator("#missing")).to_contain_text("Clean rag: still in")
    duct.tap("#to-overview")
    expect(duct.page.locator("#passed")).to_be_hidden()


def test_a_part_of_the_program_that_does_not_come_is_asked_for_again(
    browser, browser_context_args, lamp_server, follower, duct_pack
):
    """No network before it was kept: nothing is ticked unseen, and the next tick with a network works."""
    context = browser.new_context(**browser_context_args, service_workers="block")
    duct = follower(context.new_page(), lamp_server.url, duct_pack)
    gone = []
    duct.page.route("**/js/board.js", lambda route: (gone.append(1), route.abort())[1])
    duct.open(ready=False).begin()
    duct.page.wait_for_function("document.querySelector('#open-now b').textContent === '…'")
    duct.done()
    expect(duct.page.locator("#unsaved")).to_contain_text("Not ticked")
    assert gone
    assert duct.step == "plug-off"
    assert duct.log("step-done") == []
    duct.page.unroute("**/js/board.js")
    duct.done()
    expect(duct.page.locator("#step-cover-off")).to_have_attribute("aria-current", "step")
    expect(duct.page.locator("#unsaved")).to_be_hidden()
    count(duct, 1)
    context.close()


def test_with_the_server_gone_and_the_browser_begun_anew_the_board_is_there(
    playwright, phone, browser_type_launch_args, server, follower, duct_pack, tmp_path
):
    own = type(server)(PACKS, tmp_path / "said.txt").start()
    launched = {**browser_type_launch_args, **phone}
    context = playwright.chromium.launch_persistent_context(tmp_path / "phone", **launched)
    first = follower(context.pages[0], own.url, duct_pack).open().begin().up_to("wipe")
    address = first.page.url
    own.stop()
    context.close()
    context = playwright.chromium.launch_persistent_context(tmp_path / "phone", **launched)
    try:
        duct = follower(context.pages[0], own.url, duct_pack)
        duct.page.goto(address)
        duct.page.wait_for_selector("html[data-live]")
        count(duct, 4)
        duct.tap("#open-now")
        expect(duct.page.locator("#board li")).to_have_count(4)
        go_to(duct, "cover-on")
        duct.done()
        expect(duct.page.locator("#ahead-title")).to_have_text("Not yet")
    finally:
        context.close()


@pytest.mark.parametrize("screen", ["now", "safe", "ahead", "reason"])
@pytest.mark.parametrize("width, height, text", [(360, 740, 200), (740, 360, 100), (740, 360, 200)])
def test_its_screens_bear_large_text_and_a_phone_on_its_side(duct, screen, width, height, text, too_small):
    duct.page.set_viewport_size({"width": width, "height": height})
    bring_up(duct, screen)
    duct.page.evaluate("text => { document.documentElement.style.fontSize = `${text}%` }", text)
    over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert duct.page.evaluate(over) <= 0
    dialogs = "[...document.querySelectorAll('dialog[open]')].map((one) => one.scrollWidth - one.clientWidth)"
    assert all(over <= 0 for over in duct.page.evaluate(dialogs))
    assert too_small(duct.page) == []
    if screen in ("ahead", "reason"):
        last = duct.page.locator("#ahead [data-do=leave]")
        last.scroll_into_view_if_needed()
        expect(last).to_be_in_viewport()


def test_by_keyboard_alone_a_refusal_is_read_and_left(duct):
    duct.open(ready=False).begin().up_to("wipe")
    go_to(duct, "cover-on")
    duct.page.locator("#on").focus()
    duct.page.keyboard.press("Enter")
    expect(duct.page.locator("#ahead-title")).to_be_focused()
    duct.page.keyboard.press("Tab")
    expect(duct.page.locator('#ahead a[data-to="rag-out"]')).to_be_focused()
    duct.page.keyboard.press("Escape")
    assert (duct.dialog, duct.step) == (None, "cover-on")
    expect(duct.page.locator("#on")).to_be_focused()
    duct.page.wait_for_timeout(1000 * SAME_PRESS)
    duct.page.keyboard.press("Enter")
    expect(duct.page.locator("#ahead-title")).to_be_focused()
    duct.page.keyboard.press("Tab")
    duct.page.keyboard.press("Enter")
    duct.page.wait_for_selector("#step-rag-out[aria-current]")


def test_every_line_has_its_name_for_who_hears_it(duct):
    duct.open(ready=False).begin().up_to("wipe")
    assert duct.page.get_by_role("button", name="Open now 4", exact=True).count() == 1
    duct.tap("#open-now")
    for name in ("Since: Take the cover off", "Ends with: Take the rag out"):
        assert duct.page.get_by_role("link", name=name, exact=True).count() >= 1
    duct.tap("#to-permits")
    expect(duct.page.get_by_role("heading", name="What stands in the way")).to_be_focused()
    go_to(duct, "cover-on")
    duct.done()
    assert duct.page.get_by_role("dialog", name="Not yet").count() == 1


def test_things_that_one_step_brought_and_one_step_ends_stand_together(pump):
    pump.open(ready=False).begin().up_to("rinse")
    pump.tap("#open-now")
    hoses = pump.page.locator("#board li", has_text="Upper hose")
    expect(hoses).to_contain_text("Bypass hose: undone")
    expect(hoses.locator("a")).to_have_count(2)


def test_what_was_taken_off_for_an_answer_that_changed_is_not_forgotten(pump):
    pump.open(ready=False).begin(fan="belt")
    (begun,) = pump.log("job-begun")
    tick = {"id": f"{begun['id']}-1", "stamp": begun["stamp"] + 1, "kind": "step-done", "step": "fan-off"}
    pump.page.evaluate(PUT, [{**begun, **tick, "data": {}}])
    pump.page.goto(pump.page.url.split("#")[0])
    pump.page.wait_for_selector("html[data-live]")
    pump.answer_stops()
    pump.tap("#open-now")
    fan = pump.page.locator("#board li", has_text="Fan shroud: off")
    expect(fan).to_contain_text("Ends with: Refit the fan and the shroud")
    pump.page.wait_for_function("document.querySelector('#open-now b').textContent !== '…'")
    open_before = pump.page.inner_text("#open-now b")
    pump.tap("#to-overview")
    pump.page.locator('.question[data-question="fan"] .choice', has_text="electric").click()
    pump.tap("#open-now")
    expect(pump.page.get_by_role("heading", name="Done for another answer")).to_be_visible()
    expect(fan).to_contain_text("Ends with: Refit the fan and the shroud")
    expect(pump.page.locator("#open-now b")).to_have_text(open_before)


def test_what_the_last_step_puts_right_is_right_when_the_job_ends_with_it(duct):
    duct.open(ready=False).begin().up_to("plug-on")
    go_to(duct, "look")
    duct.tap("#step-look [data-do=look][value=in]")
    duct.done_anyway()
    assert duct.step == "plug-on"
    duct.done()
    assert duct.dialog is None
    duct.page.wait_for_selector("#overview[aria-current]")
    expect(duct.page.locator("#missing")).to_be_hidden()
    expect(duct.page.locator("#on")).to_have_text("All done – to the shelf")


def test_a_step_that_was_done_too_early_is_to_be_done_again(duct):
    duct.open(ready=False).begin().up_to("look")
    go_to(duct, "plug-off")
    duct.tap("[data-do=undo]")
    duct.done()
    duct.tap("#open-now")
    plug = duct.page.locator("#board li", has_text="Lamp plug: undone")
    expect(plug.locator("a").last).to_have_text("Do again: Push the lamp plug on")
