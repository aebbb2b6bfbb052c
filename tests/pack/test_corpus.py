"""Packs as files: each wrong one with the findings it must give, each right one that must give none.

`invalid/<code>-<what>` holds a fault, `valid/<code>-<what>` the same pack without it; where that is the plain
pack, it is `valid/side-cover`. All vehicles and figures in them are invented. They are no whole jobs, so they
are compiled without the proof, which has its own packs in `tests/proof/`.
"""

import ast
import difflib
import json
from pathlib import Path

import pytest

from tests.pack.writing import UNPROVED
from webapp import compile as compiler
from webapp.compile import compile_folder
from webapp.pack.codes import CODES
from webapp.pack.findings import Finding
from webapp.proof.rules import RULES

CORPUS = Path(__file__).parent.parent / "corpus"
INVALID = sorted(path for path in (CORPUS / "invalid").iterdir() if path.is_dir())
VALID = sorted(path for path in (CORPUS / "valid").iterdir() if path.is_dir())
PLAIN = CORPUS / "valid" / "side-cover"

LONG = ("line-too-long-paragraph", "no-steps", "yaml-too-many-entries")
"""Wrong packs whose fault is that much is there, or not."""

BOUNDS = {"answers-too-many", "order-too-free"}
"""Bounds of the proof: tests/proof/test_walk.py has packs that reach them."""

STYLE = {"prose-long", "prose-two-actions"}
"""How the prose reads, which is looked at with the proof: tests/proof/test_prose.py has it."""

WRITTEN_BY_TESTS = {"pack-missing", "folder-name", "pack-too-big", "too-many-steps"} | BOUNDS | STYLE
"""Codes that need a file of megabytes, or none (tests/pack/test_compile.py has them), or the proof."""


def as_expected(finding: Finding) -> dict[str, str | int]:
    """Return a finding as expected.json writes it."""
    place, also = finding.place, finding.also
    found = {"code": finding.code, "severity": finding.severity, "line": place.line, "column": place.column}
    return {**found, "also_line": also.line} if also else found


def twin(folder: Path) -> Path:
    """Return the right pack that belongs to a wrong one."""
    own = CORPUS / "valid" / folder.name
    return own if own.is_dir() else PLAIN


def pictures(folder: Path) -> dict[str, bytes | None]:
    """Return the content of each picture of a folder, None where it only leads to one."""
    files = [path for path in folder.iterdir() if path.name not in ("pack.md", "expected.json")]
    return {path.name: None if path.is_symlink() else path.read_bytes() for path in files}


def test_there_are_many_packs_to_look_at():
    assert len(INVALID) >= 70
    assert len(VALID) >= 60


@pytest.mark.parametrize("folder", INVALID, ids=lambda folder: folder.name)
def test_a_wrong_pack_gives_exactly_its_findings(folder):
    expected = json.loads((folder / "expected.json").read_text("utf-8"))
    result = compile_folder(folder, UNPROVED)
    assert expected
    assert [as_expected(finding) for finding in result.findings] == expected
    assert (result.pack is None) == any(finding["severity"] == "error" for finding in expected)


@pytest.mark.parametrize("folder", INVALID, ids=lambda folder: folder.name)
def test_a_wrong_pack_is_named_after_its_fault(folder):
    found = {finding["code"].lower() for finding in json.loads((folder / "expected.json").read_text("utf-8"))}
    assert folder.name == "several-at-once" or any(f"{folder.name}-".startswith(f"{code}-") for code in found)


@pytest.mark.parametrize("folder", VALID, ids=lambda folder: folder.name)
def test_a_right_pack_gives_no_finding(folder):
    result = compile_folder(folder, UNPROVED)
    assert [finding.text() for finding in result.findings] == []
    assert result.pack is not None


@pytest.mark.parametrize("folder", INVALID, ids=lambda folder: folder.name)
def test_only_the_fault_is_between_a_wrong_pack_and_its_twin(folder):
    """Else a pack could be refused for something that its name does not say."""
    wrong, right = ((one / "pack.md").read_bytes() for one in (folder, twin(folder)))
    try:
        wrong_lines, right_lines = wrong.decode().splitlines(), right.decode().splitlines()
    except UnicodeDecodeError:
        return
    if not wrong_lines:
        return
    changes = [
        max(old_end - old, new_end - new)
        for tag, old, old_end, new, new_end in difflib.SequenceMatcher(
            None, right_lines, wrong_lines, autojunk=False
        ).get_opcodes()
        if tag != "equal"
    ]
    assert changes or pictures(folder) != pictures(twin(folder))
    assert len(changes) <= 5
    assert sum(changes) <= 8 or folder.name in (
        "line-too-long-paragraph",
        "yaml-too-many-entries",
        "no-steps",
    )


# --- Codes, corpus and compiler speak of the same faults

REPORTS = {"report", "refuse", "refused", "Finding", "AmountUnclear", "as_finding", "bound"}
HOME = Path(compiler.__file__)
PROOF = [HOME.parent / "proof" / name for name in ("prove.py", "prose.py")]
SOURCES = [HOME, *sorted((HOME.parent / "pack").glob("*.py")), *PROOF]


def emitted() -> set[str]:
    """Return every code that the compiler's source can report, read off its calls."""
    found = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and node.args:
                name = (
                    node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
                )
                if name in REPORTS:
                    code = node.args[0]
                    parts = [code.body, code.orelse] if isinstance(code, ast.IfExp) else [code]
                    found |= {part.value for part in parts if isinstance(part, ast.Constant)}
    return found


def in_corpus() -> set[str]:
    """Return every code that a wrong pack of the corpus gives."""
    return {
        finding["code"]
        for folder in INVALID
        for finding in json.loads((folder / "expected.json").read_text("utf-8"))
    }


def test_every_code_that_is_reported_is_explained():
    assert len(emitted()) > 50
    assert emitted() - CODES.keys() - RULES.keys() == set()
    assert CODES.keys() & RULES.keys() == set()


def test_every_code_that_is_explained_is_reported():
    assert CODES.keys() - emitted() == set()
    assert emitted() & RULES.keys() <= in_corpus()


def test_every_code_has_a_wrong_pack():
    assert CODES.keys() - in_corpus() == WRITTEN_BY_TESTS
