"""A job followed on a phone: steps, ticks, hazards, readings, what is open."""

import hashlib
import json
import re
import struct
import zlib

import pytest
from playwright.sync_api import expect

from webapp import places
from webapp.compile import compile_folder


def test_a_job_begins_with_the_answers_and_says_first_when_it_is_ready_offline(follow, told):
    follow.open()
    expect(follow.page.locator("#ready")).to_have_text("Ready offline")
    follow.begin(stud="without")
    assert follow.step == "earth-off"
    (begun,) = follow.log("job-begun")
    assert begun["data"] == {"pack": follow.pack.hash, "answers": {"stud": "without"}}
    assert told == []


def test_a_job_does_not_begin_before_its_questions_are_answered(follow):
    follow.open(ready=False)
    follow.tap("#on")
    assert follow.step == "cover"
    expect(follow.page.locator("#said")).to_have_text("Answer first: Is there a long stud?")
    assert follow.page.evaluate("document.activeElement.name") == "stud"


def test_answers_given_on_the_front_page_are_filled_in(follow):
    follow.open("?stud=without&units=us", ready=False)
    expect(follow.page.locator("input[name=stud][value=without]")).to_be_checked()


def test_an_entry_is_made_to_be_synchronised_later(follow):
    """UUID of version 7 (RFC 9562), a stamp that only rises, and the mark that no server has it yet."""
    follow.open(ready=False).begin()
    follow.done_anyway()
    entries = follow.log()
    assert len(entries) >= 3
    for entry in entries:
        assert re.fullmatch(
            r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", entry["id"]
        )
        assert entry["unsent"] == 1
        assert entry.keys() == {"id", "job", "device", "stamp", "kind", "step", "data", "at", "unsent"}
    assert len({entry["stamp"] for entry in entries}) == len(entries)
    assert len({entry["device"] for entry in entries}) == 1


def test_a_tick_goes_on_and_an_undo_takes_it_back(follow):
    follow.open(ready=False).begin().up_to("cap-open")
    follow.tap("[data-do=undo-last]")
    follow.answer_stops()
    assert follow.step == "earth-off"
    expect(follow.page.locator("#done-of")).to_have_text("0/12")
    assert [entry["kind"] for entry in follow.log()][-2:] == ["step-undone", "hazard-answered"]
    follow.done_anyway()
    expect(follow.page.locator("#done-of")).to_have_text("1/12")


def test_back_shows_the_step_before_and_its_tick_can_be_undone_there(follow):
    follow.open(ready=False).begin().up_to("cap-open")
    follow.tap("#back")
    follow.answer_stops()
    assert follow.step == "earth-off"
    expect(follow.page.locator("#on")).to_have_text("Next")
    follow.tap("[data-do=undo]")
    assert follow.log("step-undone")[0]["step"] == "earth-off"


def test_what_was_so_already_is_passed_over_in_one_press(follow):
    follow.open(ready=False).begin()
    follow.tap("[data-do=already]")
    (entry,) = follow.log("step-passed-over")
    assert (entry["step"], entry["data"]) == ("earth-off", {"already": True})
    follow.answer_stops()
    expect(follow.page.locator("#holds")).to_contain_text("earth lead off")


def test_a_step_is_left_out_only_with_a_reason(follow):
    follow.open(ready=False).begin()
    follow.page.locator("#leave-out summary").click()
    follow.tap("#leave-out button")
    assert follow.step == "earth-off"
    follow.page.fill("#reason", "no battery in it")
    follow.tap("#leave-out button")
    (entry,) = follow.log("step-passed-over")
    assert entry["data"] == {"reason": "no battery in it"}


def test_a_step_out_of_order_says_what_is_open_asks_plainly_and_records_it(follow):
    follow.open(ready=False).begin()
    follow.tap("#to-overview")
    follow.tap('#overview [data-to="bead"]')
    follow.answer_stops()
    expect(follow.page.locator("#notice")).to_contain_text("Still open before this:")
    expect(follow.page.locator("#notice")).to_contain_text("Take the stud nut off")
    expect(follow.page.locator("#notice")).to_contain_text("Last drips: has not begun")
    follow.done()
    assert follow.dialog == "ahead"
    expect(follow.page.locator("#ahead li")).to_have_count(2)
    follow.tap("#ahead [data-do=leave]")
    assert follow.log("step-done") == []
    follow.done()
    follow.tap("#ahead [data-do=do-anyway]")
    (done,) = follow.log("step-done")
    assert done["data"]["open"] == ["Take the stud nut off", "Last drips: has not begun"]
    follow.answer_stops()
    follow.tap("#to-overview")
    expect(follow.page.locator('#overview [data-to="bead"]')).to_contain_text("with open points")
    expect(follow.page.locator('#overview [data-to="drain"]')).to_contain_text("open, passed by")


