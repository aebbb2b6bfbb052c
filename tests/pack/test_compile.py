"""From a folder to a compiled pack: what is opened, what is too much, and the same pack is the same bytes."""

import gc
import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pack.writing import DRAWING, HEAD, codes, compiled, pack, result, step
from webapp.compile import compile_bytes, compile_folder
from webapp.pack import pictures, prose, source
from webapp.pack.draft import MOST_ERRORS
from webapp.pack.findings import INVISIBLE
from webapp.pack.outline import MOST_STEPS
from webapp.pack.yamltree import MOST_VALUES

ROOT = Path(__file__).parent.parent.parent
PLAIN = pack("", step("Look at it", prose="Dry all round?"))
SHOWN = pack("", step("Look at it", prose="![The cover](cover.svg)"))


def folder(at: Path, text: str = PLAIN, **files: bytes) -> Path:
    """Write a pack into a new folder. files: names without .svg → content."""
    at.mkdir()
    (at / "pack.md").write_text(text, "utf-8")
    for name, content in files.items():
        (at / f"{name}.svg").write_bytes(content)
    return at


def only_code(at: Path) -> str:
    """Return the code of the one finding that a folder gives, which must be an error."""
    (finding,) = compile_folder(at).findings
    assert finding.severity == "error"
    return finding.code


# --- The folder


def test_the_folder_names_the_pack(tmp_path):
    found = compile_folder(folder(tmp_path / "side-cover"))
    assert found.findings == ()
    assert found.pack.slug == "side-cover"


def test_a_pack_is_also_found_from_inside_its_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(folder(tmp_path / "side-cover"))
    assert compile_folder(Path(".")).pack.slug == "side-cover"


@pytest.mark.parametrize("name", ["Side Cover", "1st-cover", "cover_side", "côté", "a" * 61, "-a", "a--b"])
def test_a_folder_whose_name_is_no_address_is_refused(tmp_path, name):
    assert only_code(folder(tmp_path / name)) == "folder-name"


def test_a_folder_that_is_not_there_is_refused(tmp_path):
    assert only_code(tmp_path / "side-cover") == "pack-missing"


@pytest.mark.parametrize("name", [b"cover-\xff", b"cover-\x1b[31m", "cover-\u202e".encode()])
def test_a_name_that_would_act_on_a_terminal_is_shown_without_its_signs(tmp_path, name):
    at = folder(tmp_path / os.fsdecode(name))
    (finding,) = compile_folder(at).findings
    assert finding.code == "folder-name"
    assert finding.text().encode()
    assert not INVISIBLE.search(finding.text().replace("\n", " "))


def test_a_folder_without_a_pack_is_refused(tmp_path):
    (tmp_path / "side-cover").mkdir()
    assert only_code(tmp_path / "side-cover") == "pack-missing"


def test_a_file_in_place_of_a_folder_is_refused(tmp_path):
    (tmp_path / "side-cover").write_text("")
    assert only_code(tmp_path / "side-cover") == "pack-missing"


def test_a_name_that_no_file_can_have_is_refused():
    assert only_code(Path("side\0cover")) == "pack-missing"


def test_a_folder_in_place_of_the_pack_is_refused(tmp_path):
    (tmp_path / "side-cover" / "pack.md").mkdir(parents=True)
    assert only_code(tmp_path / "side-cover") == "pack-missing"


def test_a_pipe_in_place_of_the_pack_is_not_waited_for(tmp_path):
    (tmp_path / "side-cover").mkdir()
    os.mkfifo(tmp_path / "side-cover" / "pack.md")
    assert only_code(tmp_path / "side-cover") == "pack-missing"


@pytest.mark.parametrize("target", ["../other/pack.md", "pack.md", "/dev/zero"])
def test_a_pack_that_leads_elsewhere_is_refused(tmp_path, target):
    folder(tmp_path / "other")
    (tmp_path / "side-cover").mkdir()
    (tmp_path / "side-cover" / "pack.md").symlink_to(target)
    assert only_code(tmp_path / "side-cover") == "pack-missing"


def test_a_picture_may_be_a_link_inside_the_folder(tmp_path):
    at = folder(tmp_path / "side-cover", SHOWN, other=DRAWING)
    (at / "cover.svg").symlink_to("other.svg")
    assert compile_folder(at).findings == ()


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir], ids=["a pipe", "a folder"])
def test_what_is_no_file_is_no_picture(tmp_path, make):
    at = folder(tmp_path / "side-cover", SHOWN)
    make(at / "cover.svg")
    assert only_code(at) == "picture-outside"


def test_a_picture_that_nothing_shows_is_not_opened(tmp_path):
    at = folder(tmp_path / "side-cover")
    (at / "cover.svg").symlink_to("../other/cover.svg")
    os.mkfifo(at / "notes.svg")
    assert compile_folder(at).findings == ()


# --- Too much


def test_a_pack_of_more_bytes_than_are_read_is_refused():
    assert codes("x" * (source.LARGEST + 1)) == ["pack-too-big"]


def test_a_huge_file_is_refused_without_being_read_whole(tmp_path):
    at = folder(tmp_path / "side-cover")
    os.truncate(at / "pack.md", 50_000_000_000)  # a hole: it takes no room on the disk
    assert only_code(at) == "pack-too-big"


def test_a_pack_of_more_lines_than_are_read_is_refused():
    assert codes(PLAIN + "\n" * source.MOST_LINES) == ["pack-too-big"]


