"""R23 and R24: a torque wrench for every figure, and what an adapter makes of its setting."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import NamedTuple

from webapp.pack import schema
from webapp.pack.actions import Tighten
from webapp.pack.amounts import Amount
from webapp.pack.compiled import holds
from webapp.pack.stages import full_figures, pass_figures
from webapp.trade.units import to_base
from webapp.trade.wrench import BAND, FLOOR

from ..job import MOST_ANSWERS, Job, JobStep
from ..rule import Found, Spot

TRUE = float(FLOOR.m_as("percent")) / 100  # of its largest figure: from there on a wrench is true
_BIT = 1e-9
CROWFOOT = re.compile(r"crow['’]?s?[ -]?foot", re.I)
SQUARE = re.compile(r"\b90 ?°|\bsquare to|\bright angle", re.I)
TORQUE_WRENCH = re.compile(r"torque[ -](wrench|spanner|screwdriver)", re.I)


class Use(NamedTuple):
    """A tightening to a figure: where, of which group, and every figure that is set on the way."""

    step: JobStep
    at: int
    group: str
    figures: tuple[Amount, ...]


def uses(job: Job) -> Iterator[Use]:
    """Yield every tightening to a figure, with the figures of its passes and of each length."""
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Tighten) and action.to in ("final", "check"):
                figures = tuple(of_action(job.front.fasteners[action.tighten], action))
                if figures:
                    yield Use(step, at, action.tighten, figures)


def of_action(group: schema.Fasteners, action: Tighten) -> Iterator[Amount]:
    """Yield the figures that one action sets: of its pass, else of all passes, at a check the full one."""
    numbers: Iterable[int] = range(1, len(group.passes) + 1)
    if action.pass_:
        numbers = [action.pass_] if action.pass_ <= len(group.passes) else []
    elif action.to == "check" or not group.passes:
        yield from (amount for _, amount in full_figures(group))
        return
    for number in numbers:
        yield from (amount for _, amount in pass_figures(group, number))


def within(amount: Amount) -> tuple[float, float]:
    """Return between what, N·m, a wrench may be set for a figure. A bound alone is given its usual band."""
    if amount.nominal is not None:
        value = to_base(amount.nominal, amount.unit, "torque")
        return value, value
    low = None if amount.low is None else to_base(amount.low, amount.unit, "torque")
    high = None if amount.high is None else to_base(amount.high, amount.unit, "torque")
    if low is None:
        return (high or 0) * (1 - BAND), high or 0
    return low, high if high is not None else low * (1 + BAND)


def scale(wrench: schema.Wrench) -> tuple[float, float]:
    """Return the ends of a wrench's scale, N·m."""
    ends = [
        to_base(end, wrench.range.unit, "torque")
        for end in (wrench.range.low, wrench.range.high)
        if end is not None
    ]
    return min(ends), max(ends)


def holding(amount: Amount, wrenches: Iterable[schema.Wrench]) -> tuple[bool, bool]:
    """Return whether one of the wrenches reaches a figure, and whether one reaches it where it is true."""
    low, high = within(amount)
    reached = true = False
    for wrench in wrenches:
        least, most = scale(wrench)
        if least <= high * (1 + _BIT) and low <= most * (1 + _BIT):
            reached = True
            true |= high * (1 + _BIT) >= TRUE * most
    return reached, true


def at_hand(job: Job, step: JobStep) -> Iterator[list[str]]:
    """Yield the torque wrenches there are for a step, under each answer that changes them.

    A step that names its wrenches is done with these; else all that are laid out are there.
    """
    tools = job.front.tools
    own = [name for name in step.data.tools if name in tools and tools[name].wrench]
    names = own or [name for name, tool in tools.items() if tool.wrench]
    asked = {question for name in names for question in tools[name].when}
    seen: set[tuple[str, ...]] = set()
    for under in islice(job.combinations(asked), MOST_ANSWERS):
        if not holds(step.data.when, under):
            continue
        there = tuple(name for name in names if holds(tools[name].when, under))
        if there not in seen:
            seen.add(there)
            yield list(there)