def test_the_question_leads_to_what_is_open(follow):
    follow.open(ready=False).begin()
    follow.tap("#to-overview")
    follow.tap('#overview [data-to="tight"]')
    follow.done()
    follow.tap("#ahead [data-do=go-there]")
    follow.answer_stops()
    assert follow.step == "shut"


def test_an_answer_can_be_changed_and_the_steps_follow_it(follow):
    follow.open(ready=False).begin(stud="with")
    expect(follow.page.locator("#done-of")).to_have_text("0/12")
    follow.tap("#to-overview")
    expect(follow.page.locator('#overview [data-to="stud-off"]')).to_be_visible()
    follow.page.locator("#answers .choice", has_text="No stud").click()
    expect(follow.page.locator("#done-of")).to_have_text("0/10")
    expect(follow.page.locator('#overview [data-to="stud-off"]')).to_be_hidden()
    (entry,) = follow.log("answer-changed")
    assert entry["data"] == {"question": "stud", "answer": "without"}


def test_what_was_locked_off_for_another_answer_is_still_given_back(page, server, follower):
    """The electric fan is locked off; then the fan turns out to be driven by the belt."""
    pack = compile_folder(places.CONTENT / "coolant-pump").pack
    follow = follower(page, server.url, pack).open(ready=False).begin(fan="electric")
    lock, back = (pack.by_id[step] for step in ("fan-lock", "fan-back"))
    (strip,) = lock.strips

    def go_to(step):
        follow.tap("#to-overview")
        follow.tap(f'#overview [data-to="{step}"]')
        follow.answer_stops()

    follow.up_to(lock.id)  # in order: with the key in and the earth on it would be refused
    follow.done_anyway()
    follow.tap("#to-overview")
    page.locator("#answers .choice:has(input[name=fan][value=belt])").click()
    expect(page.locator(f'#overview [data-to="{lock.id}"]')).to_be_hidden()
    expect(page.locator(f'#overview [data-to="{back.id}"]')).to_be_visible()
    follow.tap("#running")
    link = page.locator("#board li", has_text=strip.text).locator("a")
    expect(link).to_have_text(f"Ends with: {back.title}")
    link.click()
    follow.answer_stops()
    assert follow.step == back.id
    expect(page.locator("#notice")).to_contain_text("this step ends it")
    follow.done_anyway()
    expect(page.locator("#holds")).not_to_contain_text(strip.text)
    follow.tap("#to-overview")
    expect(page.locator(f'#overview [data-to="{back.id}"]')).to_be_hidden()


def test_a_note_goes_into_the_log(follow):
    follow.open(ready=False).begin()
    follow.tap("#to-overview")
    follow.page.fill("#note-text", "The post is loose")
    follow.tap("#note button")
    assert follow.log("note")[0]["data"] == {"text": "The post is loose"}
    expect(follow.page.locator("#notes")).to_contain_text("The post is loose")


def test_the_record_can_be_taken_away_as_a_file(follow, tmp_path):
    follow.open(ready=False).begin().up_to("cap-open")
    follow.tap("#to-overview")
    with follow.page.expect_download() as saving:
        follow.page.click("[data-do=save-record]")
    saving.value.save_as(tmp_path / "record.json")
    record = json.loads((tmp_path / "record.json").read_text("utf-8"))
    assert record["pack"] == follow.pack.hash
    assert {entry["id"] for entry in record["entries"]} == {entry["id"] for entry in follow.log()}


def test_the_strip_says_what_holds_at_the_vehicle(follow):
    follow.open(ready=False).begin().up_to("drain")
    strip = follow.page.locator("#running")
    expect(strip).to_contain_text("earth lead off")
    expect(strip).to_contain_text("Open: filler cap")
    follow.tap("#running")
    assert follow.step == "now"
    expect(follow.page.locator("#board li")).to_have_count(2)


# --- Hazards


def test_a_warning_stops_its_step_until_its_fact_is_stated(follow):
    follow.open(ready=False).begin(answer_stops=False)
    assert follow.dialog == "stop"
    expect(follow.page.locator("#stop .signal")).to_have_text("WARNING")
    expect(follow.page.locator("#step-earth-off")).to_be_hidden()
    follow.tap("#stop [data-do=state]")
    assert follow.step == "earth-off"
    (answer,) = follow.log("hazard-answered")
    assert answer["data"] == {"hazard": "battery", "fact": "Rings and watch off, goggles on"}


