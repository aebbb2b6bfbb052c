"""The clocks of a job: deadlines that outlive the page, what rings, cures that a cold bay makes longer."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from icalendar import Calendar
from playwright.sync_api import expect

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@pytest.fixture
def at_noon(follow):
    """The small job, begun at noon by a clock that the test holds."""
    follow.page.clock.install(time=NOON)
    return follow.open(ready=False).begin()


def clock_of(follow, wait):
    return follow.page.locator(f'.wait[data-wait="{wait}"] .clock')


def go_to(follow, step):
    follow.hear()
    follow.tap("#to-overview")
    follow.tap(f'#overview [data-to="{step}"]')
    follow.answer_stops()


def test_a_clock_begins_when_its_step_is_ticked_and_is_seen_from_every_step(at_noon):
    at_noon.up_to("stud-off")
    (begun,) = at_noon.log("wait-begun")
    assert begun["data"] == {"wait": "drips", "length": 5 * 60_000}
    strip = at_noon.page.locator("#running")
    expect(strip).to_contain_text("Last drips")
    expect(strip).to_contain_text(re.compile(r"4 min 5\d s left"))
    at_noon.page.clock.fast_forward("02:00")
    expect(strip).to_contain_text(re.compile(r"2 min 5\d s left"))
    go_to(at_noon, "fill")
    expect(strip).to_contain_text("Last drips")


def test_a_clock_survives_a_reload_and_says_how_long_ago_it_ended(at_noon):
    at_noon.up_to("stud-off")
    at_noon.page.clock.fast_forward("02:00")
    at_noon.page.reload()
    at_noon.page.wait_for_selector("html[data-live]")
    expect(at_noon.page.locator("#running")).to_contain_text(re.compile(r"2 min 5\d s left"))
    at_noon.page.clock.fast_forward("15:00")
    expect(at_noon.page.locator("#over-title")).to_have_text("Last drips: time is up")
    expect(at_noon.page.locator(".over-when")).to_contain_text("Ended 12 min ago")
    at_noon.tap("[data-do=heard]")
    assert at_noon.dialog is None
    (heard,) = at_noon.log("alarm-heard")
    assert heard["data"]["due"] == at_noon.log("wait-begun")[0]["at"] + 5 * 60_000
    at_noon.page.reload()
    at_noon.page.wait_for_selector("html[data-live]")
    at_noon.page.wait_for_timeout(300)
    assert at_noon.dialog is None  # heard once, and not again


def test_it_rings_until_somebody_hears_it(at_noon):
    page = at_noon.page
    page.add_init_script(
        """globalThis.sounded = []
        const start = OscillatorNode.prototype.start
        OscillatorNode.prototype.start = function (at) { sounded.push("beep"); return start.call(this, at) }
        Navigator.prototype.vibrate = () => sounded.push("buzz")"""
    )
    page.reload()
    page.wait_for_selector("html[data-live]")
    at_noon.answer_stops()
    at_noon.up_to("stud-off")
    assert page.evaluate("sounded.filter((one) => one === 'beep').length") == 0
    page.clock.fast_forward("05:01")
    page.wait_for_selector("#over[open]")
    first = page.evaluate("sounded.length")
    assert page.evaluate("new Set(sounded).size") == 2
    page.clock.run_for(6_000)
    second = page.evaluate("sounded.length")
    assert second > first
    at_noon.tap("[data-do=heard]")
    silent = page.evaluate("sounded.length")
    page.clock.run_for(6_000)
    assert page.evaluate("sounded.filter((one) => one === 'beep').length") <= silent


def test_a_notification_is_shown_where_it_was_allowed(at_noon):
    page = at_noon.page
    page.wait_for_selector("html[data-offline=ready]", timeout=30_000)
    page.context.grant_permissions(["notifications"])
    at_noon.up_to("stud-off")
    page.clock.fast_forward("05:01")
    page.wait_for_selector("#over[open]")
    titles = """() => navigator.serviceWorker.ready.then((worker) => worker.getNotifications())
        .then((shown) => shown.map(({ title }) => title))"""
    assert page.evaluate(titles) == ["Last drips: time is up"]


def test_nothing_asks_for_notifications_by_itself(at_noon):
    at_noon.page.evaluate(
        """() => {
          globalThis.asked = 0
          Notification.requestPermission = async () => { asked++; return "denied" }
        }"""
    )
    at_noon.up_to("bead")
    assert at_noon.page.evaluate("asked") == 0
    at_noon.tap("#running")
    at_noon.tap("[data-do=notify]")
    assert at_noon.page.evaluate("asked") == 1
    expect(at_noon.page.locator("#ring-said")).to_have_text("The browser does not allow it.")


def test_the_screen_is_kept_awake_only_on_request(at_noon):
    at_noon.up_to("bead")
    at_noon.tap("#running")
    awake = at_noon.page.locator("[data-do=awake]")
    assert awake.get_attribute("aria-pressed") == "false"
    at_noon.tap("[data-do=awake]")
    expect(at_noon.page.locator("#ring-said")).to_have_text("The screen stays awake while this page is open.")
    assert awake.get_attribute("aria-pressed") == "true"
    at_noon.tap("[data-do=awake]")
    assert awake.get_attribute("aria-pressed") == "false"


def test_a_step_behind_a_running_clock_says_how_long(at_noon):
    at_noon.up_to("bead")
    expect(at_noon.page.locator("#notice")).to_contain_text(re.compile(r"Last drips: \d min \d\d s left"))
    at_noon.done()
    assert at_noon.dialog == "ahead"


def test_an_undone_tick_takes_its_clock_back(at_noon):
    at_noon.up_to("drain")
    at_noon.done_anyway()
    at_noon.tap("[data-do=undo-last]")
    at_noon.answer_stops()
    expect(at_noon.page.locator("#clock-name")).to_have_text("")


def test_the_open_time_of_a_bead_ends_with_the_step_that_closes_it(at_noon):
    at_noon.up_to("shut")
    expect(at_noon.page.locator("#running")).to_contain_text("Bead stays open")
    at_noon.done_anyway()
    (ended,) = at_noon.log("wait-ended")
    assert (ended["step"], ended["data"]["wait"]) == ("shut", "bead-open")


def test_a_bead_left_open_too_long_rings_and_says_so(at_noon):
    at_noon.up_to("shut")
    at_noon.page.clock.fast_forward("05:30")
    at_noon.tap("[data-do=heard]")  # the last drips
    at_noon.page.clock.fast_forward("05:30")
    expect(at_noon.page.locator("#over-title")).to_have_text("Bead stays open: no time left")
    at_noon.tap("[data-do=heard]")
    expect(at_noon.page.locator("#running")).to_contain_text("too late by")


LAY_ANEW = "The bead has skinned: scrape it off and lay it anew."


@pytest.fixture
def skinned(at_noon):
    """Before the step that closes the joint, with the bead open half a minute too long."""
    at_noon.up_to("shut")
    at_noon.page.clock.fast_forward("10:30")
    at_noon.page.wait_for_selector("#over[open]")
    return at_noon


def test_a_joint_is_not_closed_on_a_skinned_bead_without_a_question(skinned):
    assert "Bead stays open: no time left" in skinned.hear()
    expect(clock_of(skinned, "bead-open").locator(".refused")).to_have_text(LAY_ANEW)
    skinned.done()
    assert skinned.dialog == "ahead"
    expect(skinned.page.locator("#ahead li")).to_contain_text("Bead stays open: too late by")
    expect(skinned.page.locator("#ahead li")).to_contain_text(LAY_ANEW)
    skinned.tap("[data-do=leave]")
    assert [entry["step"] for entry in skinned.log("step-done")][-1] == "bead"
    skinned.done_anyway()
    (said,) = skinned.log("step-done")[-1]["data"]["open"]
    assert LAY_ANEW in said


def test_a_skinned_bead_is_said_on_the_step_that_closes_it_even_when_its_clock_was_ended_by_hand(skinned):
    skinned.hear()
    go_to(skinned, "bead")
    skinned.tap("[aria-current] [data-do=end]")
    go_to(skinned, "shut")
    expect(skinned.page.locator("#notice")).to_contain_text(LAY_ANEW)
    skinned.done()
    assert skinned.dialog == "ahead"


def test_a_bead_that_is_laid_anew_has_its_whole_open_time(skinned):
    skinned.hear()
    go_to(skinned, "bead")
    skinned.tap("[data-do=undo]")
    skinned.done_anyway()
    assert skinned.step == "shut"
    expect(skinned.page.locator("#notice")).not_to_contain_text("skinned")
    expect(skinned.page.locator("#running")).to_contain_text("Bead stays open")


# --- Cures


def measure(follow, temperature, unit, humidity):
    follow.page.locator("#bay .units label", has_text=unit).click()
    follow.page.fill("#bay-temperature", temperature)
    follow.page.fill("#bay-humidity", humidity)
    follow.tap("#bay form .button-main")


@pytest.fixture
def closed(at_noon):
    """The joint is closed, and the phone asks how warm and damp the bay is."""
    at_noon.up_to("shut")
    at_noon.done()
    if at_noon.dialog == "ahead":
        at_noon.tap("[data-do=do-anyway]")
    assert at_noon.dialog == "bay"
    return at_noon


def cures(follow, wait):
    return [entry for entry in follow.log("wait-begun") if entry["data"]["wait"] == wait]


def lengths(follow):
    return {entry["data"]["wait"]: entry["data"]["length"] for entry in follow.log("wait-begun")}


def test_at_the_label_s_own_bay_the_label_s_time_stands(closed):
    """The label is given for 23 °C and 50 %: 60 min to set, 24 h to cure."""
    measure(closed, "23", "°C", "50")
    assert lengths(closed)["set"] == 60 * 60_000
    assert lengths(closed)["cured"] == 24 * 3_600_000


@pytest.mark.parametrize("temperature, unit", [("13", "°C"), ("55.4", "°F")])
def test_a_cold_bay_makes_a_cure_longer_by_the_vapour_pressure(closed, temperature, unit):
    """Saturation pressures 2811.07 Pa at 23 °C and 1498 Pa at 13 °C (IAPWS-95): 1.877 times as long."""
    measure(closed, temperature, unit, "50")
    assert lengths(closed)["cured"] / 3_600_000 == pytest.approx(24 * 2811.07 / 1498, rel=0.005)
    closed.answer_stops()
    go_to(closed, "shut")
    clock_of(closed, "cured").locator("summary").click()
    expect(clock_of(closed, "cured").locator("ol")).to_contain_text("1.87")
    entry = closed.log("wait-begun")[-1]["data"]
    assert entry["inputs"] == {"temperature": float(temperature), "unit": unit, "humidity": 50}
    assert entry["working"]


def test_a_warm_damp_bay_never_makes_it_shorter(closed):
    measure(closed, "30", "°C", "80")
    assert lengths(closed)["cured"] == 24 * 3_600_000


def test_at_four_degrees_there_is_no_cure_and_the_clock_starts_when_it_is_warm(closed):
    measure(closed, "4", "°C", "50")
    assert closed.dialog == "bay"
    expect(closed.page.locator("#bay-verdict")).to_contain_text("Refused: below 5 °C (41 °F) in the bay")
    assert lengths(closed)["cured"] is None
    closed.tap("[data-do=measure-later]")
    closed.answer_stops()
    expect(closed.page.locator("#running")).to_contain_text("no cure below 5 °C")
    closed.page.clock.fast_forward("01:00:00")
    go_to(closed, "shut")
    closed.page.locator('.wait[data-wait="cured"] [data-do=measure]').click()
    measure(closed, "23", "°C", "50")
    closed.tap("#bay [data-do=changed]")
    assert lengths(closed)["cured"] == 24 * 3_600_000
    first, *_, last = cures(closed, "cured")
    assert last["data"]["began"] >= first["at"] + 3_600_000  # from now: the cold hour does not count


def test_a_cold_reading_that_was_wrong_costs_no_time(closed):
    measure(closed, "4", "°C", "50")
    measure(closed, "23", "°C", "50")
    closed.tap("#bay [data-do=wrong]")
    first, *_, last = cures(closed, "cured")
    assert (last["data"]["began"], last["data"]["length"]) == (first["at"], 24 * 3_600_000)


def test_a_bay_that_was_not_measured_does_not_end_a_cure(closed):
    closed.tap("[data-do=measure-later]")
    closed.answer_stops()
    closed.page.clock.fast_forward("25:00:00")
    assert "Sealant cures through: time is up" in closed.hear()
    expect(closed.page.locator("#running")).to_contain_text("measure the bay")
    go_to(closed, "fill")
    expect(closed.page.locator("#notice")).to_contain_text("Sealant cures through: measure the bay")


def test_the_bay_can_be_corrected_later_and_the_clock_keeps_its_beginning(closed):
    measure(closed, "23", "°C", "50")
    closed.answer_stops()
    closed.page.clock.fast_forward("10:00")
    go_to(closed, "shut")
    closed.page.locator('.wait[data-wait="cured"] [data-do=measure]').click()
    expect(closed.page.locator("#bay-temperature")).to_have_value("23")
    measure(closed, "13", "°C", "50")
    closed.tap("#bay [data-do=wrong]")
    first, *_, last = cures(closed, "cured")
    assert last["data"]["began"] == first["at"]
    assert last["data"]["length"] > first["data"]["length"]


@pytest.fixture
def cold_night(closed):
    """Twelve hours at 13 °C, and then the bay is given as 23 °C."""
    measure(closed, "13", "°C", "50")
    closed.answer_stops()
    closed.page.clock.fast_forward("12:00:00")
    go_to(closed, "shut")
    closed.page.locator('.wait[data-wait="cured"] [data-do=measure]').click()
    measure(closed, "23", "°C", "50")
    expect(closed.page.locator("#bay-verdict")).to_contain_text(
        "Until now the clock took the bay for 13 °C and 50 %. "
        "Was that reading wrong, or has the bay changed since?"
    )
    return closed


def test_a_warm_morning_cures_no_cold_night(cold_night):
    """Of a cure of 24 h × 2811.07 Pa / 1498 Pa (IAPWS-95), 12 h are done; the rest goes as the label says."""
    cold_night.tap("#bay [data-do=changed]")
    left = 1 - 12 / (24 * 2811.07 / 1498)
    assert lengths(cold_night)["cured"] / 3_600_000 == pytest.approx(12 + 24 * left, rel=0.005)
    place = clock_of(cold_night, "cured")
    place.locator("summary").click()
    expect(place.locator("ol")).to_contain_text(re.compile(r"12 h( \d min)? of a cure of 45 h"))
    expect(place.locator("ol")).to_contain_text("Left from")
    before = cures(cold_night, "cured")[0]
    assert cures(cold_night, "cured")[-1]["data"]["began"] == before["at"]


def test_what_is_asked_of_a_changed_bay_can_be_pressed_apart(cold_night):
    page = cold_night.page
    wrong = page.locator("#bay [data-do=wrong]").bounding_box()
    below = page.locator("#bay .verdict + .button").bounding_box()
    assert below["y"] - (wrong["y"] + wrong["height"]) >= 11.5
    cold_night.tap("#bay [data-do=changed]")
    how = clock_of(cold_night, "cured").locator("summary").bounding_box()
    change = clock_of(cold_night, "cured").locator("[data-do=measure]").bounding_box()
    assert change["y"] - (how["y"] + how["height"]) >= 11.5


def test_a_reading_that_was_wrong_never_counted(cold_night):
    cold_night.tap("#bay [data-do=wrong]")
    assert lengths(cold_night)["cured"] == 24 * 3_600_000


def test_the_bay_of_one_cure_is_the_bay_of_every_cure_that_runs(closed):
    measure(closed, "13", "°C", "50")
    closed.answer_stops()
    go_to(closed, "shut")
    closed.page.locator('.wait[data-wait="set"] [data-do=measure]').click()
    measure(closed, "-5", "°C", "50")
    closed.tap("#bay [data-do=changed]")
    expect(closed.page.locator("#bay-verdict")).to_contain_text("Refused: below 5 °C")
    closed.tap("[data-do=measure-later]")
    for wait in ("set", "cured"):
        assert lengths(closed)[wait] is None
        expect(clock_of(closed, wait).locator(".time")).to_contain_text("no cure below 5 °C")


def test_a_bay_figure_that_is_no_number_is_asked_for_again(closed):
    measure(closed, "warm", "°C", "50")
    expect(closed.page.locator("#bay-verdict")).to_contain_text("The temperature is no number")
    expect(closed.page.locator("#bay-temperature")).to_have_value("warm")


# --- Attended clocks


@pytest.fixture
def warming(at_noon):
    """Standing before the running engine, with the warm-up clock started."""
    go_to(at_noon, "warm")
    at_noon.tap("[aria-current] [data-do=begin]")
    return at_noon


def test_an_attended_clock_ends_when_its_time_is_up_and_all_is_seen(warming):
    place = clock_of(warming, "warming")
    end = warming.page.locator("[aria-current] [data-do=end]")
    end.click(force=True)  # it is marked as not to be pressed yet, and says why when it is
    expect(warming.page.locator("#said")).to_contain_text(
        "Not seen yet: The top hose is hot; The heater blows hot"
    )
    warming.tap("[aria-current] [data-do=see-0]")
    warming.tap("[aria-current] [data-do=see-1]")
    end.click(force=True)
    expect(warming.page.locator("#said")).to_contain_text("Its time is not up")
    warming.page.clock.fast_forward("02:01")
    warming.tap("[data-do=heard]")
    warming.tap("[aria-current] [data-do=end]")
    (ended,) = warming.log("wait-ended")
    assert set(ended["data"]["seen"]) == {"The top hose is hot", "The heater blows hot"}
    expect(place).to_contain_text("Ended")


def test_what_was_seen_survives_a_reload(warming):
    warming.tap("[aria-current] [data-do=see-0]")
    warming.page.reload()
    warming.page.wait_for_selector("html[data-live]")
    seen = clock_of(warming, "warming").locator("[data-do=see-0]")
    expect(seen).to_have_attribute("aria-pressed", "true")


def test_stop_asks_what_it_was_and_hazards_are_asked_again_after_it(warming):
    warming.tap("[aria-current] [data-do=halt]")
    expect(warming.page.locator("#halt .reasons button")).to_have_text(
        ["The gauge passes its mark", "Coolant runs", "Something else"]
    )
    warming.page.locator("#halt .reasons button", has_text="Coolant runs").click()
    (stopped,) = warming.log("wait-stopped")
    assert stopped["data"] == {"wait": "warming", "reason": "Coolant runs"}
    expect(clock_of(warming, "warming")).to_contain_text("Coolant runs")
    warming.tap("#to-overview")
    warming.tap('#overview [data-to="warm"]')
    assert warming.dialog == "stop"


def test_a_step_whose_clock_has_not_ended_is_not_ticked_without_a_question(warming):
    warming.done()
    assert warming.dialog == "ahead"
    expect(warming.page.locator("#ahead ul")).to_contain_text("Warm-up: has not ended")


# --- The phone's calendar


def test_a_clock_is_handed_to_the_calendar_with_no_network(at_noon):
    at_noon.page.wait_for_selector("html[data-offline=ready]", timeout=30_000)
    at_noon.page.reload()  # now under its worker
    at_noon.page.wait_for_selector("html[data-live]")
    at_noon.up_to("stud-off")
    at_noon.tap("#running")
    link = at_noon.page.locator("#now [data-do=calendar]").first.get_attribute("href")
    fetched = "link => fetch(link).then(async (r) => [r.headers.get('content-type'), await r.text()])"
    by_server = at_noon.page.context.request.get(at_noon.url + link).text()
    at_noon.page.context.set_offline(True)
    media_type, text = at_noon.page.evaluate(fetched, link)
    assert media_type.startswith("text/calendar")
    assert all(line.endswith("\r\n") and len(line.encode()) <= 77 for line in text.splitlines(keepends=True))
    (event,) = Calendar.from_ical(text).walk("VEVENT")
    due = at_noon.log("wait-begun")[0]["at"] + 5 * 60_000
    assert event["DTSTART"].dt == datetime.fromtimestamp(due // 1000, UTC)
    assert event["SUMMARY"] == "Last drips – Seal the cover under the hood lamp"
    assert [alarm["TRIGGER"].dt for alarm in event.walk("VALARM")] == [timedelta(0), timedelta(minutes=5)]
    (made,) = Calendar.from_ical(by_server).walk("VEVENT")
    for name in ("UID", "DTSTART", "SUMMARY", "DURATION"):
        assert made[name].to_ical() == event[name].to_ical(), name
