"""What we release works where nothing else of ours is: in an empty environment, from an empty folder."""

import os
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import venv
import zipfile
from pathlib import Path

import pytest
from pypdf import PdfReader

from webapp import places

ROOT = Path(__file__).resolve().parent.parent


def run(*command, cwd, timeout=300):
    """Run a command as a stranger would: with nothing of this environment in its way."""
    surroundings = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=surroundings,
        timeout=timeout,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, f"{command} said\n{done.stdout}{done.stderr}"
    return done.stdout


@pytest.fixture(scope="session")
def wheel(tmp_path_factory):
    """Build the source archive, and the wheel from it: so both are known to be whole."""
    out = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", out, cwd=ROOT)
    (built,) = out.glob("droplight-*.whl")
    return built


@pytest.fixture(scope="session")
def droplight(wheel, tmp_path_factory):
    """Install the wheel into an empty environment and return the command it brings."""
    home = tmp_path_factory.mktemp("empty-environment")
    venv.create(home, symlinks=True)
    constraints = ROOT / ".ci" / "constraints.txt"
    python = home / "bin" / "python"
    run(
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "-c",
        constraints,
        wheel,
        cwd=home,
        timeout=900,
    )
    return home / "bin" / "droplight"


@pytest.fixture
def slug():
    """Name a pack that ships."""
    return min(path.parent.name for path in places.CONTENT.glob("*/pack.md"))


def test_the_wheel_holds_every_page_and_pack_of_the_checkout(wheel):
    held = set(zipfile.ZipFile(wheel).namelist())
    kept = subprocess.run(
        ["git", "ls-files", "-z", "static", "content"], cwd=ROOT, check=True, capture_output=True, text=True
    )
    shipped = {f"webapp/{name}" for name in kept.stdout.split("\0") if name and (ROOT / name).is_file()}
    assert shipped
    assert shipped - held == set()
    assert not {name for name in held if re.match(r"(tests|e2e|static|content)/", name)}


def test_an_installed_droplight_checks_a_pack_that_ships(droplight, slug, tmp_path):
    run(droplight, "check", slug, cwd=tmp_path)


def test_an_installed_droplight_prints_a_sheet(droplight, slug, tmp_path):
    run(droplight, "sheet", slug, "-o", "sheet.pdf", cwd=tmp_path)
    pages = PdfReader(tmp_path / "sheet.pdf").pages
    assert len(pages) >= 2
    assert all(page.extract_text().strip() for page in pages)


def test_an_installed_droplight_serves_its_pages(droplight, slug, tmp_path):
    style = min(places.STATIC.rglob("*.css")).relative_to(places.STATIC)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with (tmp_path / "said.txt").open("w+") as said:
        server = subprocess.Popen(
            [str(droplight), "serve", "--port", str(port)],
            cwd=tmp_path,
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        try:
            shelf = answer(f"http://127.0.0.1:{port}/", server, said)
            assert slug in shelf
            served = answer(f"http://127.0.0.1:{port}/static/{style.as_posix()}", server, said)
            assert served == (places.STATIC / style).read_text("utf-8")
        finally:
            server.terminate()
            server.wait(timeout=20)


def answer(url, server, said):
    """Return what a server answers, giving it half a minute to come up."""
    last = time.monotonic() + 30
    while True:
        try:
            with urllib.request.urlopen(url, timeout=10) as response:
                return response.read().decode()
        except urllib.error.HTTPError:
            raise
        except OSError:
            if server.poll() is not None or time.monotonic() > last:
                said.seek(0)
                pytest.fail(f"no answer at {url}; the server said\n{said.read()}")
            time.sleep(0.1)
