"""The house keeps its own rules: what lies where, what may know what, what never gets in."""

import ast
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

from webapp import places

ROOT = Path(__file__).resolve().parent.parent


def tracked() -> list[Path]:
    """Return every file that git keeps, from the root of the repository."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True)
    paths = [Path(name) for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]
    assert paths, "git lists no file: a test over no files would pass by looking at nothing"
    return paths


# --- What lies where


def test_the_top_level_holds_only_the_rooms_of_the_house():
    pages = {"README.md", "DEVELOPERS.md", "pyproject.toml", "Makefile"}
    rooms = {"webapp", "content", "static", "tests", "e2e"}
    found = {path.parts[0] for path in tracked() if not path.parts[0].startswith(".")}
    assert found - pages - rooms == set()


def test_pages_and_packs_are_found_in_the_checkout():
    assert places.STATIC == ROOT / "static"
    assert places.CONTENT == ROOT / "content"
    assert any(places.STATIC.iterdir())
    assert list(places.CONTENT.glob("*/pack.md"))


@pytest.mark.parametrize("command", ["make run", "make test"])
def test_the_readme_names_a_command_that_make_knows(command):
    assert command in (ROOT / "README.md").read_text("utf-8")
    assert f"\n{command.removeprefix('make ')}:" in (ROOT / "Makefile").read_text("utf-8")


def test_the_readme_ends_with_the_whole_licence():
    _, _, licence = (ROOT / "README.md").read_text("utf-8").rpartition("\n## ")
    assert licence.startswith("Licence")
    for part in (
        "MIT",
        "the Droplight authors",
        "Permission is hereby granted",
        "WITHOUT WARRANTY OF ANY KIND",
    ):
        assert part in licence


# --- What may know what

# From the bottom of the house to its top: a room may use what stands before it here, nothing after it.
ROOMS = ["trade", "pack", "figures", "proof", "compile", "plan", "job", "store", "sheet", "web", "cli"]
PURE = {"trade", "pack", "figures", "proof", "plan", "job"}
CODE = [path for path in tracked() if path.suffix == ".py" and path.parts[0] == "webapp"]


def room_of(path: Path) -> str:
    return path.parts[1].removesuffix(".py")


def imports(path: Path) -> set[str]:
    """Return the full dotted name of everything that a file imports, wherever in it."""
    names = set()
    package = ".".join(path.parts[:-1])
    for node in ast.walk(ast.parse((ROOT / path).read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(path.parts) - node.level] if node.level else []
            module = ".".join([*above, *([node.module] if node.module else [])])
            names |= {f"{module}.{alias.name}" for alias in node.names}
    return names


def rooms_used(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imports(path) if name.startswith("webapp.")}


def test_relative_and_absolute_imports_are_both_seen(tmp_path, monkeypatch):
    """The tests below rest on this reading, so it is tested itself."""
    file = tmp_path / "webapp" / "pack" / "read.py"
    file.parent.mkdir(parents=True)
    file.write_text(
        "import flask.views\nfrom webapp.store import jobs\nfrom ..web import app\nfrom . import types\n"
    )
    monkeypatch.setitem(globals(), "ROOT", tmp_path)
    path = file.relative_to(tmp_path)
    assert imports(path) == {"flask.views", "webapp.store.jobs", "webapp.web.app", "webapp.pack.types"}
    assert rooms_used(path) == {"store", "web", "pack"}


def test_the_rooms_under_test_are_there():
    """Else the tests below would pass by looking at nothing."""
    assert {"trade", "pack", "web", "sheet", "cli"} <= {room_of(path) for path in CODE}


@pytest.mark.parametrize("path", [p for p in CODE if room_of(p) in ROOMS], ids=str)
def test_arrows_point_down_only(path):
    above = set(ROOMS[ROOMS.index(room_of(path)) + 1 :])
    assert rooms_used(path) & above == set()


@pytest.mark.parametrize("path", [p for p in CODE if room_of(p) in PURE], ids=str)
def test_below_the_line_nobody_meets_the_web_the_store_the_clock_or_the_network(path):
    outside = {"flask", "sqlalchemy", "sqlite3", "time", "socket", "click", "rich", "weasyprint"}
    used = imports(path)
    assert {name.split(".")[0] for name in used} & outside == set()
    assert not {name for name in used if name.startswith("urllib") and not name.startswith("urllib.parse")}
    assert "places" not in rooms_used(path)


@pytest.mark.parametrize("path", [p for p in CODE if room_of(p) == "trade"], ids=str)
def test_the_trade_knows_only_quantities(path):
    assert rooms_used(path) <= {"trade"}
    assert {name.split(".")[0] for name in imports(path)} & {"os", "pathlib", "datetime", "yaml"} == set()


# --- What never gets in

TEMPLATES = [path for path in tracked() if path.suffix == ".html" and path.is_relative_to("webapp/web")]
INLINE = {
    "a script without src": re.compile(r"<script\b(?![^>]*\s(src=|type=\"application/json\"))", re.I),
    "a style attribute": re.compile(r"<[^>]*\sstyle\s*=", re.I),
    "an event attribute": re.compile(r"<[^>]*\s(on\w+|hx-on[:\w-]*)\s*=", re.I),
    "a javascript: address": re.compile(r"=\s*[\"']?\s*javascript:", re.I),
}


def inline_in(template: str) -> set[str]:
    """Return what a strict Content-Security-Policy would refuse."""
    markup = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", "", template, flags=re.S)
    return {what for what, pattern in INLINE.items() if pattern.search(markup)}


@pytest.mark.parametrize(
    "template, refused",
    [
        ('<script>go()</script>', {"a script without src"}),
        ('<p class="a" style="color: red">', {"a style attribute"}),
        ('<button\n  onclick="go()">', {"an event attribute"}),
        ('<a href="javascript:go()">', {"a javascript: address"}),
        ('<script type="module" src="/static/js/{{ name }}"></script><p>style = on</p>', set()),
        ('<script type="application/json" id="pack">{}</script>', set()),
    ],
)  # fmt: skip
def test_inline_code_is_recognised(template, refused):
    assert inline_in(template) == refused


def test_there_are_templates_to_look_at():
    assert TEMPLATES


@pytest.mark.parametrize("path", TEMPLATES, ids=str)
def test_no_template_holds_inline_code_or_style(path):
    assert inline_in((ROOT / path).read_text("utf-8")) == set()


# Spelt in pieces, or this file would be the first to be caught.
REGISTRIES = [
    r"pypi" + r"\.org",
    r"python" + r"hosted\.",
    r"npm" + r"js\.",
    r"deb" + r"\.debian",
    r"crates" + r"\.io",
]
SOMEBODYS_FOLDER = r"(?<![\w.)}])/(work|root)" + r"/"
UNWANTED = re.compile("|".join([*REGISTRIES, SOMEBODYS_FOLDER]).encode())


def test_no_file_names_a_package_registry_or_a_place_on_somebodys_machine():
    caught = {
        f"{path}: {match[0].decode()}"
        for path in tracked()
        for match in UNWANTED.finditer((ROOT / path).read_bytes())
    }
    assert caught == set()


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def test_everything_we_depend_on_is_pinned_by_name_and_version_alone():
    lines = (ROOT / ".ci/constraints.txt").read_text("utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    assert [pin for pin in pins if not re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.+!]+", pin)] == []
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    asked = project["project"]["dependencies"] + project["dependency-groups"]["test"]
    pinned = {normal(pin.partition("==")[0]) for pin in pins}
    assert {normal(re.split(r"[ <>=!~\[;]", name)[0]) for name in asked} - pinned == set()
