"""The passes of a fastener group, as a wrench is set."""

from __future__ import annotations

import pytest

from webapp.pack.schema import Fasteners
from webapp.pack.stages import pass_amount


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
    units = {pass_amount(bolts, number).shown(system).split(" ")[1] for number in (1, 2)}
    assert len(units) == 1


def test_the_last_pass_is_the_full_figure_with_the_authors_second_unit():
    bolts = group("24 N·m (18 lbf·ft)", ["50 %", "100 %"])
    assert pass_amount(bolts, 2) == bolts.torque
    assert pass_amount(bolts, 1).shown("si") == "12 N·m"


def test_a_second_unit_of_the_author_is_kept_on_its_pass():
    bolts = group("24 N·m", ["12 N·m (9 lbf·ft)", "24 N·m"])
    assert pass_amount(bolts, 1).shown("us") == "9 lbf·ft"
