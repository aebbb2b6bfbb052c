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
