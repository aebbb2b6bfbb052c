"""Faces, beads and joints: what is cleaned, laid and closed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack.actions import Apply, Clean, Join

from ..job import JobStep
from .joints import disturbs, hides
from .known import Known
from .said import Change, Moment, What, at_items

GRITTY = re.compile(r"scrap|brush|abras|emery|sand|file|disc|wire|blow|air|pad\b", re.IGNORECASE)
"""What makes grit when it cleans, by its name."""
GENTLE = re.compile(r"cloth|wipe|swab|vacuum|towel|sponge|solvent|magnet", re.IGNORECASE)
"""What is cleaned with, by its name. A tool that says neither is taken for one that scrapes."""


def clean(known: Known, step: JobStep, action: Clean) -> Iterator[What]:
    """Yield that a face or a part is clean, and that what is open beside it is not."""
    name = action.clean
    if action.with_ in known.front.consumables:
        yield at_items("solvent", name)
    if makes_grit(known, action):
        yield Moment("dirties", openings_at(known, name))
    wiped = any(isinstance(one, Join) and one.join == name for one in step.actions)
    if known.front.items[name].kind == "joint" and not wiped:
        yield disturbs(name)
    yield Change(f"joint:{name}", "clean")
    yield Change(f"bead:{name}", "wipe")
    for joint in known.relations.joints_of(name):
        yield Change(f"joint:{joint}", "clean-part")


def makes_grit(known: Known, action: Clean) -> bool:
    """Return whether a cleaning scrapes, brushes or blows. A cloth with solvent does not."""
    tool = known.front.tools.get(action.with_ or "")
    used = tool or known.front.consumables.get(action.with_ or "")
    words = used.name if used else ""
    return bool(GRITTY.search(words)) or (tool is not None and not GENTLE.search(words))


def openings_at(known: Known, name: str) -> frozenset[str]:
    """Return the openings that lie bare beside a face or under a part."""
    parts = {name, *known.relations.parts_of(name)}
    hidden = {one for part in parts for one in known.front.items[part].hides} - {name}
    return frozenset(f"items:{one}" for one in hidden)


def apply(known: Known, step: JobStep, action: Apply) -> Iterator[What]:
    """Yield that a bead is laid."""
    yield Moment("seals", frozenset({f"items:{action.to}", f"sealants:{action.apply}"}))
    yield Change(f"joint:{action.to}", "seal")
    yield Change(f"bead:{action.to}", "apply")


def join(known: Known, step: JobStep, action: Join) -> Iterator[What]:
    """Yield that a joint is closed."""
    name = action.join
    yield at_items("joins", name)
    yield hides(known, name)
    yield Change(f"bead:{name}", "join")
    yield Change(f"joint:{name}", "join")
