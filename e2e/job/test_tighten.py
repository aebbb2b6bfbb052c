"""A joint of nine bolts in three passes, followed on the phone, interrupted, with a wrench of one's own."""

import re

import pytest
from playwright.sync_api import expect

from webapp.compile import compile_folder
from webapp.drawing import tightening

NINE = """---
format: 1
title: Put the cover with nine bolts back
vehicle: Nobody's Bench, a cover on a stand (invented)
invented: true
summary: A joint that is tightened in three passes.
for: Whoever tests the phone.
not-for: [Any vehicle]
units: us
opening: {engine: cold, earth: on, wheels: on-ground}
sources:
  made-up: {kind: invented, title: Figures made up for the tests}
items:
  cover: {kind: part, name: cover}
fasteners:
  bolts:
    name: cover bolts
    count: 9
    thread: M8x1.25
    class: 8.8
    head: 13 mm hex
    into: aluminium
    torque: 20 lbf·ft
    passes: [40 %, 70 %, 100 %]
    pattern: {rows: [5, 4]}
    threads: dry
    figure-for: dry
    joint: bracket
    holds: [cover]
    source: made-up
  studs:
    name: stud nuts
    count: 2
    thread: M8x1.25
    class: 8.8
    head: 13 mm hex
    into: steel
    torque: 10 lbf·ft
    angle: 90°
    pattern: {row: 2}
    threads: dry
    figure-for: dry
    joint: bracket
    holds: [cover]
    source: made-up
tools:
  wrench: {name: torque wrench, wrench: {range: 5–40 lbf·ft, graduation: 1 lbf·ft}}
---

# Off {#off}

## Take the cover off {#cover-off}

```step
hands-on: 2 min
actions:
  - undo: bolts
  - undo: studs
  - remove: cover
```

Lay it down.

# On {#on}

## Tighten the cover {#tight}

```step
hands-on: 6 min
tools: [wrench]
actions:
  - refit: cover
  - start-by-hand: bolts
  - start-by-hand: studs
  - tighten: bolts
```

From the middle outwards.

## Tighten the nuts {#nuts}

```step
hands-on: 2 min
tools: [wrench]
actions:
  - tighten: studs
  - turn: studs
```

Then a quarter turn.
"""
SAY = "#bolts-say"


@pytest.fixture(scope="module")
def nine(tmp_path_factory):
    """The folder of a pack with nine bolts in three passes, and the pack."""
    folder = tmp_path_factory.mktemp("nine")
    (folder / "nine").mkdir()
    (folder / "nine" / "pack.md").write_text(NINE, encoding="utf-8")
    result = compile_folder(folder / "nine")
    assert [found for found in result.findings if found.severity == "error"] == []
    return folder, result.pack


@pytest.fixture(scope="module")
def nine_server(server, nine, tmp_path_factory):
    started = type(server)(nine[0], tmp_path_factory.mktemp("nine-said") / "said.txt").start()
    yield started
    started.stop()


@pytest.fixture
def joint(page, nine_server, nine, follower):
    """A phone that stands on the step with the nine bolts."""
    return follower(page, nine_server.url, nine[1])


@pytest.fixture(scope="module")
def order(nine):
    return tightening(nine[1].front.fasteners["bolts"]).order


def at_the_joint(follow, ready=False):
    follow.open(ready=ready).begin().up_to("tight")
    return follow


def begin(follow):
    follow.tap("[aria-current] [data-do=bolts]")
    expect(follow.page.locator("#bolts")).to_be_visible()


def says(follow, text):
    expect(follow.page.locator(SAY)).to_have_text(text)


def turn(follow, bolts):
    for bolt in bolts:
        expect(follow.page.locator("#bolts-done")).to_contain_text(f"Bolt {bolt} ")
        follow.tap("#bolts-done")


def add_wrench(follow, unit, least, most, graduation, months=""):
    """Put a wrench into the kit, which is open."""
    page = follow.page
    follow.tap("#kit-add")
    page.locator("#kit-wrench .units label", has_text=re.compile(f"^{re.escape(unit)}$")).click()
    for name, value in (("least", least), ("most", most), ("graduation", graduation), ("months", months)):
        page.fill(f"#kit-wrench [name={name}]", value)
    follow.tap("#kit-wrench .button-main")


def marks(follow):
    """Return the bolts on the drawing by what they are."""
    found = follow.page.evaluate(
        "[...document.querySelectorAll('#bolts .bolt')].map(({dataset: {bolt, is}}) => [is, Number(bolt)])"
    )
    return {is_: sorted(bolt for each, bolt in found if each == is_) for is_ in ("done", "next", "open")}


