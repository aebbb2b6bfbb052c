"""The tables of the machine on the phone: never waited for, there before it is ready offline."""

import pytest

from webapp import places
from webapp.compile import compile_folder


@pytest.fixture
def pump(page, server, follower):
    return follower(page, server.url, compile_folder(places.CONTENT / "coolant-pump").pack)


KEPT = """async () => {
  const { machine, later } = document.documentElement.dataset
  const urls = [machine, ...later.trim().split(" ")]
  const jobs = await caches.open("jobs")
  const found = await Promise.all(urls.map((url) => jobs.match(url, { ignoreVary: true })))
  return { urls, kept: found.map(Boolean) }
}"""


def test_the_tables_and_what_comes_later_are_kept_before_ready_offline_is_said(pump):
    kept = pump.open().page.evaluate(KEPT)
    assert f"/jobs/{pump.pack.hash}/machine.json" in kept["urls"]
    assert any(url.endswith("/machine.js") for url in kept["urls"])
    assert all(kept["kept"]), kept


def test_the_tables_answer_with_no_network(pump):
    pump.open().page.reload()  # now the worker answers
    pump.page.wait_for_selector("html[data-offline=ready]")
    pump.page.context.set_offline(True)
    variables = pump.page.evaluate(
        "fetch(document.documentElement.dataset.machine, {cache: 'no-store'})"
        ".then((answer) => answer.json()).then(({variables}) => variables.length)"
    )
    assert variables == len(pump.pack.model.plain()["variables"])


def test_a_phone_that_could_not_get_the_tables_does_not_say_ready(pump):
    def refuse(route):
        route.fulfill(status=503, body="")

    pump.page.context.route("**/machine.json", refuse)
    pump.open(ready=False)
    pump.page.get_by_text("machine.json answered 503").wait_for(state="attached", timeout=30_000)
    assert pump.page.get_attribute("html", "data-offline") == "not-yet"


def test_the_first_screen_does_not_wait_for_the_tables(pump):
    held = []
    pump.page.context.route("**/machine.json", lambda route: held.append(route))  # never answered
    pump.open(ready=False)
    assert pump.page.locator(".screen[aria-current]").count() == 1
    pump.begin(answer_stops=False)
    for route in held:
        route.abort()
