"""The followed job as the server makes it: one document, one style, and the worker that keeps it."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace

import brotli
import pytest

from webapp import places
from webapp.drawing import tightening
from webapp.pack.actions import Tighten, Turn
from webapp.pack.amounts import read_any
from webapp.pack.schema import Fasteners, Hazard
from webapp.web import create_app
from webapp.web.job import modules, phone

PACKS = Path(__file__).parents[2] / "e2e" / "job" / "packs"
FIRST_ROUND_TRIPS = 14_000  # bytes: ten segments before the first acknowledgement (RFC 6928)


class Elements(HTMLParser):
    """All start tags of a page."""

    def __init__(self, page):
        super().__init__()
        self.found = []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.found.append((tag, dict(attributes)))

    def named(self, attribute):
        return {attributes[attribute]: attributes for _, attributes in self.found if attribute in attributes}


@pytest.fixture(scope="module")
def shipped():
    """The program over the packs that ship."""
    return create_app(places.CONTENT)


@pytest.fixture(scope="module")
def lamp():
    """The program over the small pack that has one of everything, and that pack."""
    app = create_app(PACKS)
    return app, app.extensions["shelf"].by_slug("hood-lamp").pack


@pytest.fixture(scope="module")
def page(lamp):
    app, pack = lamp
    return app.test_client().get(f"/jobs/{pack.hash}").text


def test_one_document_holds_every_step_whatever_the_answers(lamp, page):
    app, pack = lamp
    assert set(Elements(page).named("data-step")) == {step.id for step in pack.steps}
    assert app.test_client().get(f"/jobs/{pack.hash}?stud=without&job=x").text == page


def test_no_id_stands_twice_in_the_document(page):
    ids = [attributes["id"] for _, attributes in Elements(page).found if "id" in attributes]
    assert sorted(ids) == sorted(set(ids))


def test_there_is_no_inline_script_and_no_style_attribute(page):
    for tag, attributes in Elements(page).found:
        assert "style" not in attributes
        assert not [name for name in attributes if name.startswith("on")]
        assert tag != "script" or "src" in attributes


def test_a_pack_that_is_not_there_is_told_so(lamp):
    app, _ = lamp
    response = app.test_client().get("/jobs/0123456789abcdef")
    assert response.status_code == 404
    assert "its pack has changed" in response.text


def test_photos_from_the_phones_own_store_may_be_shown(lamp):
    app, pack = lamp
    policy = app.test_client().get(f"/jobs/{pack.hash}").headers["Content-Security-Policy"]
    assert "img-src 'self' blob:;" in policy
    assert "unsafe" not in policy


def test_the_first_step_fits_into_the_first_round_trips(shipped):
    """Head, style, cover and first step of every pack, compressed; the headers of the answer count too."""
    packs = [shelved.pack for shelved in shipped.extensions["shelf"].every()]
    assert packs
    for pack in packs:
        response = shipped.test_client().get(f"/jobs/{pack.hash}")
        first = response.data[: response.data.index(b"</article>")]
        headers = len(str(response.headers).encode())
        assert len(brotli.compress(first, quality=5)) + headers < FIRST_ROUND_TRIPS, pack.slug


def test_page_and_scripts_stay_within_their_budget(shipped):
    client = shipped.test_client()
    files = [f"js/{name}" for name in [*modules(), "theme.js", "toggle.js"]]
    scripts = sum(len(brotli.compress(client.get(f"/static/{name}").data, quality=5)) for name in files)
    assert 10_000 < scripts < 60_000
    for shelved in shipped.extensions["shelf"].every():
        page = client.get(f"/jobs/{shelved.pack.hash}").data
        assert len(brotli.compress(page, quality=5)) + scripts < 120_000


def test_every_module_that_the_page_needs_is_named_early(page):
    """So they come side by side and not one after the other."""
    named = {
        Path(attributes["href"]).name
        for _, attributes in Elements(page).found
        if attributes.get("rel") == "modulepreload"
    }
    assert named == set(modules())
    assert {"job.js", "fold.js", "units.js", "cure.js"} <= named


def test_the_worker_keeps_every_script_and_style_and_is_looked_at_anew_each_time(lamp):
    app, _ = lamp
    client = app.test_client()
    response = client.get("/sw.js")
    assert response.headers["Cache-Control"] == "no-cache"
    assert response.mimetype == "text/javascript"
    (listed,) = re.findall(r"^const SHELL = (\[.*\])$", response.text, re.M)
    kept = json.loads(listed)
    assert "/" in kept
    for url in kept:
        assert client.get(url).status_code == 200, url
    names = {Path(url).name for url in kept}
    scripts = {path.name for path in (places.STATIC / "js").glob("*.js")}
    assert scripts
    assert scripts <= names


# --- What the modules are told


def test_a_step_tells_what_must_come_first_and_what_it_begins(lamp, page):
    steps = Elements(page).named("data-step")
    assert steps["warm"]["data-needs"] == "fill earth-on"
    assert steps["tight"]["data-after"] == "set"
    assert json.loads(steps["stud-off"]["data-when"]) == {"stud": ["with"]}
    assert json.loads(steps["earth-off"]["data-strips"]) == [["earth-off:earth", "earth lead off", True]]


def test_the_step_that_closes_a_joint_ends_the_open_time_of_its_bead(lamp, page):
    _, pack = lamp
    assert phone.closes(pack, pack.by_id["shut"]) == ["bead-open"]
    assert phone.closes(pack, pack.by_id["tight"]) == []
    assert Elements(page).named("data-step")["shut"]["data-closes"] == "bead-open"


def test_a_cure_carries_the_label_in_the_units_of_the_cure_clock(page):
    waits = Elements(page).named("data-wait")
    assert json.loads(waits["cured"]["data-cure"]) == {
        "label": 24 * 60,
        "clock": "full",
        "labelTemperature": 23,
        "labelHumidity": 50,
        "labelPath": 3,
        "path": 3,
    }
    assert json.loads(waits["set"]["data-cure"])["label"] == 60
    assert "data-cure" not in waits["drips"]


def test_a_clock_is_told_in_milliseconds(page):
    clock = json.loads(Elements(page).named("data-wait")["warming"]["data-clock"])
    assert (clock["least"], clock["most"], clock["attended"]) == (120_000, 900_000, True)
    assert clock["until"] == ["The top hose is hot", "The heater blows hot"]


@pytest.mark.parametrize(
    "text, units",
    [
        ("at most 50 °C", ["°C", "°F"]),
        ("12.4–12.8 V", ["V"]),
        ("18 lbf·ft", ["lbf·ft", "N·m"]),
        ("at most 10 kPa", ["kPa", "psi"]),
        ("at least 0.5 mm", ["mm", "in"]),
    ],
)
def test_a_reading_may_be_given_in_the_units_of_both_systems_the_authors_first(text, units):
    assert phone.units(read_any(text)) == units


def test_a_big_figure_keeps_its_bound_small():
    assert "<small>at most</small> 122 °F" in phone.big(read_any("at most 50 °C"))


@pytest.mark.parametrize(
    "words, whole",
    [
        ("Tighten: 4 × 1/4-20 UNC", "4 × 1/4-20"),  # ASME B1.1
        ("Undo 16 × M6x1, then look", "16 × M6x1"),  # ISO 965-1
        ("one #10-24 screw", "#10-24"),
        ("the M8x1.25 bolts", "M8x1.25"),
        ("the M10 stud", "M10"),
    ],
)
def test_a_thread_and_its_count_are_kept_on_one_line(words, whole):
    assert phone.threads_whole(words) == words.replace(whole, f'<span class="whole">{whole}</span>')


@pytest.mark.parametrize(
    "words", ["12.4–12.8 V", "steps 3-4-5", "model M-70", '<a href="#step-m8">x</a>', "4 × cloths"]
)
def test_what_is_no_thread_is_left_alone(words):
    assert phone.threads_whole(words) == words


def test_an_amount_is_told_as_written_only_where_it_is_shown_otherwise(lamp):
    _, pack = lamp
    told = phone.rewritten(pack.by_id["bead"])
    assert "10 min" not in told
    assert told["3 mm"] == ["0.118 in"]
    assert phone.rewritten(pack.by_id["tight"])["18 lbf·ft"] == ["24.5 N·m"]


def test_a_step_that_hangs_on_an_answer_says_so_in_words(lamp, page):
    _, pack = lamp
    assert phone.only_if(pack, pack.by_id["stud-off"].when) == ["Is there a long stud? – A long stud"]
    assert phone.only_if(pack, pack.by_id["tight"].when) == []
    assert page.count("Only if:") == 2


def test_every_step_that_tightens_a_pattern_shows_its_order(shipped):
    seen = 0
    for shelved in shipped.extensions["shelf"].every():
        whole = shipped.test_client().get(f"/jobs/{shelved.pack.hash}").text
        for step in shelved.pack.steps:
            start = whole.index(f'id="step-{step.id}"')
            text = whole[start : whole.index("</article>", start)]
            groups = {
                action.target()
                for action in step.actions
                if action.verb() in ("tighten", "turn")
                and shelved.pack.front.fasteners[action.target()].pattern
            }
            for name in groups:
                group = shelved.pack.front.fasteners[name]
                assert f"<title>Tightening order of {group.name}, bolts counted" in text, (step.id, name)
                seen += 1
    assert seen > 5


# --- Hazards: ANSI Z535.4/.6 and ISO 7010


SYMBOLS = list(Hazard.model_fields["symbol"].annotation.__args__)


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_symbol_is_a_yellow_triangle_with_a_black_edge(symbol):
    """ISO 7010 and ISO 3864-1: warning signs; signal yellow is RAL 1003, about #F9A800 on a screen."""
    drawn = (places.STATIC / "symbols" / f"{symbol}.svg").read_text("utf-8")
    assert '<path d="M56 8 104 91H8Z" fill="#f9a800" stroke="#2b2b2c"' in drawn
    assert re.search(r"<title>[A-Z][a-z -]+</title>", drawn)


