"""The bench answers by a plain link, keeps what was typed, and says what is wrong beside its field."""

import html
import re
from html.parser import HTMLParser
from urllib.parse import urlencode

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from webapp import figures
from webapp.figures import FIGURES
from webapp.trade.answer import Answer, Ask, Declared, Line
from webapp.trade.answer import line as said
from webapp.trade.quantities import Q_

assert FIGURES, "a test over no figures would pass by looking at nothing"
every_figure = pytest.mark.parametrize("declared", FIGURES, ids=lambda declared: declared.name)

HTMX = {"HX-Request": "true"}


class Ids(HTMLParser):
    """Which ids a page has, and which its attributes name."""

    def __init__(self, text):
        super().__init__()
        self.ids, self.named = [], set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name == "id":
                self.ids.append(value)
            if name in ("for", "aria-describedby", "aria-labelledby"):
                self.named |= set(value.split())


def torque_curve(speed, note, runs):
    figure = said("Torque", Q_(25, "newton * meter"), "N·m", "torque")
    return Answer(
        {"speed": speed},
        (figure, Line("Note", note or "none"), Line("Runs", runs or "none")),
        ("25 N·m = 25 N·m",),
        "common practice, no source",
        "Up to 50 °C",
        ("Keep <clear> of the belt at 80 °C",),
        ("speed, rpm", "torque, N·m"),
        {"before": ((2000, 150), (3000, 170)), "after": ((2000, 146), (3000, 168))},
    )


LINED = Declared(
    "lined",
    "A figure for the test",
    "Has a note and a curve",
    (
        Ask("speed", "How fast?", "speed", "3000 rpm"),
        Ask("note", "Note", "text", "none", required=False),
    ),
    lambda speed, note="": torque_curve(speed, note, ""),
)
TABLED = Declared(
    "tabled",
    "A figure of a table",
    "Reads a run",
    (
        Ask("speed", "How fast?", "speed", "3000 rpm"),
        Ask("runs", "The run", "text", "rpm,N·m\n2000,150\n3000,170"),
    ),
    lambda speed, runs: torque_curve(speed, "", runs),
)


@pytest.fixture
def bench(client, monkeypatch):
    """A client that also meets the figures of this test."""
    monkeypatch.setattr(figures, "FIGURES", (*FIGURES, LINED, TABLED))
    return client


def link(declared, **texts):
    return f"/bench/{declared.name}?{urlencode(texts)}"


# --- Every figure


def test_the_bench_has_a_card_for_every_figure_with_what_it_is_for(client):
    page = html.unescape(client.get("/bench").text)
    for declared in FIGURES:
        assert f'href="/bench/{declared.name}"' in page
        assert f"<strong>{declared.title}</strong>" in page
        assert declared.what.rstrip(".") in page


@every_figure
def test_a_figure_first_asks_and_says_nothing_of_an_answer(client, declared):
    page = client.get(f"/bench/{declared.name}").text
    assert "answer-is" not in page
    assert "aria-invalid" not in page
    for ask in declared.asks:
        assert f'name="{ask.name}"' in page
        assert ask.ask in html.unescape(page)


@every_figure
def test_the_example_fills_every_field_and_is_answered(client, declared):
    page = client.get(f"/bench/{declared.name}?fill-in=example").text
    text = html.unescape(page)
    assert '<h2 id="answer-is" tabindex="-1">Answer</h2>' in page
    assert "aria-invalid" not in page
    answer = figures.answer(declared.name, figures.examples(declared))
    for words in (*answer.working, answer.source):
        assert words in text
    for ask in declared.asks:
        assert f'value="{ask.example}"' in text or f">\n{ask.example}</textarea>" in text


@every_figure
def test_every_label_and_description_names_something_that_is_there_once(client, declared):
    for address in (f"/bench/{declared.name}", f"/bench/{declared.name}?fill-in=example"):
        found = Ids(client.get(address).text)
        assert len(set(found.ids)) == len(found.ids)
        assert found.named <= set(found.ids)
        assert {f"field-{ask.name}" for ask in declared.asks} <= found.named | set(found.ids)


@every_figure
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_text_in_any_field_gives_a_page(client, declared, data):
    texts = {ask.name: data.draw(st.text(max_size=40) | st.just(ask.example)) for ask in declared.asks}
    for headers in ({}, HTMX):
        assert client.post(f"/bench/{declared.name}", data=texts, headers=headers).status_code == 200


# --- One figure


def test_an_answer_is_a_link(bench):
    page = bench.get(link(LINED, speed="3000 rpm", note="left bank")).text
    assert ">Answer</h2>" in page
    assert "left bank" in page
    assert 'value="3000 rpm"' in page


def test_a_figure_in_the_answer_follows_the_unit_toggle(bench):
    page = bench.get(link(LINED, speed="3000 rpm")).text
    assert '<span class="q-us">221 lbf·in</span> <span class="q-si">25 N·m</span>' in page


def test_prose_is_not_converted_where_it_may_tell_a_difference(bench):
    """“Up to 0.5 °C too much” is not 33 °F too much."""
    page = bench.get(link(LINED, speed="3000 rpm")).text
    assert "of the belt at 80 °C</li>" in page
    assert "<dd>Up to 50 °C</dd>" in page


def test_what_the_trade_says_is_words_and_never_markup(bench):
    assert "Keep &lt;clear&gt; of the belt" in bench.get(link(LINED, speed="3000 rpm")).text


def test_what_was_typed_is_never_lost_nor_taken_for_markup(bench):
    page = bench.get(link(LINED, speed='"><script>x', note="kept")).text
    assert "<script>x" not in page
    assert 'value="&#34;&gt;&lt;script&gt;x"' in page
    assert 'value="kept"' in page


