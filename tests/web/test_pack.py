"""The front page of a pack: what somebody must know before the first bolt is touched."""

import re
from html import unescape

import pytest

from .conftest import ADDRESS


def text_of(response):
    """What a page says, without its tags."""
    body = re.sub(r"<(style|script|head)\b.*?</\1>", " ", response.text, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_the_page_says_what_the_job_is_who_may_do_it_and_what_it_is_not_for(client):
    said = text_of(client.get("/packs/drain-plug"))
    for part in (
        "Renew the drain plug washer",
        "Hobbleton 4 site dumper, invented",
        "Anybody who has changed oil before.",
        "The oil comes out, a new washer goes in.",
        "A stripped thread in the sump",
    ):
        assert part in said


def test_an_invented_pack_says_so_before_anything_else_can_be_read_as_true(client):
    said = text_of(client.get("/packs/drain-plug"))
    assert "never use these figures on a vehicle" in said
    assert said.index("never use these figures") < said.index("Hobbleton 4")


def test_a_pack_that_is_not_invented_carries_no_such_banner(tmp_path):
    from webapp.web import create_app

    from .conftest import PACKS

    source = (PACKS / "drain-plug" / "pack.md").read_text("utf-8")
    (tmp_path / "drain-plug").mkdir()
    (tmp_path / "drain-plug" / "pack.md").write_text(
        source.replace("invented: true", "invented: false"), "utf-8"
    )
    said = text_of(create_app(tmp_path).test_client().get("/packs/drain-plug"))
    assert "Renew the drain plug washer" in said
    assert "never use these figures" not in said


def test_hazards_stand_in_the_order_of_their_signal_words_whatever_order_the_step_names_them_in(client, pack):
    page = client.get("/packs/drain-plug").text
    words = [pack.hazards[name].word for name in ("waste", "hot-metal")]
    assert len(set(words)) == 2
    found = re.findall(r'class="hazard hazard-(\w+)"', page)
    assert found == sorted(words, key=["danger", "warning", "caution", "notice"].index)


def test_the_kit_follows_from_the_steps(client):
    said = text_of(client.get("/packs/drain-plug?tray=none"))
    assert "1 × drain plug washer Choose by: bore and thickness" in said
    assert "1 × torque wrench" in said
    assert "engine oil" in said


def test_the_range_of_the_torque_wrench_stands_beside_it_in_both_units(client):
    page = client.get("/packs/drain-plug").text
    assert "10–80 lbf·ft" in page
    # 1 lbf·ft = 1.355818 N·m (NIST SP 811, appendix B.8): 13.56 to 108.47 N·m, rounded inwards.
    assert "13.6–108.4 N·m" in page


@pytest.mark.parametrize(
    "answers, there, away",
    [
        ("tray=none", [], ["tray screws", "clip lever", "Tray on again"]),
        ("tray=fitted&clips=clips", ["clip lever"], ["tray screws"]),
        ("tray=fitted&clips=screws", ["tray screws"], ["clip lever"]),
        ("", ["tray screws", "clip lever"], []),
    ],
)
def test_answers_choose_parts_and_tools(client, answers, there, away):
    for address in ("/packs/drain-plug", "/packs/drain-plug/kit"):
        said = text_of(client.get(f"{address}?{answers}"))
        assert [word for word in there if word not in said] == []
        assert [word for word in away if word in said] == []


def test_an_answer_that_is_no_longer_asked_for_counts_for_nothing(client):
    """Without a tray nobody asks what holds it, so its screws are not ordered."""
    assert "tray screws" not in text_of(client.get("/packs/drain-plug?tray=none&clips=screws"))


@pytest.mark.parametrize(
    "answers, hands_on, finish",
    [
        ("tray=none", "Hands on 15 min", "Earliest finish 35 min after the start"),
        ("tray=fitted", "Hands on 35 min", "Earliest finish 55 min after the start"),
    ],
)
def test_the_time_is_hands_on_and_what_must_be_waited_for(client, answers, hands_on, finish):
    """Without the tray: 5 min, 20 min of drips, 5 min, 5 min. With it 10 min more at each end."""
    said = text_of(client.get(f"/packs/drain-plug/kit?{answers}"))
    assert hands_on in said
    assert "Waiting 20 min" in said
    assert finish in said


def test_a_wait_without_a_number_is_named_not_guessed(client):
    assert "No time is counted for: oil runs down." in text_of(client.get("/packs/drain-plug"))


def test_the_page_names_where_the_job_may_be_left_overnight(client, pack):
    number = pack.by_id["close"].number
    said = text_of(client.get("/packs/drain-plug"))
    assert f"After step {number}, New washer, plug in : The plug is tight and the engine is empty." in said


def test_starting_is_a_plain_link_with_the_answers_in_it(client, pack):
    """So it works without any script, and the phone that scans a sheet gets the same address."""
    page = client.get("/packs/drain-plug").text
    form = re.search(r'<form id="answers".*?</form>', page, re.S)[0]
    assert f'action="/jobs/{pack.hash}"' in form
    assert 'method="get"' in form
    assert re.findall(r'name="(\w+)" value="(\w+)"', form)[:2] == [("tray", "fitted"), ("tray", "none")]
    assert client.get(f"/jobs/{pack.hash}?tray=none").status_code == 200


def test_a_question_that_hangs_on_an_answer_is_hidden_until_that_answer_is_given(client):
    def clips(response):
        return re.search(r'<fieldset class="question" id="question-clips"([^>]*)>', response.text)[1]

    assert "hidden" in clips(client.get("/packs/drain-plug?tray=none"))
    assert "hidden" not in clips(client.get("/packs/drain-plug?tray=fitted"))
    swapped = client.get("/packs/drain-plug/kit?tray=fitted", headers={"HX-Request": "true"})
    assert "hidden" not in clips(swapped)
    assert 'hx-swap-oob="true"' in clips(swapped)


def test_the_answers_given_are_still_marked_after_a_reload(client):
    page = client.get("/packs/drain-plug?tray=none").text
    assert re.search(r'value="none"[^>]* checked', page)
    assert not re.search(r'value="fitted"[^>]* checked', page)


# --- Findings


def test_a_broken_pack_shows_its_findings_where_its_front_page_would_be(client):
    said = text_of(client.get("/packs/misspelt"))
    assert "3 errors" in said
    assert "did you mean “vehicle”" in said


def test_a_finding_marks_the_place_in_the_line_it_concerns(client):
    page = client.get("/packs/misspelt/check").text
    assert re.search(r'<pre class="shown"><code><mark>vehicel</mark>: Hobbleton', page)
    assert "pack.md, line 4, column 1" in page


def test_a_finding_of_the_proof_shows_the_steps_that_lead_to_it(tmp_path):
    from webapp.web import create_app

    from .conftest import PACKS

    path = tmp_path / "drain-plug" / "pack.md"
    path.parent.mkdir()
    whole = (PACKS / "drain-plug" / "pack.md").read_text("utf-8")
    assert whole.count("  - remove: washer\n") == 1
    path.write_text(whole.replace("  - remove: washer\n", ""), "utf-8")
    said = create_app(tmp_path).test_client().get("/packs/drain-plug/findings").text
    assert "R30" in said
    assert re.search(r"<dt>Steps</dt><dd>[^<]*close</dd>", said)


def test_checking_again_reads_the_file_as_it_is_now(tmp_path):
    from webapp.web import create_app

    from .conftest import PACKS

    path = tmp_path / "drain-plug" / "pack.md"
    path.parent.mkdir()
    whole = (PACKS / "drain-plug" / "pack.md").read_text("utf-8")
    path.write_text(whole.replace("title:", "titel:"), "utf-8")
    client = create_app(tmp_path).test_client()
    assert "titel" in client.get("/packs/drain-plug/findings").text
    path.write_text(whole, "utf-8")
    assert "Nothing is wrong with this pack" in client.get("/packs/drain-plug/findings").text


@pytest.mark.parametrize("address", ["check", "findings"])
def test_a_whole_pack_says_that_nothing_is_wrong(client, address):
    assert "Nothing is wrong with this pack" in client.get(f"/packs/drain-plug/{address}").text


# --- The sheet


def test_the_sheet_comes_as_a_pdf_for_the_answers_given(client):
    response = client.get("/packs/drain-plug/sheet.pdf?paper=letter&units=both&tray=none")
    assert response.mimetype == "application/pdf"
    assert response.data.startswith(b"%PDF-")
    assert response.headers["Content-Disposition"] == 'inline; filename="drain-plug.pdf"'


def test_the_same_sheet_is_made_once(client, monkeypatch):
    from webapp.web import pack as door

    made = []
    monkeypatch.setattr(door, "make_sheet", lambda *wanted: made.append(wanted) or b"%PDF-")
    door.made_sheet.cache_clear()
    for _ in range(2):
        client.get("/packs/drain-plug/sheet.pdf?tray=none")
    client.get("/packs/drain-plug/sheet.pdf?tray=fitted")
    door.made_sheet.cache_clear()
    assert [answers for _, answers, *_ in made] == [{"tray": "none"}, {"tray": "fitted"}]
    pack, _, units, paper, link = made[0]
    assert (units, paper) == ("us", "a4"), "the author's units when none are asked for"
    assert link == f"{ADDRESS}/jobs/{pack.hash}?tray=none"


def test_no_sheet_leads_to_where_a_request_says_the_server_is(client, monkeypatch):
    """Whoever makes up a Host header would else print their own address on the wall."""
    from webapp.web import pack as door

    links = []
    monkeypatch.setattr(door, "make_sheet", lambda *wanted: links.append(wanted[-1]) or b"%PDF-")
    door.made_sheet.cache_clear()
    for host in ("evil.example", "127.0.0.1:8321"):
        client.get("/packs/drain-plug/sheet.pdf?tray=none", headers={"Host": host, "X-Forwarded-Host": host})
    door.made_sheet.cache_clear()
    assert len(links) == 1, "one sheet for both, whatever they said"
    assert links[0].startswith(f"{ADDRESS}/jobs/")


def test_a_program_that_was_told_no_address_prints_none(monkeypatch):
    from webapp.web import create_app
    from webapp.web import pack as door

    from .conftest import PACKS

    links = []
    monkeypatch.setattr(door, "make_sheet", lambda *wanted: links.append(wanted[-1]) or b"%PDF-")
    door.made_sheet.cache_clear()
    create_app(PACKS).test_client().get("/packs/drain-plug/sheet.pdf")
    door.made_sheet.cache_clear()
    assert links == [""]


@pytest.mark.parametrize(
    "wrong, offered",
    [
        ("tray=zzz", "“zzz” is no answer to “tray”. It is answered by one of: fitted, none."),
        ("tray=", "It is answered by one of: fitted, none."),
        ("trey=none", "This pack does not ask “trey”. It asks: tray=fitted|none"),
    ],
)
def test_a_sheet_for_an_answer_that_the_pack_does_not_know_is_refused_with_what_it_does(
    client, wrong, offered
):
    """It would be a sheet for every answer, and look like one for this."""
    response = client.get(f"/packs/drain-plug/sheet.pdf?{wrong}")
    assert response.status_code == 400
    assert response.mimetype == "text/html"
    assert offered in text_of(response)


@pytest.mark.parametrize("wrong", ["units=metric", "paper=a5", "units=", "paper=A4"])
def test_a_sheet_in_units_or_on_paper_that_do_not_exist_is_refused_with_what_does(client, wrong):
    response = client.get(f"/packs/drain-plug/sheet.pdf?{wrong}")
    assert response.status_code == 400
    assert "us, si or both, on paper a4 or letter" in text_of(response)


def test_a_machine_without_pango_says_what_to_install(client, monkeypatch):
    from webapp.sheet import SheetError
    from webapp.web import pack as door

    def lacking(*_):
        raise SheetError("PDF needs the library Pango", "it sets the type", "Install libpango-1.0-0")

    monkeypatch.setattr(door, "make_sheet", lacking)
    door.made_sheet.cache_clear()
    response = client.get("/packs/drain-plug/sheet.pdf?tray=none")
    assert response.status_code == 503
    assert "PDF needs the library Pango. Install libpango-1.0-0." in text_of(response)


def test_no_sheet_is_made_from_a_pack_with_errors(client):
    response = client.get("/packs/misspelt/sheet.pdf")
    assert response.status_code == 404
    assert "This pack has errors" in text_of(response)


# --- Not there


@pytest.mark.parametrize(
    "address",
    [
        "/packs/nope",
        "/packs/nope/check",
        "/packs/nope/kit",
        "/packs/nope/sheet.pdf",
        "/jobs/0123456789abcdef",
        "/pictures/nope.svg",
        "/static/nope.css",
        "/static/../pyproject.toml",
        "/nope",
    ],
)
def test_what_is_not_there_says_so_and_leads_back_to_the_shelf(client, address):
    response = client.get(address)
    assert response.status_code == 404
    assert 'href="/"' in response.text
    assert "Traceback" not in response.text


def test_a_fault_of_the_program_is_a_page_too(app, monkeypatch):
    from webapp.web import shelf

    def fault():
        raise RuntimeError("a fault for the test")

    monkeypatch.setattr(shelf, "the_shelf", fault)
    response = app.test_client().get("/")
    assert response.status_code == 500
    assert "The server made a mistake" in response.text
    assert "a fault for the test" not in response.text