def test_not_yet_goes_back_and_the_step_stays_shut(follow):
    follow.open(ready=False).begin(answer_stops=False)
    follow.tap("[data-do=not-yet]")
    assert follow.dialog is None
    assert follow.step == "cover"
    expect(follow.page.locator("#step-earth-off")).to_be_hidden()
    assert follow.log("hazard-answered") == []


def test_a_step_that_is_opened_by_its_address_stops_too(follow):
    follow.open(ready=False).begin()
    address = follow.page.url.replace("#step-earth-off", "#step-warm")
    follow.page.goto("about:blank")
    follow.page.goto(address)
    expect(follow.page.locator("#stop h3")).to_have_text("Exhaust gas")
    assert follow.page.get_attribute("#stop h3", "data-count") == "1 of 2"
    follow.tap("[data-do=not-yet]")
    assert follow.step == "overview"
    expect(follow.page.locator("#step-warm")).to_be_hidden()


def test_leaving_a_step_that_is_stopped_ends_its_stop_and_its_hazard_is_asked_the_next_time(follow, told):
    follow.open(ready=False).begin()
    for step, hazard in (("warm", "Exhaust gas"), ("cap-open", "Scald"), ("warm", "Exhaust gas")):
        follow.page.evaluate("step => { location.hash = 'step-' + step }", step)
        expect(follow.page.locator("#stop h3")).to_have_text(hazard)
        assert follow.page.locator("#stop article").count() == 1
    follow.page.go_back()
    expect(follow.page.locator("#stop h3")).to_have_text("Scald")
    follow.page.evaluate("location.hash = 'overview'")
    expect(follow.page.locator("#overview")).to_be_visible()
    assert follow.dialog is None
    assert [entry["data"]["hazard"] for entry in follow.log("hazard-answered")] == ["battery"]
    assert follow.page.locator("#hazards article").count() == len(follow.pack.hazards)
    assert told == []


def test_the_address_of_a_step_that_stays_shut_does_not_stay(follow):
    follow.open(ready=False).begin()
    follow.page.evaluate("location.hash = 'step-warm'")
    follow.page.wait_for_selector("#stop[open]")
    follow.tap("[data-do=not-yet]")
    assert follow.step == "earth-off"
    assert follow.page.url.endswith("#step-earth-off")


def test_a_measured_fact_must_lie_in_its_range_in_either_unit(follow):
    """50 °C is 122 °F (exact, by definition of the scales)."""
    follow.open(ready=False).begin().up_to("earth-off")
    follow.done()
    follow.tap("#ahead [data-do=do-anyway]")
    assert follow.dialog == "stop"
    for number, unit, way_on in (
        ("51", "°C", False),
        ("140", "°F", False),
        ("", "°F", False),
        ("120", "°F", True),
    ):
        follow.type_value("#stop form", number, unit)
        follow.tap("#stop form button")
        assert (follow.dialog is None) == way_on, (number, unit)
    answer = follow.log("hazard-answered")[-1]
    assert (answer["data"]["hazard"], answer["data"]["value"], answer["data"]["unit"]) == ("scald", 120, "°F")


def test_one_spell_of_a_hazard_is_one_stop(follow):
    """Opening the cap begins a state, so the next step asks once more; nothing changes after that."""
    follow.open(ready=False).begin().up_to("earth-off")
    assert follow.done_anyway() == ["Scald"]
    assert follow.done_anyway() == ["Scald"]  # the cap is open now
    follow.tap("#back")
    assert follow.dialog is None
    follow.tap("#on")
    assert follow.dialog is None


def test_a_hazard_is_asked_again_after_half_an_hour(follow):
    follow.page.clock.install()
    follow.open(ready=False).begin()
    follow.tap("#to-overview")
    follow.tap("#back")
    assert follow.dialog is None
    follow.tap("#to-overview")
    follow.page.clock.fast_forward("30:01")
    follow.tap("#back")
    assert follow.dialog == "stop"


def test_a_caution_is_read_on_its_step_before_the_tick(follow):
    follow.open(ready=False).begin()
    follow.tap("#to-overview")
    follow.tap('#overview [data-to="bead"]')
    follow.tap("#on")
    assert follow.step == "bead"
    assert follow.dialog is None
    expect(follow.page.locator("#said")).to_have_text("Read the caution first.")
    follow.tap("[aria-current] [data-do=caution]")
    assert follow.log("hazard-answered")[-1]["data"]["hazard"] == "fumes"
    expect(follow.page.locator("[aria-current] [data-do=caution]")).to_be_hidden()