def test_what_is_wrong_stands_beside_its_field_and_leads_to_it(bench):
    page = bench.get(link(LINED, speed="3000", note="")).text
    field = re.search(r'<input[^>]*name="speed"[^>]*>', page)[0]
    assert 'aria-invalid="true"' in field
    assert 'aria-describedby="problem-speed' in field
    problem = html.unescape(re.search(r'<p class="problem" id="problem-speed">(.*?)</p>', page, re.S)[1])
    assert "“3000” has no unit" in problem
    assert "3000 rpm" in problem
    assert 'href="#field-speed"' in page
    assert "aria-invalid" not in re.search(r'<input[^>]*name="note"[^>]*>', page)[0]


def test_a_choice_that_is_none_is_kept_and_asked_back(client):
    declared = next(one for one in FIGURES if any(ask.kind == "choice" and ask.required for ask in one.asks))
    ask = next(ask for ask in declared.asks if ask.kind == "choice" and ask.required)
    page = client.get(link(declared, **{**figures.examples(declared), ask.name: "nonesuch"})).text
    assert '<option value="nonesuch" selected>' in page
    assert "“nonesuch” is none of the choices" in page


def test_htmx_gets_the_answer_alone_and_the_words_for_each_field(bench):
    part = bench.get(link(LINED, speed="3000"), headers=HTMX)
    assert "<html" not in part.text
    assert "<form" not in part.text
    assert 'id="problem-speed" hx-swap-oob="true"' in part.text
    assert 'id="problem-note" hx-swap-oob="true"></p>' in part.text
    assert "HX-Request" in part.headers["Vary"]


def test_a_page_that_htmx_lost_comes_back_whole(bench):
    whole = bench.get(link(LINED, speed="3 rpm"), headers={**HTMX, "HX-History-Restore-Request": "true"})
    assert "<html" in whole.text


def test_keys_that_are_not_asked_are_left_alone(bench):
    """A link that somebody's mail program added something to still answers."""
    assert ">Answer</h2>" in bench.get(link(LINED, speed="3000 rpm", utm="x")).text
    assert "answer-is" not in bench.get(link(LINED, utm="x")).text


def test_there_is_no_such_figure_and_the_one_that_was_meant_is_named(bench):
    missing = bench.get("/bench/lind")
    assert missing.status_code == 404
    assert "did you mean “lined”?" in missing.text


def test_the_bench_is_found_from_every_page(client):
    for address in ("/", "/authors", "/nope"):
        assert 'href="/bench"' in client.get(address).text


# --- Tables and curves


def test_a_table_is_sent_in_the_body_and_kept(bench):
    page = bench.get("/bench/tabled").text
    assert 'method="post"' in page
    assert "hx-post" in page
    answer = bench.post("/bench/tabled", data={"speed": "3000 rpm", "runs": "rpm,N·m\n\n1,2 </textarea>"})
    assert "1,2 &lt;/textarea&gt;" in answer.text
    assert ">Answer</h2>" in answer.text
    assert "Set-Cookie" not in answer.headers


def test_a_table_that_is_too_long_is_refused_in_words(bench):
    rows = "2000,150\n" * 25_000
    page = bench.post("/bench/tabled", data={"speed": "3000 rpm", "runs": rows}).text
    assert "The table is 225 kB long" in page
    refused = bench.post("/bench/tabled", data={"speed": "3000 rpm", "runs": rows * 10})
    assert refused.status_code == 400
    assert "fewer rows" in refused.text


def test_a_curve_is_drawn_read_out_and_there_as_a_table(bench):
    page = bench.get(link(LINED, speed="3000 rpm")).text
    assert "<title>A figure for the test</title>" in page
    assert "stroke-dasharray" in page
    assert re.search(r"<caption>after</caption>.*<td>2000</td><td>146</td>", page, re.S)


def test_a_worked_out_order_is_drawn(client):
    page = client.get("/bench/order?layout=circle&bolts=8&torque=48+N%C2%B7m").text
    turns = dict(re.findall(r'data-bolt="(\d+)" data-turn="(\d+)"', page))
    assert turns == {"1": "1", "5": "2", "3": "3", "7": "4", "2": "5", "6": "6", "4": "7", "8": "8"}
    assert "The numbers say when each bolt comes." in page


@pytest.mark.parametrize("name, first", [("adapter", "wanted"), ("adapter-gives", "setting")])
def test_an_adapter_is_drawn_at_its_angle(client, name, first):
    page = client.get(f"/bench/{name}?{first}=40+N%C2%B7m&length=300+mm&extension=100+mm&angle=90%C2%B0").text
    drawn = re.search(r'<svg class="adapter".*?</svg>', page)[0]
    assert "stands at 90° to the line of the handle" in drawn
    (lever,) = re.findall(r'stroke-width="9" d="M24 62H(\S+)"', drawn)
    x, y = re.search(r'<circle cx="(\S+)" cy="(\S+)"', drawn).groups()
    assert float(x) == float(lever)  # square to the handle
    assert float(y) - 62 == pytest.approx((float(lever) - 24) / 3, abs=0.2)  # 100 mm of 300 mm


def test_many_fields_that_may_be_left_blank_are_folded_away_until_one_is_filled_in(client):
    asked = "/bench/adapter?wanted=40+N%C2%B7m&length=300+mm&extension=100+mm"
    assert '<details class="more">' in client.get(asked).text
    assert '<details class="more" open>' in client.get(f"{asked}&angle=90%C2%B0").text
    assert 'class="more"' not in client.get("/bench/convert").text