def test_nine_bolts_in_three_passes_are_followed_offline_and_interrupted(joint, order, told):
    follow = at_the_joint(joint, ready=True)
    page = follow.page
    page.context.set_offline(True)
    begin(follow)
    says(follow, f"Pass 1 of 3, bolt {order[0]}, 0 of 9 done")
    expect(page.locator("#bolts-figure")).to_contain_text("8 lbf·ft")
    turn(follow, order)
    says(follow, f"Pass 2 of 3, bolt {order[0]}, 0 of 9 done")
    expect(page.locator("#bolts-figure")).to_contain_text("14 lbf·ft")
    turn(follow, order[:4])
    says(follow, f"Pass 2 of 3, bolt {order[4]}, 4 of 9 done")
    assert marks(follow) == {
        "done": sorted(order[:4]),
        "next": [order[4]],
        "open": sorted(order[5:]),
    }
    assert page.locator("#bolts .bolt[data-is=done] .tick").all_text_contents() == ["✓"] * 4

    page.reload()  # somebody calls; the phone is laid down and the page thrown away
    page.wait_for_selector("html[data-live]")
    assert follow.step == "tight"
    control = page.locator("[aria-current] [data-do=bolts]")
    expect(control).to_have_text("Go on bolt by bolt: pass 2, 4 of 9 done")
    begin(follow)
    says(follow, f"Pass 2 of 3, bolt {order[4]}, 4 of 9 done")

    turn(follow, order[4:5])
    follow.tap("#bolts-undo")
    says(follow, f"Pass 2 of 3, bolt {order[4]}, 4 of 9 done")
    turn(follow, order[4:])
    turn(follow, order)
    says(follow, f"Check pass, bolt {order[0]}, 0 of 9 done")
    expect(page.locator("#bolts-figure")).to_contain_text("20 lbf·ft")
    expect(page.locator("#bolts-set")).to_contain_text("None may turn")
    turn(follow, order)
    says(follow, "All 9 bolts are done")
    follow.tap("#bolts-done")
    assert follow.dialog is None
    expect(control).to_have_text("✓ Tightened bolt by bolt")
    follow.done()
    assert follow.dialog is None, "nothing is open when every bolt is done"
    assert follow.step == "nuts"

    turned = [(entry["data"]["pass"], entry["data"]["bolt"]) for entry in follow.log("bolt-turned")]
    again = turned.index(("2", order[4]))
    assert turned == [*((pass_, bolt) for pass_ in ("1", "2") for bolt in order)][: again + 1] + [
        ("2", bolt) for bolt in order[4:]
    ] + [(pass_, bolt) for pass_ in ("3", "check") for bolt in order]
    (back,) = follow.log("bolt-taken-back")
    assert back["data"] == {"group": "bolts", "pass": "2", "bolt": order[4]}
    assert {entry["step"] for entry in follow.log("bolt-turned")} == {"tight"}
    assert [said for said in told if "ERR_INTERNET_DISCONNECTED" not in said] == []


def test_a_bolt_that_turned_in_the_check_begins_the_check_anew(joint, order):
    page = joint.page
    page.set_viewport_size({"width": 360, "height": 740})
    follow = at_the_joint(joint)
    begin(follow)
    follow.tap("[data-do=kit-open]")
    add_wrench(follow, "N·m", "5", "50", "1", "14")
    follow.tap("[data-do=kit-leave]")
    turn(follow, order * 3)
    turn(follow, order[:2])
    again, hold = (page.locator(one).bounding_box() for one in ("#bolts-again", "#bolts .hold"))
    assert again["y"] + again["height"] <= hold["y"] + 1, "it is seen without moving the page"
    follow.tap("#bolts-again")
    says(follow, f"Check pass, bolt {order[0]}, 0 of 9 done")


def test_ticking_with_bolts_open_asks_first_and_names_them_only_when_they_were_begun(joint, order):
    follow = at_the_joint(joint)
    begin(follow)
    turn(follow, order[:5])
    follow.tap("#bolts-leave")
    follow.done()
    assert follow.dialog == "ahead"
    open_ = f"Bolts not done: pass 1, bolt {order[5]} and 3 more; pass 2; pass 3; check pass"
    assert follow.page.locator("#ahead li").all_inner_texts() == [open_]
    follow.tap("#ahead [data-do=do-anyway]")
    assert follow.log("step-done")[-1]["data"]["open"] == [open_]
    assert follow.step == "nuts"
    follow.done()  # an aid: what was not begun bolt by bolt is ticked as ever
    assert follow.dialog is None


