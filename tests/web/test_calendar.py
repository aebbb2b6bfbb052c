"""A wait handed to the phone's calendar rings there, and nothing else can be put into the file."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from webapp.web.calendar import LONGEST_TITLE, alarm

DUE = datetime(2026, 11, 26, 6, 30, tzinfo=UTC)
GOOD = {"title": "Full cure, sump", "due": "1795674600000", "job": "019adf3e-1111-7000-8000-000000000000"}


def test_the_alarm_rings_when_the_wait_is_over_and_five_minutes_later(client):
    response = client.get("/clock.ics", query_string=GOOD)
    assert response.mimetype == "text/calendar"
    (event,) = Calendar.from_ical(response.data).walk("VEVENT")
    assert event["summary"] == "Full cure, sump"
    assert event.decoded("dtstart") == DUE
    triggers = [ring.decoded("trigger") for ring in event.walk("VALARM")]
    assert triggers == [timedelta(0), timedelta(minutes=5)]


def test_the_file_is_what_rfc_5545_asks_for(client):
    """RFC 5545: CRLF, at most 75 octets a line (3.1); UID, DTSTAMP (3.6.1); PRODID, VERSION (3.6)."""
    text = client.get("/clock.ics", query_string=GOOD | {"title": "ö" * LONGEST_TITLE}).data
    lines = text.split(b"\r\n")
    assert lines[-1] == b""
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) <= 75
    for begins in (b"BEGIN:VCALENDAR", b"VERSION:2.0", b"PRODID:", b"UID:", b"DTSTAMP:", b"TRIGGER:PT0S"):
        assert any(line.startswith(begins) for line in lines), begins
    assert b"DTSTART:20261126T063000Z" in lines


def test_two_waits_are_two_events_and_the_same_wait_is_the_same_event():
    def uid(title, due, job):
        return Calendar.from_ical(alarm(title, due, job)).walk("VEVENT")[0]["uid"]

    assert uid("Set", DUE, "a") == uid("Set", DUE, "a")
    others = {uid("Set", DUE, "a"), uid("Cure", DUE, "a"), uid("Set", DUE, "b")}
    assert len(others | {uid("Set", DUE + timedelta(minutes=1), "a")}) == 4


@pytest.mark.parametrize(
    "wrong",
    [
        {"title": ""},
        {"title": "   "},
        {"title": "x" * (LONGEST_TITLE + 1)},
        {"title": "Cure\r\nATTACH:file:///etc/passwd"},
        {"title": "Cure\u2028more"},
        {"due": ""},
        {"due": "soon"},
        {"due": "-1"},
        {"due": "1e12"},
        {"due": "9" * 15},
        {"due": "9" * 4000},
        {"due": "0"},
        {"due": "\u0661795674600000"},
        {"job": ""},
        {"job": "a\nb"},
        {"job": "x" * 65},
        {"job": "../.."},
    ],
)
def test_what_no_phone_of_ours_would_send_is_refused(client, wrong):
    response = client.get("/clock.ics", query_string=GOOD | wrong)
    assert response.status_code == 400
    assert "BEGIN:" not in response.text


@given(st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=LONGEST_TITLE))
def test_any_title_comes_back_as_it_was(title):
    """A title can neither end the event nor begin another."""
    calendar = Calendar.from_ical(alarm(title, DUE, "job"))
    (event,) = calendar.walk("VEVENT")
    assert event["summary"] == title