def test_a_notice_has_no_symbol_and_no_fact(page):
    """ANSI Z535.4: a notice is never about injury."""
    lean = page[page.index('id="hazard-lean"') :]
    lean = lean[: lean.index("</article>")]
    assert "<img" not in lean
    assert "fact" not in lean


def test_danger_and_warning_are_answered_with_a_fact(page):
    for hazard in ("exhaust-gas", "battery", "scald", "moving-parts"):
        card = page[page.index(f'id="hazard-{hazard}"') :]
        card = card[: card.index("</article>")]
        assert 'class="fact live"' in card
        assert 'data-do="state"' in card or "data-range=" in card
        assert not re.search(r">\s*(OK|Ok|Okay)\s*<", card)


# --- Tightening bolt by bolt


def rounds(action, **more):
    """Return what the phone follows of a group of four bolts in a step with these actions."""
    group = Fasteners(name="bolts", count=4, thread="M8x1.25", pattern={"circle": 4}, **more)
    step = SimpleNamespace(actions=action)
    return phone.bolts(step, "bolts", group, tightening(group))["rounds"]


def test_after_the_last_pass_every_bolt_is_checked_at_the_full_figure():
    found = rounds([Tighten(tighten="bolts")], torque="20 N·m", passes=["50 %", "100 %"])
    assert [(one["id"], one["name"]) for one in found] == [
        ("1", "Pass 1 of 2"),
        ("2", "Pass 2 of 2"),
        ("check", "Check pass"),
    ]
    assert [one["figures"][0]["si"] for one in found] == ["10 N·m", "20 N·m", "20 N·m"]