def judge_wrenches(job: Job) -> Iterator[Found]:
    """Find figures that no wrench of the list holds, or only where it is not true."""
    tools = job.front.tools
    if not tools:
        return
    known = [name for name, tool in tools.items() if tool.wrench]
    if not known:
        yield from no_wrench(job)
        return
    said: set[tuple[str, str]] = set()
    for use in uses(job):
        for names in at_hand(job, use.step):
            yield from judge_use(job, use, names, said)


def no_wrench(job: Job) -> Iterator[Found]:
    """Find the first figure, where no tool is a torque wrench with its range."""
    use = next(uses(job), None)
    if use is None:
        return
    tools = job.front.tools
    vague = next((name for name, tool in tools.items() if TORQUE_WRENCH.search(tool.name)), None)
    name, figure = job.front.fasteners[use.group].name, use.figures[-1].written
    if vague:
        yield Found(
            Spot(None, ("tools", vague)),
            f"“{vague}” does not say its range, so nobody can tell whether it holds {figure} for {name}",
            "its `wrench`, with the smallest and the largest figure on its scale as range: 5–50 N·m",
            also=Spot(use.step.id, ("actions", use.at)),
            severity="warning",
        )
        return
    yield Found(
        Spot(use.step.id, ("actions", use.at)),
        f"{name} are tightened to {figure}, and no torque wrench is among the tools"
        if job.front.fasteners[use.group].total() > 1
        else f"{name} is tightened to {figure}, and no torque wrench is among the tools",
        "a torque wrench under `tools`, with its scale under `wrench` as range: 5–50 N·m",
    )


def judge_use(job: Job, use: Use, names: list[str], said: set[tuple[str, str]]) -> Iterator[Found]:
    """Find what is wrong with the wrenches of one tightening; each figure of a group is said once."""
    tools, group = job.front.tools, job.front.fasteners[use.group]
    wrenches = [wrench for name in names if (wrench := tools[name].wrench)]
    for amount in use.figures:
        reached, true = holding(amount, wrenches)
        key = (use.group, amount.written)
        if true or key in said:
            continue
        said.add(key)
        scales = ", ".join(wrench.range.written for wrench in wrenches) or "none"
        others = [
            name for name, tool in tools.items()
            if tool.wrench and name not in names and holding(amount, [tool.wrench])[1]
        ]  # fmt: skip
        write = (
            f"“{others[0]}”, which holds it, in the `tools` of this step"
            if others
            else f"a torque wrench that holds {amount.written}, and not in the lowest fifth of its scale"
        )
        yield Found(
            Spot(use.step.id, ("actions", use.at)),
            f"{amount.written} for {group.name} lies in the lowest fifth of every wrench here ({scales})"
            if reached
            else f"no torque wrench here holds {amount.written} for {group.name} ({scales})",
            write,
            also=Spot(None, ("fasteners", use.group)),
            severity="warning" if reached else "error",
        )


def judge_adapters(job: Job) -> Iterator[Found]:
    """Find adapters on a wrench whose length nobody gave: without it no setting can be worked out."""
    tools = job.front.tools
    said: set[str] = set()
    for use in uses(job):
        for name in use.step.data.tools:
            tool = tools.get(name)
            if tool is None or name in said or not moves_the_lever(tool):
                continue
            own = [one for one in use.step.data.tools if one in tools and tools[one].wrench]
            wrenches = own or [one for one, other in tools.items() if other.wrench]
            short = [one for one in wrenches if (wrench := tools[one].wrench) and wrench.length is None]
            if not short:
                continue
            said.add(name)
            yield Found(
                Spot(use.step.id, ("tools",)),
                f"{job.front.fasteners[use.group].name}: tightened through the {tool.name}, and “{short[0]}” "
                "does not say its length",
                f"length: under the wrench of “{short[0]}”, from the middle of its grip to its drive square",
                also=Spot(None, ("tools", short[0])),
                severity="warning",
            )


def moves_the_lever(tool: schema.Tool) -> bool:
    """Return whether a tool moves the fastener off the drive square along the handle. Square to it: no."""
    if SQUARE.search(f"{tool.name} {tool.note or ''}"):
        return False
    return tool.adapter is not None or bool(CROWFOOT.search(tool.name))