def test_a_notice_has_no_alert_triangle(follow):
    """ANSI Z535.4: the safety alert symbol belongs to injury, a notice is about damage."""
    follow.open(ready=False).begin()

    def triangle(word):
        return follow.page.locator(f"#step-earth-off .hazard-{word} .signal").evaluate(
            "panel => getComputedStyle(panel, '::before').content"
        )

    assert triangle("notice") == "none"
    assert "!" in triangle("warning")


def test_hazards_are_answered_with_the_keyboard_alone(follow):
    """The dialog holds the focus, its controls are reached by Tab, and Escape is the way back."""
    page = follow.page
    follow.open(ready=False)
    page.locator("input[name=stud]").first.press("Space")
    page.locator("#on").press("Enter")
    page.wait_for_selector("#stop[open]")
    assert page.evaluate("document.activeElement.id") == "stop-title"
    reached = []
    for _ in range(6):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.dataset.do ?? document.activeElement.tagName"))
    assert {"state", "not-yet"} <= set(reached)
    assert "on" not in page.evaluate("document.activeElement.id")
    page.keyboard.press("Escape")
    page.wait_for_selector("#stop:not([open])", state="attached")
    assert follow.step == "cover"
    page.wait_for_timeout(450)
    page.locator("#on").press("Enter")
    page.wait_for_selector("#stop[open]")
    page.locator("#stop [data-do=state]").focus()
    page.wait_for_timeout(450)
    page.keyboard.press("Enter")
    page.wait_for_selector("#stop:not([open])", state="attached")
    assert follow.step == "earth-off"
    assert page.evaluate("document.activeElement.id") == "title-earth-off"


def test_a_finger_that_fires_twice_does_not_answer_the_stop_that_comes_up_under_it(follow):
    follow.open(ready=False).begin().up_to("earth-off")
    follow.type_value("#step-earth-off .value", "12.6", "V")
    follow.tap("#step-earth-off .value button")
    box = follow.page.locator("#on").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    for _ in range(3):
        follow.page.touchscreen.tap(x, y)
    follow.page.wait_for_timeout(500)
    assert len(follow.log("step-done")) == 1
    assert follow.dialog == "stop"
    assert len(follow.log("hazard-answered")) == 1  # the battery, and not the cap


# --- Readings


@pytest.mark.parametrize(
    "typed, verdict, said",
    [
        ("12.6", "in", "✓ In range: 12.6 V"),
        ("12,6", "in", "✓ In range: 12.6 V"),
        ("11.9", "low", "✗ Too low: 11.9 V"),
        ("13", "high", "✗ Too high: 13 V"),
    ],
)
def test_a_reading_is_judged_while_it_is_typed(follow, typed, verdict, said):
    follow.open(ready=False).begin()
    form = follow.page.locator("#step-earth-off .value")
    form.locator("input[name=value]").press_sequentially(typed)
    expect(form.locator(".verdict")).to_have_text(said)
    follow.tap("#step-earth-off .value button")
    (taken,) = follow.log("reading-taken")
    assert taken["data"] == {
        "reading": "volts",
        "value": float(typed.replace(",", ".")),
        "unit": "V",
        "verdict": verdict,
    }
    outside = follow.page.locator("#step-earth-off .if-outside")
    assert (outside.get_attribute("data-now") is not None) == (verdict != "in")


def test_what_is_no_number_stays_in_the_field_and_says_what_to_write(follow):
    follow.open(ready=False).begin()
    form = follow.page.locator("#step-earth-off .value")
    form.locator("input[name=value]").fill("twelve")
    follow.tap("#step-earth-off .value button")
    expect(form.locator(".verdict")).to_have_text("That is no number. Write it like 25.5 or 1 1/2.")
    expect(form.locator("input[name=value]")).to_have_value("twelve")
    assert follow.log("reading-taken") == []


def test_a_corrected_reading_points_to_the_one_it_corrects(follow):
    follow.open(ready=False).begin()
    for number in ("1.25", "12.5"):
        follow.type_value("#step-earth-off .value", number, "V")
        follow.tap("#step-earth-off .value button")
    first, second = follow.log("reading-taken")
    assert second["data"]["corrects"] == first["id"]
    expect(follow.page.locator("#step-earth-off .taken")).to_contain_text(
        "12.5 V – ✓ in range, corrected 1 ×"
    )