def test_a_pass_that_is_not_the_last_is_not_checked_and_a_check_that_is_asked_for_comes_once():
    passes = {"torque": "20 N·m", "passes": ["50 %", "100 %"]}
    first, last = Tighten(tighten="bolts", **{"pass": 1}), Tighten(tighten="bolts", **{"pass": 2})
    check = Tighten(tighten="bolts", to="check")
    assert [one["id"] for one in rounds([first], **passes)] == ["1"]
    assert [one["id"] for one in rounds([last], **passes)] == ["2", "check"]
    assert [one["id"] for one in rounds([last, check], **passes)] == ["2", "check"]
    assert [one["id"] for one in rounds([check], **passes)] == ["check"]


def test_a_bolt_turned_by_an_angle_is_never_checked_by_a_click():
    whole = [Tighten(tighten="bolts"), Turn(turn="bolts")]
    found = rounds([*whole, Tighten(tighten="bolts", to="check")], torque="20 N·m", angle=["90°", "60°"])
    assert [one["id"] for one in found] == ["1", "turn 1", "turn 2"]
    assert found[1]["flats"].startswith("a quarter turn")
    assert rounds(whole[:1], torque="20 N·m", angle="90°")[-1]["id"] == "1"


def test_where_no_figure_exists_none_is_made_up():
    for found in (
        rounds([Tighten(tighten="bolts")], snug=True),
        rounds([Tighten(tighten="bolts", to="finger-tight")], torque="20 N·m"),
    ):
        assert [one["figures"] for one in found] == [[]]


def test_the_wrench_is_given_the_middle_of_a_range_and_the_authors_band():
    ((ranged,), (limited,), (plain,)) = (
        rounds([Tighten(tighten="bolts")], torque=text)[0]["figures"]
        for text in ("20–24 N·m", "at most 24 N·m", "24 N·m")
    )
    assert (ranged["wanted"], ranged["low"], ranged["high"]) == (22, 20, 24)
    assert (limited["wanted"], limited["high"]) == (24, 24)
    assert limited["low"] == pytest.approx(21.6)
    assert "low" not in plain


def test_bolts_with_a_figure_of_their_own_are_told_by_their_places():
    lengths = [
        {"length": "20 mm", "count": 2, "at": [1, 3]},
        {"length": "40 mm", "count": 2, "at": [2, 4], "torque": "30 N·m"},
    ]
    (others, own) = rounds([Tighten(tighten="bolts")], torque="20 N·m", lengths=lengths)[0]["figures"]
    assert (others["si"], "at" in others) == ("20 N·m", False)
    assert (own["si"], own["at"]) == ("30 N·m", [2, 4])


def test_a_step_without_a_drawn_pattern_offers_nothing_to_follow(lamp, page):
    followed = Elements(page).named("data-bolts")
    groups = [json.loads(plan)["group"] for plan in followed]
    assert groups == ["bolts"] * len(groups)
    assert page.count('data-do="bolts"') == len(re.findall(r'class="order"', page)) > 0