def test_after_a_turn_by_an_angle_there_is_no_check_by_click(joint):
    follow = at_the_joint(joint)
    follow.done()
    assert follow.step == "nuts"
    begin(follow)
    order = tightening(follow.pack.front.fasteners["studs"]).order
    turn(follow, order)
    says(follow, f"Turn, bolt {order[0]}, 0 of 2 done")
    expect(follow.page.locator("#bolts-figure")).to_have_text("90°")
    expect(follow.page.locator("#bolts-set")).to_contain_text("a quarter turn")
    turn(follow, order)
    says(follow, "All 2 bolts are done")
    follow.tap("#bolts-again")  # once is not enough
    says(follow, "All 2 bolts are done")
    follow.tap("#bolts-again")
    says(follow, f"Pass 1 of 1, bolt {order[0]}, 0 of 2 done")


def test_a_second_tab_shows_the_bolts_of_the_first(joint, order):
    follow = at_the_joint(joint)
    other = follow.page.context.new_page()
    other.goto(follow.page.url)
    other.wait_for_selector("html[data-live]")
    other.locator("[aria-current] [data-do=bolts]").click()
    begin(follow)
    turn(follow, order[:2])
    expect(other.locator(SAY)).to_have_text(f"Pass 1 of 3, bolt {order[2]}, 2 of 9 done")


# --- The kit


def test_a_wrench_is_entered_once_and_its_setting_stands_in_its_own_unit(joint, order):
    follow = at_the_joint(joint)
    page = follow.page
    begin(follow)
    expect(page.locator("#bolts-set")).to_contain_text("Put your torque wrench into the kit")
    follow.tap("[data-do=kit-open]")
    add_wrench(follow, "N·m", "5", "50", "1", "14")
    add_wrench(follow, "N·m", "40", "200", "5")
    assert page.locator("#kit-wrenches b").all_inner_texts() == ["5–50 N·m", "40–200 N·m"]
    follow.tap("[data-do=kit-leave]")
    # 8 lbf·ft are 10.8 N·m, and 5–50 N·m is true from 10 N·m on
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 11 N·m")
    follow.tap("#bolts-set summary")
    expect(page.locator("#bolts-set details")).to_contain_text("Calibrated 14 months ago")
    page.reload()
    page.wait_for_selector("html[data-live]")
    begin(follow)
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 11 N·m")
    turn(follow, order)
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 19 N·m")  # 14 lbf·ft are 18.98 N·m


def test_an_adapter_lowers_the_setting_of_the_wrench_that_it_sits_on(joint):
    follow = at_the_joint(joint)
    page = follow.page
    begin(follow)
    follow.tap("[data-do=kit-open]")
    add_wrench(follow, "lbf·in", "30", "200", "1")
    for name, value in (("lever", "10"), ("extension", "2"), ("angle", "0")):
        page.fill(f"#kit-adapter [name={name}]", value)
    page.locator("#kit-adapter .units label", has_text=re.compile("^in$")).click()
    follow.tap("#kit-adapter .button")
    expect(page.locator("#kit-said")).to_have_text("Kept: the adapter")
    follow.tap("[data-do=kit-leave]")
    # 8 lbf·ft are 96 lbf·in; × 10 / (10 + 2) = 80 lbf·in
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 80 lbf·in")
    follow.tap("#bolts-set [aria-pressed]")
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 96 lbf·in")
    expect(page.locator("#bolts-set [aria-pressed]")).to_have_attribute("aria-pressed", "false")


def test_a_figure_that_no_wrench_holds_is_refused_with_the_range_that_would(joint):
    follow = at_the_joint(joint)
    begin(follow)
    follow.tap("[data-do=kit-open]")
    add_wrench(follow, "N·m", "40", "200", "5")
    follow.tap("[data-do=kit-leave]")
    expect(follow.page.locator("#bolts-set")).to_contain_text("Use one that ends at 8 to 40 lbf·ft")
    expect(follow.page.locator("#bolts-set .dial")).to_have_count(0)


def test_what_is_wrong_with_a_wrench_is_said_beside_its_field_and_nothing_is_kept(joint):
    follow = joint
    follow.open(ready=False).begin()
    page = follow.page
    follow.tap("#to-overview")
    follow.tap("#to-kit")
    add_wrench(follow, "N·m", "60", "ten", "")
    for name, text in (("most", "That is no number"), ("graduation", "That is no number")):
        expect(page.locator(f"#kit-wrench-{name}-said")).to_contain_text(text)
        expect(page.locator(f"#kit-wrench-{name}")).to_have_attribute("aria-invalid", "true")
    assert page.evaluate("document.activeElement.name") == "most"
    expect(page.locator("#kit-wrenches li")).to_have_count(0)
    for values, field in (
        (("60", "10", "1", ""), "most"),
        (("10", "60", "60", ""), "graduation"),
        (("10", "60", "1", "-2"), "months"),
    ):
        for name, value in zip(("least", "most", "graduation", "months"), values, strict=True):
            page.fill(f"#kit-wrench-{name}", value)
        follow.tap("#kit-wrench .button-main")
        said = page.locator("#kit-wrench .verdict:not(:empty)")
        expect(said).to_have_count(1)
        expect(said).to_have_id(f"kit-wrench-{field}-said")
    page.fill("#kit-wrench-months", "")
    page.fill("#kit-wrench-graduation", "0,5")
    follow.tap("#kit-wrench .button-main")
    expect(page.locator("#kit-wrenches li")).to_contain_text("marks 0.5 N·m")


