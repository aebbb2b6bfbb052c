"""The passes of a fastener group, as a wrench is set."""

from __future__ import annotations

import pytest

from webapp.pack.schema import Fasteners
from webapp.pack.stages import pass_figures


def group(torque: str, passes: list[str]) -> Fasteners:
    data = {"name": "brace bolts", "count": 4, "thread": "M10x1.5", "torque": torque, "passes": passes}
    return Fasteners.model_validate(data)


@pytest.mark.parametrize(
    "torque, passes",
    [
        ("45 N·m", ["20 N·m", "45 N·m"]),
        ("45 N·m", ["45 %", "100 %"]),
        ("33 lbf·ft", ["15 lbf·ft", "33 lbf·ft"]),
    ],
)
@pytest.mark.parametrize("system", ["us", "si"])
def test_one_bolt_is_not_read_off_two_scales(torque, passes, system):
    bolts = group(torque, passes)
    units = {pass_figures(bolts, number)[0][1].shown(system).split(" ")[1] for number in (1, 2)}
    assert len(units) == 1


def test_the_last_pass_is_the_full_figure_with_the_authors_second_unit():
    bolts = group("24 N·m (18 lbf·ft)", ["50 %", "100 %"])
    assert pass_figures(bolts, 2)[0][1] == bolts.torque
    assert pass_figures(bolts, 1)[0][1].shown("si") == "12 N·m"


def test_a_second_unit_of_the_author_is_kept_on_its_pass():
    bolts = group("24 N·m", ["12 N·m (9 lbf·ft)", "24 N·m"])
    assert pass_figures(bolts, 1)[0][1].shown("us") == "9 lbf·ft"


def test_bolts_of_a_length_with_its_own_torque_have_their_own_pass():
    data = {
        "name": "cover bolts",
        "count": 6,
        "thread": "M10x1.5",
        "torque": "60 N·m",
        "passes": ["50 %", "100 %"],
        "lengths": [
            {"length": "30 mm", "count": "4", "torque": "40 N·m"},
            {"length": "45 mm", "count": "2"},
        ],
    }
    bolts = Fasteners.model_validate(data)
    assert [(which, one.shown("si")) for which, one in pass_figures(bolts, 1)] == [
        ("45 mm bolts", "30 N·m"),
        ("30 mm bolts", "20 N·m"),
    ]
    assert [one.shown("si") for _, one in pass_figures(bolts, 2)] == ["60 N·m", "40 N·m"]
