"""A wait as an alarm for the phone's own calendar (RFC 5545): what still rings when the page is closed."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from flask import Blueprint, Response, request
from icalendar import Alarm, Calendar, Event

from .errors import Unclear

bp = Blueprint("calendar", __name__)

LONGEST_TITLE = 120
EARLIEST, LATEST = (int(datetime(year, 1, 1, tzinfo=UTC).timestamp() * 1000) for year in (2020, 2100))
CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
JOB = re.compile(r"[A-Za-z0-9-]{1,64}")
DUE = re.compile(r"[0-9]{1,15}")
AGAIN = "Open the wait in the job once more and hand it to the calendar from there."


@bp.get("/clock.ics")
def clock() -> Response:
    """Return one alarm. title: its words; due: epoch milliseconds; job: the job it belongs to."""
    title = request.args.get("title", "").strip()
    if not title or len(title) > LONGEST_TITLE or CONTROL.search(title):
        raise Unclear("The alarm has no title that a calendar can show.", AGAIN)
    job = request.args.get("job", "")
    if not JOB.fullmatch(job):
        raise Unclear("The alarm does not say which job it belongs to.", AGAIN)
    response = Response(alarm(title, due_time(request.args.get("due", "")), job), mimetype="text/calendar")
    response.headers["Content-Disposition"] = 'inline; filename="clock.ics"'
    return response


def due_time(text: str) -> datetime:
    """Read epoch milliseconds between the years 2020 and 2100."""
    if DUE.fullmatch(text) and EARLIEST <= int(text) < LATEST:
        return datetime.fromtimestamp(int(text) // 1000, UTC)
    raise Unclear("The alarm does not say when it rings.", AGAIN)


def alarm(title: str, due: datetime, job: str) -> bytes:
    """Return an iCalendar file with one event that rings when it is due and five minutes later."""
    event = Event()
    name = sha256(f"{job}\n{due.isoformat()}\n{title}".encode()).hexdigest()[:32]
    event.add("uid", f"{name}@droplight")
    event.add("dtstamp", datetime.now(UTC))
    event.add("dtstart", due)
    event.add("duration", timedelta(minutes=5))
    event.add("summary", title)
    for later in ("PT0S", "PT5M"):
        ring = Alarm()
        ring.add("action", "DISPLAY")
        ring.add("description", title)
        ring.add("trigger", later, encode=False)  # PT0S, which icalendar would write as P0D
        event.add_component(ring)
    calendar = Calendar()
    calendar.add("prodid", "-//Droplight//wait//EN")
    calendar.add("version", "2.0")
    calendar.add_component(event)
    return calendar.to_ical()