def test_what_is_removed_from_the_kit_comes_back_by_undo(joint):
    follow = joint
    follow.open(ready=False).begin()
    page = follow.page
    follow.tap("#to-overview")
    follow.tap("#to-kit")
    add_wrench(follow, "lbf·ft", "10", "75", "1")
    follow.tap("#kit-wrenches [aria-label^=Remove]")
    expect(page.locator("#kit-wrenches li")).to_have_count(0)
    follow.tap("[data-do=kit-undo]")
    expect(page.locator("#kit-wrenches b")).to_have_text("10–75 lbf·ft")
    follow.tap("#kit-wrenches [aria-label^=Change]")
    page.fill("#kit-wrench-most", "80")
    follow.tap("#kit-wrench .button-main")
    expect(page.locator("#kit-wrenches b")).to_have_text("10–80 lbf·ft")
    page.locator("#kit-drills label", has_text="Letter sizes").click()
    expect(page.locator("#kit-said")).to_have_text("Drills: letters")
    page.reload()
    page.wait_for_selector("html[data-live]")
    follow.tap("#to-kit")
    expect(page.locator("#kit-wrenches b")).to_have_text("10–80 lbf·ft")
    assert page.locator("#kit-drills input:checked").evaluate_all("all => all.map(({value}) => value)") == [
        "letter"
    ]


# --- For every hand and eye


def bring_up(follow, screen):
    at_the_joint(follow)
    begin(follow)
    if screen != "bolts":
        follow.tap("[data-do=kit-open]")
        if screen == "kit-form":
            follow.tap("#kit-add")
            return
        add_wrench(follow, "N·m", "5", "50", "1", "14")
        for name, value in (("lever", "350"), ("extension", "40"), ("angle", "")):
            follow.page.fill(f"#kit-adapter [name={name}]", value)
        follow.tap("#kit-adapter .button")
    if screen == "bolts-set":
        follow.tap("[data-do=kit-leave]")
        turn(follow, tightening(follow.pack.front.fasteners["bolts"]).order[:3])


@pytest.mark.parametrize("screen", ["bolts", "bolts-set", "kit", "kit-form"])
def test_every_screen_of_it_is_accessible_and_big_enough_for_a_glove(joint, screen, violations):
    page = joint.page
    page.set_viewport_size({"width": 360, "height": 740})
    bring_up(joint, screen)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == [], scheme
    sizes = page.locator("dialog[open]").last.evaluate(
        """dialog => [...dialog.querySelectorAll("button, input, select")]
          .map((one) => one.closest("label.choice, .units label") ?? one)
          .filter((one) => one.checkVisibility())
          .map((one) => [one.innerText || one.name, one.getBoundingClientRect()])
          .map(([words, { width, height, left, right }]) => [words, width, height, left, right])"""
    )
    assert sizes
    assert [one for one in sizes if min(one[1:3]) < 63.5 or one[3] < 0 or one[4] > 360] == []


@pytest.mark.parametrize("size", [(360, 740), (320, 568), (412, 839)])
def test_the_control_of_the_next_bolt_lies_whole_at_the_bottom_under_the_thumb(joint, size):
    page = joint.page
    page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
    bring_up(joint, "bolts-set")
    box = page.locator("#bolts-done").bounding_box()
    assert box["height"] >= 88
    assert size[1] - 40 < box["y"] + box["height"] <= size[1]
    assert page.evaluate("document.querySelector('#bolts').scrollWidth") <= size[0]


def test_escape_and_the_browsers_back_leave_panel_and_kit(joint, order):
    follow = at_the_joint(joint)
    page = follow.page
    begin(follow)
    follow.tap("[data-do=kit-open]")
    add_wrench(follow, "lbf·ft", "5", "40", "1")
    page.keyboard.press("Escape")
    expect(page.locator("#bolts-set .dial")).to_have_text("Set 8 lbf·ft")
    page.keyboard.press("Escape")
    assert follow.dialog is None
    begin(follow)
    follow.tap("[data-do=kit-open]")
    page.go_back()
    page.wait_for_timeout(200)
    assert follow.dialog is None
    assert follow.step == "cover-off"
