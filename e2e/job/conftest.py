"""A person with a phone who follows a job: a small one that has one of everything, and those that ship."""

import math
import re
import time
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from webapp.compile import compile_folder
from webapp.pack.compiled import CompiledPack

SAME_PRESS = 0.45  # s; the phone takes a second press within 0.4 s in one place for the same finger
NEAR = 60  # CSS px
PACKS = Path(__file__).parent / "packs"

LOG = """job => new Promise((resolve, reject) => {
  const opening = indexedDB.open("droplight")
  opening.onerror = () => reject(opening.error)
  opening.onsuccess = () => {
    const all = opening.result.transaction("entries").objectStore("entries").getAll()
    all.onsuccess = () => resolve(all.result.filter((entry) => !job || entry.job === job))
  }
})"""


class Follower:
    """What a person does with the job on a phone, and what the phone then holds."""

    def __init__(self, page: Page, url: str, pack: CompiledPack) -> None:
        self.page, self.url, self.pack = page, url, pack
        self.address = f"{url}/jobs/{pack.hash}"
        self.tapped, self.place = 0.0, (0.0, 0.0)

    def open(self, query: str = "", ready: bool = True) -> "Follower":
        self.page.goto(self.address + query)
        self.page.wait_for_selector("html[data-live]")
        if ready:
            self.page.wait_for_selector("html[data-offline=ready]", timeout=30_000)
        return self

    def begin(self, answer_stops: bool = True, **answers: str) -> "Follower":
        """Answer the questions, the first answer where none is given; begin; state the first facts."""
        for name, question in self.pack.front.questions.items():
            place = self.page.locator(f'.question[data-question="{name}"]')
            if place.is_visible():
                wanted = answers.get(name, next(iter(question.answers)))
                place.locator(".choice", has=self.page.locator(f'input[value="{wanted}"]')).click()
        self.tap("#on")
        self.page.wait_for_url("**job=*")
        if answer_stops:
            self.answer_stops()
        return self

    def tap(self, control: str) -> None:
        """Press a control. In the same place only after the time in which it would be the same press."""
        target = self.page.locator(control).locator("visible=true").first
        target.click(trial=True)  # brings it out from under the bars
        box = target.bounding_box()
        place = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        since = time.monotonic() - self.tapped
        if since < SAME_PRESS and math.dist(place, self.place) < NEAR:
            self.page.wait_for_timeout(1000 * (SAME_PRESS - since))
        target.click()
        self.tapped, self.place = time.monotonic(), place
        self.page.wait_for_timeout(30)

    def answer_stops(self) -> list[str]:
        """State the fact of every hazard that stops the way. Return their names."""
        names = []
        while self.dialog == "stop":
            names.append(self.page.locator("#stop h3").inner_text().split(" – ")[0])
            stated = self.page.locator("#stop [data-do=state]")
            if stated.count():
                self.tap("#stop [data-do=state]")
            else:
                self.type_value("#stop form", *self.good_value("#stop form"))
                self.tap("#stop form button")
        return names

    def good_value(self, form: str) -> tuple[str, str]:
        """Return a number within the range of a form, and its unit."""
        limits = self.page.locator(form).evaluate("form => JSON.parse(form.dataset.range || 'null')")
        if not limits:
            return "3", ""
        ends = [limits[end] for end in ("low", "high") if limits[end] is not None]
        return f"{sum(ends) / len(ends):g}", limits["unit"]

    def type_value(self, form: str, number: str, unit: str) -> None:
        place = self.page.locator(form)
        if unit and place.locator(".units").count():
            place.locator(".units label", has_text=re.compile(rf"^{re.escape(unit)}$")).click()
        place.locator("input[name=value]").fill(number)

    def hear(self) -> list[str]:
        """Acknowledge what rings; the bay is measured later. Return what rang."""
        rang = []
        self.page.wait_for_timeout(100)
        while self.dialog in ("over", "bay"):
            if self.dialog == "over":
                rang.append(self.page.inner_text("#over-title"))
                self.tap("[data-do=heard]")
            else:
                self.tap("[data-do=measure-later]")
        return rang

    def done(self) -> list[str]:
        """Read the cautions, tick the step, and answer what stops the next one. Return what stopped it."""
        while self.page.locator("[aria-current] [data-do=caution]:visible").count():
            self.tap("[aria-current] [data-do=caution]")
        self.tap("#on")
        return self.answer_stops()

    def done_anyway(self) -> list[str]:
        """Tick the step even where something is open; the bay is measured later."""
        stops = self.done()
        if self.dialog == "ahead":
            if self.page.locator("#pass-why").is_visible():
                self.page.fill("#pass-why", "it is known, and it is right")
            self.tap("#ahead [data-do=do-anyway]")
            stops += self.answer_stops()
        if self.dialog == "bay":
            self.tap("#bay [data-do=measure-later]")
            stops += self.answer_stops()
        return stops

    def up_to(self, step: str) -> "Follower":
        """Tick everything before a step, whatever is open."""
        for _ in self.pack.steps:
            if self.step == step:
                return self
            self.done_anyway()
        assert self.step == step
        return self

    @property
    def step(self) -> str:
        """The step on the screen, or the name of another screen."""
        shown = self.page.locator(".screen[aria-current]")
        expect(shown).to_have_count(1)
        return shown.get_attribute("id").removeprefix("step-")

    @property
    def dialog(self) -> str | None:
        """The dialog that is in front, if one is open."""
        found = self.page.evaluate("[...document.querySelectorAll('dialog[open]')].map(({id}) => id)")
        return found[-1] if found else None

    def log(self, kind: str | None = None) -> list[dict]:
        """Return the entries that the phone's store holds, in order."""
        entries = sorted(self.page.evaluate(LOG), key=lambda entry: (entry["stamp"], entry["id"]))
        return [entry for entry in entries if kind in (None, entry["kind"])]


@pytest.fixture(scope="session")
def lamp() -> CompiledPack:
    """The small pack that has one of everything."""
    result = compile_folder(PACKS / "hood-lamp")
    assert result.findings == ()
    return result.pack


@pytest.fixture(scope="session")
def lamp_server(server, tmp_path_factory):
    """A server of the small pack, beside the one that all tests share."""
    started = type(server)(PACKS, tmp_path_factory.mktemp("lamp") / "said.txt").start()
    yield started
    started.stop()


@pytest.fixture
def follow(page, lamp_server, lamp):
    """A phone with the small job on its cover."""
    return Follower(page, lamp_server.url, lamp)


@pytest.fixture(scope="session")
def follower():
    """The class itself, for tests that bring their own browser or server."""
    return Follower
