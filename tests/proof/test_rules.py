"""Every rule with packs that it refuses and packs that look alike and are right.

`webapp/proof/examples/` holds the smallest of each, which authors are shown; `tests/corpus/rules/` holds the
others: R01-wrong-*.md must give that rule's finding and no other, R01-right-*.md must give none.
"""

import re
from pathlib import Path

import pytest

from webapp.compile import Result, compile_bytes
from webapp.proof import examples
from webapp.proof.rules import RULES

PLACES = (Path(examples.__file__).parent, Path(__file__).parent.parent / "corpus" / "rules")
FILES = sorted(path for place in PLACES for path in place.glob("R??-*.md"))
WRONG = [path for path in FILES if "-wrong" in path.name]
RIGHT = [path for path in FILES if "-right" in path.name]


def result(path: Path) -> Result:
    return compile_bytes(examples.whole(path.read_text("utf-8")).encode(), path.name, {}, "example")


def test_every_file_is_for_a_rule_and_is_wrong_or_right():
    assert FILES
    assert len(WRONG) + len(RIGHT) == len(FILES)
    assert {path.name[:3] for path in FILES} - RULES.keys() == set()


@pytest.mark.parametrize("code", RULES)
def test_every_rule_has_a_pack_that_it_refuses_and_two_look_alikes_that_are_right(code):
    assert [path for path in WRONG if path.name.startswith(f"{code}-wrong.md")]
    assert len([path for path in RIGHT if path.name.startswith(code)]) >= 2


@pytest.mark.parametrize("path", WRONG, ids=lambda path: path.stem)
def test_a_wrong_pack_gives_the_finding_of_its_rule_and_no_other(path):
    found = result(path).findings
    assert {finding.code for finding in found} == {path.name[:3]}, "\n\n".join(f.text() for f in found)


@pytest.mark.parametrize("path", RIGHT, ids=lambda path: path.stem)
def test_a_right_pack_gives_no_finding(path):
    assert [finding.text() for finding in result(path).findings] == []


@pytest.mark.parametrize("path", WRONG, ids=lambda path: path.stem)
def test_a_finding_says_what_why_and_what_to_write(path):
    for finding in result(path).findings:
        assert finding.what
        assert finding.why
        assert finding.write
        assert not re.search(r"\{\w*\}", finding.text())  # a word that was not put in