def test_a_look_is_answered_with_so_or_not_so(follow):
    follow.open(ready=False).begin().up_to("cap-open")
    follow.tap('#step-cap-open [data-do=look][value="out"]')
    (taken,) = follow.log("reading-taken")
    assert taken["data"]["verdict"] == "out"
    follow.done()
    expect(follow.page.locator("#ahead li")).to_have_text("Reading outside its range: How does the cap look?")


def test_a_reading_outside_its_range_is_no_wall_but_goes_into_the_record(follow):
    follow.open(ready=False).begin()
    follow.type_value("#step-earth-off .value", "11.9", "V")
    follow.tap("#step-earth-off .value button")
    follow.done()
    expect(follow.page.locator("#ahead li")).to_have_text("Reading outside its range: Volts at rest")
    follow.tap("#ahead [data-do=do-anyway]")
    assert follow.log("step-done")[0]["data"]["open"] == ["Reading outside its range: Volts at rest"]


# --- Units


def test_the_unit_toggle_reaches_every_figure_at_once_and_is_remembered(follow):
    """18 lbf·ft is 24.40 N·m (NIST SP 811); to a half it is 24.5, within 1 %."""
    follow.open(ready=False).begin().up_to("tight")
    figures = follow.page.locator("#step-tight .figures")
    expect(figures).to_contain_text("18 lbf·ft")
    assert "N·m" not in figures.inner_text()
    follow.page.locator("[data-toggle=units] label", has_text="SI").click()
    assert "24.5 N·m" in figures.inner_text()
    assert "lbf·ft" not in figures.inner_text()
    follow.page.reload()
    follow.page.wait_for_selector("html[data-live]")
    assert "24.5 N·m" in figures.inner_text()
    follow.page.locator("[data-toggle=units] label", has_text="both").click()
    assert "lbf·ft" in figures.inner_text()
    assert "N·m" in figures.inner_text()


def test_the_figure_as_its_author_wrote_it_is_one_press_away(follow):
    follow.open(ready=False).begin().up_to("tight")
    follow.page.locator("[data-toggle=units] label", has_text="SI").click()
    author = follow.page.locator("#step-tight .author")
    assert author.locator("summary").bounding_box()["height"] >= 64
    author.locator("summary").click()
    assert "18 lbf·ft" in author.locator("li b").all_inner_texts()


# --- Photos


def png(side: int) -> bytes:
    """Return a grey square as a PNG file (ISO/IEC 15948)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    lines = zlib.compress((b"\0" + b"\x80" * side) * side)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", lines) + chunk(b"IEND", b"")


def test_a_photo_is_kept_on_the_phone_by_the_hash_of_its_bytes(follow):
    follow.open(ready=False).begin()
    with follow.page.expect_file_chooser() as choosing:
        follow.page.locator("#step-earth-off .photo .button").click()
    choosing.value.set_files({"name": "IMG_1.png", "mimeType": "image/png", "buffer": png(3000)})
    expect(follow.page.locator("#step-earth-off .thumbs img")).to_have_count(1)
    (taken,) = follow.log("photo-taken")
    assert taken["data"]["width"] == taken["data"]["height"] == 2048  # larger ones turn black on phones
    kept = follow.page.evaluate(
        """name => new Promise((resolve) => {
          const opening = indexedDB.open("droplight")
          opening.onsuccess = () => {
            const photos = opening.result.transaction("photos").objectStore("photos")
            photos.get(name).onsuccess = ({ target }) => resolve([...new Uint8Array(target.result.bytes)])
          }
        })""",
        taken["data"]["photo"],
    )
    assert hashlib.sha256(bytes(kept)).hexdigest() == taken["data"]["photo"]
    assert bytes(kept[:3]) == b"\xff\xd8\xff"  # JPEG begins so (ISO/IEC 10918-1)
    follow.page.reload()
    follow.page.wait_for_selector("html[data-live]")
    expect(follow.page.locator("#step-earth-off .thumbs img")).to_have_count(1)


def test_a_file_that_is_no_picture_says_so_and_loses_nothing(follow):
    follow.open(ready=False).begin()
    follow.page.locator("#step-earth-off .photo input").set_input_files(
        {"name": "x.txt", "mimeType": "text/plain", "buffer": b"no picture"}
    )
    expect(follow.page.locator("#step-earth-off .photo .problem")).to_contain_text("The photo was not kept")
    assert follow.log("photo-taken") == []