def test_more_steps_than_a_phone_holds_are_refused():
    steps = (step(f"Look at bolt {number}") for number in range(MOST_STEPS + 1))
    assert codes(pack("", *steps)) == ["too-many-steps"]


def test_as_many_steps_as_a_phone_holds_compile():
    steps = (step(f"Look at bolt {number}") for number in range(MOST_STEPS))
    assert len(compiled(pack("", *steps)).steps) == MOST_STEPS


def test_more_values_than_are_read_are_refused():
    tables = "not-for-now:\n" + "".join(f"  a{n}: 1\n" for n in range(MOST_VALUES // 2))
    assert codes(HEAD + tables + "---\n") == ["yaml-too-many", "no-steps"]


def test_more_amounts_than_can_be_compared_are_refused(monkeypatch):
    monkeypatch.setattr(prose, "MOST_COMPARED", 2_000)
    measured = "\n".join(f"{n}.5 mm" for n in range(1, 100))
    mentions = ", ".join(f"{n} in" for n in range(1, 20))
    text = pack("", step("Measure", f"mentions: [{mentions}, 0.1–9999 mm]\n", measured))
    assert codes(text) == ["pack-too-big"]
    monkeypatch.setattr(prose, "MOST_COMPARED", 10_000)
    assert codes(text) == []


def test_more_pictures_than_a_phone_holds_are_refused():
    padded = DRAWING.replace(b"/>", b"/><!--" + b"x" * (pictures.LARGEST - 200) + b"-->")
    names = [f"cover{number}" for number in range(pictures.ALL_TOGETHER // pictures.LARGEST + 2)]
    shown = "\n".join(f"![Cover]({name}.svg)\n" for name in names)
    files = {name: padded + name.encode().join([b"<!--", b"-->"]) for name in names}
    assert codes(pack("", step("Look", prose=shown)), **files) == ["pack-too-big"]


def test_a_picture_of_more_bytes_than_are_read_is_unfit(tmp_path):
    at = folder(tmp_path / "side-cover", SHOWN, cover=DRAWING + b" " * pictures.LARGEST)
    assert only_code(at) == "picture-unfit"


def test_errors_without_end_end():
    found = codes(HEAD + "".join(f"tool{n}: x\n" for n in range(20_000)) + PLAIN[len(HEAD) :])
    assert found == ["key-unknown"] * MOST_ERRORS


def test_a_flood_of_warnings_does_not_hide_that_a_pack_is_wrong():
    """Five hundred and more warnings stood before the error, and the pack compiled."""
    tools = "".join(f"  tool-{n}: {{name: tool}}\n" for n in range(1000))
    found = result(pack(f"tools:\n{tools}", step("Look", "needs: nothing\n")))
    assert found.pack is None
    assert [finding.code for finding in found.errors] == ["name-unknown"]


# --- Always the same


def test_the_same_pack_is_the_same_bytes():
    one, other = (compiled(SHOWN, cover=DRAWING) for _ in range(2))
    assert one.canonical == other.canonical
    assert one.hash == hashlib.sha256(one.canonical).hexdigest()[:16]


def test_any_change_that_shows_is_another_pack():
    texts = [
        SHOWN,
        SHOWN.replace("Renew", "Change"),
        SHOWN.replace("5 min", "6 min"),
        SHOWN.replace("The c", "A c"),
    ]
    hashes = {compiled(text, cover=DRAWING).hash for text in texts}
    hashes.add(compiled(SHOWN, cover=DRAWING.replace(b"h50", b"h49")).hash)
    assert len(hashes) == 5


def test_what_does_not_show_is_the_same_pack():
    spaced = SHOWN.replace("units: si\n", "units:   si   # what we write in\n\n").replace("\n", "\r\n")
    assert compiled(spaced, cover=DRAWING).hash == compiled(SHOWN, cover=DRAWING).hash


def test_the_canonical_form_is_json_that_comes_back_the_same():
    canonical = compiled(SHOWN, cover=DRAWING).canonical
    again = json.dumps(json.loads(canonical), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    assert again.encode() == canonical


WORK = """
import sys
from pathlib import Path
from webapp.compile import compile_folder
for folder in sorted({path.parent for path in Path(sys.argv[1]).glob("*/*/pack.md")}):
    result = compile_folder(folder)
    print(folder.name, result.pack and result.pack.hash, [finding.plain() for finding in result.findings])
"""


def test_every_process_says_the_same():
    """Nothing hangs on the order of a set, which Python changes with each start."""
    said = {
        subprocess.run(
            [sys.executable, "-c", WORK, str(ROOT / "tests" / "corpus")],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2", "31337")
    }
    assert len(said) == 1
    assert len(next(iter(said)).splitlines()) > 300


# --- The compiler itself


def test_the_file_is_named_as_it_was_given():
    (finding,) = compile_bytes(b"", "here/pack.md", {}).findings
    assert finding.place.file == "here/pack.md"


# --- The collector of cycles, which rests meanwhile


@pytest.mark.parametrize("text", [SHOWN, SHOWN.replace("hands-on", "hand-on"), "", "---\n[" + "[" * 50])
def test_nothing_is_left_for_the_collector(text):
    result(text, cover=DRAWING)
    gc.collect()
    gc.disable()
    try:
        result(text, cover=DRAWING)
        assert gc.collect() == 0
    finally:
        gc.enable()


@pytest.mark.parametrize("works", [True, False])
def test_the_collector_is_left_as_it_was(works):
    (gc.enable if works else gc.disable)()
    try:
        result(SHOWN, cover=DRAWING)
        assert gc.isenabled() == works
    finally:
        gc.enable()
