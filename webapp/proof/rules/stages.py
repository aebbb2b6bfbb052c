"""R25 and R27: what is on the threads, and in which order and in how many stages a joint is closed."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from webapp.pack import schema
from webapp.pack.actions import StartByHand, Tighten
from webapp.pack.stages import full_figures
from webapp.trade.tightening import LARGE
from webapp.trade.units import to_base

from ..job import Job
from ..rule import Found, Spot
from .figures import ends

MOST = to_base(LARGE.nominal or 0, LARGE.unit, "torque")  # N·m: above it every joint is closed in stages
SEALED, ANY = 4, 3  # fasteners of a sealed joint, of any joint
UNTREATED = frozenset({"dry", "as-supplied"})
WORDS = {
    "dry": "dry",
    "oiled": "oiled",
    "threadlocker": "with threadlocker",
    "sealant": "with sealant",
    "anti-seize": "with anti-seize",
    "as-supplied": "as supplied",
}


def tightened(job: Job) -> dict[str, set[str]]:
    """Return by group how it is tightened: final, check, snug, finger-tight."""
    found: dict[str, set[str]] = {}
    for step in job.steps:
        for action in step.actions:
            if isinstance(action, Tighten):
                found.setdefault(action.tighten, set()).add(action.to)
            elif isinstance(action, StartByHand):
                found.setdefault(action.start_by_hand, set())
    return found


def judge_threads(job: Job) -> Iterator[Found]:
    """Find threads that are not in the state that the figure was given for.

    A bolt as supplied may be dry, plated or waxed: what was never said to be on it is not judged.
    """
    used = tightened(job)
    for name, group in job.front.fasteners.items():
        own, meant = group.threads, group.figure_for
        if not own or not meant or own == meant or own == "as-supplied" or {own, meant} <= UNTREATED:
            continue
        if name not in used or not full_figures(group):
            continue
        more = "clamps less than it should" if own == "dry" else "stretches the bolt further"
        yield Found(
            Spot(None, ("fasteners", name, "threads")),
            f"{group.name}: the threads go in {WORDS[own]}, and the figure is for threads {WORDS[meant]}; "
            f"the same torque {more}",
            f"threads: {meant}, or the figure that the maker gives for threads {WORDS[own]}",
            also=Spot(None, ("fasteners", name, "figure-for")),
            severity="error" if group.angle else "warning",
        )


def judge_stages(job: Job) -> Iterator[Found]:
    """Find joints that are closed without an order, or in a single pass."""
    used = tightened(job)
    for name, group in job.front.fasteners.items():
        how = used.get(name, set())
        figures = [ends(amount)[1] for _, amount in full_figures(group)]
        if "final" not in how or not figures:
            continue
        sealed, total = seals(job.front, group), of_one_joint(job.front, group)
        large = max(figures) > MOST * (1 + 1e-9)
        if not (sealed and total >= SEALED) and not (large and total >= ANY):
            continue
        missing = []
        if not group.order and group.pattern is None:
            missing.append("no order")
        if not in_stages(job.front, group, how):
            missing.append("a single pass")
        if missing:
            yield Found(
                Spot(None, ("fasteners", name)),
                f"{group.name}: {total} fasteners of a "
                + (f"sealed joint are tightened {said(missing)}" if sealed and total >= SEALED else
                   f"joint above {LARGE.written} are tightened {said(missing)}"),
                " and ".join(write(missing)),
                severity="warning",
            )  # fmt: skip


def said(missing: list[str]) -> str:
    """Return what is missing in words."""
    return " and ".join("in no order" if one == "no order" else "in a single pass" for one in missing)


def write(missing: list[str]) -> Iterator[str]:
    """Yield what to write for what is missing."""
    if "no order" in missing:
        yield "the maker's own `order`, or a `pattern`, from which one is worked out"
    if "a single pass" in missing:
        yield "passes: [50 %, 100 %], or the passes of the maker"


def seals(front: schema.FrontMatter, group: schema.Fasteners) -> bool:
    """Return whether a group closes a sealed joint: by its own word, else by what it holds."""
    if group.joint:
        return group.joint == "sealed"
    held = [front.items[one] for one in group.holds]
    seals = {one.sealed_by for one in held} - {None}
    turning = {
        name for name, item in front.items.items() if item.form == "lip-seal"
    }  # seals a shaft, no faces
    return bool(seals - turning) or any(one.kind == "joint" for one in held)


def of_one_joint(front: schema.FrontMatter, group: schema.Fasteners) -> int:
    """Return how many of a group close one joint. Each of several pieces, lines or plugs is its own."""
    held = [front.items[one] for one in group.holds]
    pieces = max((one.count for one in held), default=1)
    if all(one.kind in ("connection", "opening") for one in held):
        pieces = max(pieces, sum(one.count for one in held))
    return ceil(group.total() / pieces)


def in_stages(front: schema.FrontMatter, group: schema.Fasteners, how: set[str]) -> bool:
    """Return whether a group comes to its figure in more than one pass.

    A turn after the torque is a second stage; so is a torque after snug, and after finger-tight where the
    label of the sealant asks for that.
    """
    if len(group.passes) > 1 or group.angle or "snug" in how:
        return True
    sealants = {front.items[one].sealed_by for one in group.holds} & front.sealants.keys()
    slow = any(front.sealants[one].method == "finger-tight-then-torque" for one in sealants if one)
    return slow and "finger-tight" in how
