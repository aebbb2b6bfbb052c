"""What is laid out follows from the steps: never typed twice, nothing forgotten."""

from pathlib import Path

import pytest

from webapp.compile import compile_folder
from webapp.plan.kit import kit

PACK = compile_folder(Path(__file__).parent.parent / "web" / "packs" / "drain-plug").pack


@pytest.mark.parametrize(
    "answers, parts, tools",
    [
        ({"tray": "none"}, {"washer"}, {"wrench", "pan"}),
        ({"tray": "fitted", "clips": "screws"}, {"washer", "tray-screws"}, {"wrench", "pan"}),
        ({"tray": "fitted", "clips": "clips"}, {"washer"}, {"wrench", "pan", "clip-lever"}),
        ({}, {"washer", "tray-screws"}, {"wrench", "pan", "clip-lever"}),
    ],
)
def test_answers_choose_what_is_laid_out(answers, parts, tools):
    found = kit(PACK, answers)
    assert set(found.parts) == parts
    assert set(found.tools) == tools


def test_what_only_a_left_out_step_uses_stays_in_the_cupboard():
    """The tray's screws belong to the step that fits the tray, whatever their own condition says."""
    assert "tray-screws" not in kit(PACK, {"tray": "none", "clips": "screws"}).parts


def test_the_kit_keeps_the_order_of_the_pack():
    assert list(kit(PACK, {}).tools) == list(PACK.front.tools)
