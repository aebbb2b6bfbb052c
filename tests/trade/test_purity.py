"""The trade knows numbers, quantities and nothing else."""

import ast
from pathlib import Path

import pytest

TRADE = sorted((Path(__file__).parent.parent.parent / "webapp" / "trade").glob("*.py"))
assert TRADE, "a test over no files would pass by looking at nothing"
ALLOWED = {
    "__future__",
    "collections",
    "dataclasses",
    "decimal",
    "fractions",
    "functools",
    "itertools",
    "math",
    "pint",
    "re",
    "typing",
}


def imported(path):
    """Return the modules a file imports from outside its own folder."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name.split(".")[0] for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level != 1:
            yield (node.module or "").split(".")[0]


@pytest.mark.parametrize("path", TRADE, ids=lambda path: path.name)
def test_a_computation_meets_no_pack_no_web_no_clock_and_no_disk(path):
    assert set(imported(path)) <= ALLOWED
