"""For each rule a small pack that it refuses and one that it lets pass: R01-wrong.md and R01-right.md.

A file holds what is its own: the keys of its front matter, a line of three hyphens, and its steps. What every
pack needs is put before it. Vehicles and figures are invented.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Literal

HEAD = """\
---
format: 1
title: An example
vehicle: Marrowby Linnet 10 carrier, invented
invented: true
summary: A few steps of a job, to show one rule.
for: A hands-on repairer.
not-for: Any real vehicle.
units: si
sources: {sheet: {kind: invented, title: Figures made up for this example}}
"""


def own(code: str, kind: Literal["wrong", "right"]) -> str:
    """Return what an example holds of its own. Raises FileNotFoundError when the rule has none."""
    return (files(__package__) / f"{code}-{kind}.md").read_text("utf-8")


def whole(text: str) -> str:
    """Return an example as a pack."""
    return HEAD + text
