"""A real server over the packs that ship, and the system's own Chromium at the size of a phone."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from webapp import places

# Nothing of the browser's own may call out or wait for something; only as root must its sandbox stay off.
FLAGS = [
    *(["--no-sandbox"] if os.geteuid() == 0 else []),
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-sync",
    "--disable-background-networking",
    "--disable-component-update",
]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    """Use the system's Chromium, so that no test downloads a browser."""
    return {**browser_type_launch_args, "executable_path": shutil.which("chromium"), "args": FLAGS}


@pytest.fixture(scope="session")
def phone(playwright):
    """What makes a browser a phone: 412 by 839 CSS px, touch, its name."""
    profile = dict(playwright.devices["Pixel 7"])
    profile.pop("default_browser_type")  # launch_persistent_context refuses it
    return profile


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args, phone):
    return {**browser_context_args, **phone}


class Server:
    """`droplight serve` as a person starts it: a process of its own that can be stopped and started again."""

    def __init__(self, packs: Path, said: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.packs = packs
        self.said = said
        self.url = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen | None = None

    def start(self) -> "Server":
        command = Path(sys.executable).with_name("droplight")
        with self.said.open("a") as said:
            self.process = subprocess.Popen(
                [command, "serve", "--port", str(self.port), "--packs", self.packs],
                stdout=said,
                stderr=subprocess.STDOUT,
            )
        last = time.monotonic() + 30
        while True:
            try:
                urllib.request.urlopen(self.url + "/manifest.webmanifest", timeout=5).close()
                return self
            except OSError:
                if self.process.poll() is not None or time.monotonic() > last:
                    pytest.fail(f"the server does not answer; it said\n{self.said.read_text()}")
                time.sleep(0.05)

    def stop(self, how: int = signal.SIGINT) -> int:
        """Stop it as Ctrl-C does, and return its exit code."""
        self.process.send_signal(how)
        try:
            return self.process.wait(timeout=20)
        finally:
            self.process.kill()

    @property
    def running(self) -> bool:
        return self.process is not None and self.process.poll() is None


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """The server that all tests share; a test that stops it uses `own_server`."""
    started = Server(places.CONTENT, tmp_path_factory.mktemp("server") / "said.txt").start()
    yield started
    started.stop()


@pytest.fixture(scope="session")
def base_url(server):
    """Let `page.goto("/")` lead to the shared server."""
    return server.url


@pytest.fixture
def own_server(tmp_path):
    """A server to itself over a copy of the packs, `own_server.packs`: to stop, or to change a pack."""
    packs = tmp_path / "packs"
    shutil.copytree(places.CONTENT, packs)
    started = Server(packs, tmp_path / "said.txt").start()
    yield started
    if started.running:
        started.stop()


@pytest.fixture(scope="session")
def slugs():
    """The packs that ship."""
    found = sorted(path.parent.name for path in places.CONTENT.glob("*/pack.md"))
    assert found, "no pack ships: a test over no packs would pass by looking at nothing"
    return found


@pytest.fixture
def told(page):
    """What the browser complains about: refused styles and scripts, faults, files that are not there."""
    found = []
    page.on("console", lambda said: found.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda fault: found.append(str(fault)))
    return found


# `wcag22aa` switches on the rule for the size of targets, at 24 px; ours are measured by `too_small`.
RULES = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="session")
def violations():
    """Return what axe-core finds wrong with a page as it stands: rule and the elements it concerns."""

    def run(page):
        done = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}}).response
        assert len(done["passes"]) > 10, "axe looked at next to nothing"
        return [(found["id"], [node["html"] for node in found["nodes"]]) for found in done["violations"]]

    return run


TARGETS = """() => {
  const shown = (element) => element.checkVisibility({ opacityProperty: false, visibilityProperty: true })
  const inline = (element) => getComputedStyle(element).display === "inline"
  const inProse = (element) => element.matches("p a, li a, dd a") && inline(element)
  return [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")]
    .filter((element) => element.type !== "hidden" && shown(element) && !inProse(element))
    .filter((element) => !element.matches(".skip"))
    .map((element) => {
      const whole = element.closest("label") ?? element
      const { x, y, width, height } = whole.getBoundingClientRect()
      const words = (element.ariaLabel || whole.innerText || element.id).trim()
      return { words, x, y, width, height, main: element.matches(".button-main, .main") }
    })
    .filter(({ width, height }) => width && height)
}"""


@pytest.fixture(scope="session")
def targets():
    """Return everything on a page that can be pressed, with its place and size in CSS px."""

    def measure(page):
        found = page.evaluate(TARGETS)
        assert found, "nothing can be pressed: a test over no targets would pass by looking at nothing"
        return found

    return measure


@pytest.fixture(scope="session")
def too_small(targets):
    """Return what a gloved thumb would miss: under 64 CSS px, or under 88 when it is the main control."""

    def measure(page):
        return [
            (found["words"], found["width"], found["height"])
            for found in targets(page)
            if min(found["width"], found["height"]) < (64 if not found["main"] else 88) - 0.5
        ]

    return measure


@pytest.fixture(scope="session")
def too_close(targets):
    """Return pairs that a thumb would press together: less than 12 CSS px apart."""

    def apart(one, other, along, size):
        first, second = sorted((one, other), key=lambda target: target[along])
        return second[along] - (first[along] + first[size])

    def measure(page):
        every = targets(page)
        return [
            (one["words"], other["words"])
            for number, one in enumerate(every)
            for other in every[number + 1 :]
            if max(apart(one, other, "x", "width"), apart(one, other, "y", "height")) < 12 - 0.5
        ]

    return measure
