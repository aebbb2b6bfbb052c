"""R47: what the steps use is on the lists, in enough quantity. What is not said in numbers is not counted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from itertools import islice
from typing import NamedTuple

from webapp.pack import schema
from webapp.pack.actions import Apply, Drain, Fill, Fit, ScrapFasteners, StartByHand, Tighten
from webapp.pack.amounts import Amount
from webapp.pack.compiled import holds
from webapp.trade.units import number, to_base

from ..job import MOST_ANSWERS, Job, JobStep
from ..rule import Found, Rule, Spot

SEVERAL = re.compile(r"\b(set|kit|box|pack|bag|pair|assortment)s?\b", re.I)
"""Words of a part that is several pieces: how many, its count does not say."""
CONCENTRATE = re.compile(r"concentrate|undiluted|neat\b", re.I)
WATER = re.compile(r"\bwater\b", re.I)
DRESSINGS: dict[str, re.Pattern[str]] = {
    "threadlocker": re.compile(r"thread ?-?lock|locking (fluid|compound)", re.I),
    "sealant": re.compile(r"seal|tape|paste|silicone|\brtv\b", re.I),
    "anti-seize": re.compile(r"anti-?seize|copper|ceramic|assembly (paste|grease)", re.I),
}
"""What is put on threads, by the names it goes by."""
SLACK = 0.02  # of an amount: roundings of two units, and what a mixture's percent was rounded by
LIFE = frozenset({"o-ring", "crush-washer", "tab-washer", "split-pin", "lip-seal", "gasket"})


class Used(NamedTuple):
    """Something that a step uses up: where, and how many pieces of it."""

    step: JobStep
    at: int
    pieces: int


def judge(job: Job) -> Iterator[Found]:
    """Find what no list has, or not enough of. A pack without any list is no whole job, and is let be."""
    front = job.front
    if not front.parts and not front.consumables:
        return
    yield from of_pieces(job)
    yield from of_fluids(job)
    yield from of_sealants(job)
    yield from of_threads(job)


# Parts ----------------------------------------------------------------------------------------------


def of_pieces(job: Job) -> Iterator[Found]:
    """Find seals, new parts and one-use fasteners that are not on the list, or too few."""
    used: dict[str, list[Used]] = {}
    go_in = {action.target() for step in job.steps for action in step.actions
             if isinstance(action, StartByHand | Tighten)}  # fmt: skip
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Fit) and is_new(job.front.items[action.fit]):
                pieces = action.count or job.front.items[action.fit].count
                used.setdefault(action.fit, []).append(Used(step, at, pieces))
            elif isinstance(action, ScrapFasteners) and action.scrap in job.front.fasteners.keys() & go_in:
                pieces = action.count or job.front.fasteners[action.scrap].total()
                used.setdefault(action.scrap, []).append(Used(step, at, pieces))
    for name, places in used.items():
        yield from of_piece(job, name, places)


def is_new(item: schema.Item) -> bool:
    """Return whether what is fitted is bought for the job: a seal, or what is renewed."""
    return item.kind == "seal" or item.renew or item.one_use or item.form in LIFE


def of_piece(job: Job, name: str, places: list[Used]) -> Iterator[Found]:
    """Find the first answers under which there are fewer of a thing than the steps use."""
    front = job.front
    listed = [part for part in front.parts.values() if name in part.for_]
    what = (front.items.get(name) or front.fasteners[name]).name
    if not listed:
        yield Found(
            Spot(places[0].step.id, ("actions", places[0].at)),
            f"{what}: new ones are used here, and nothing on the list of parts is for it",
            f"an entry under `parts` with for: {name}",
        )
        return
    for answers in combinations(job, [use.step.data.when for use in places], [one.when for one in listed]):
        need = sum(use.pieces for use in places if holds(use.step.data.when, answers))
        there = [one for one in listed if holds(one.when, answers)]
        have = enough(there)
        if need and have is not None and have < need:
            first = next(use for use in places if holds(use.step.data.when, answers))
            yield Found(
                Spot(first.step.id, ("actions", first.at)),
                f"{what}: the steps use {need}, and the list has {have}",
                f"count: {need} at the entry under `parts` that is for: {name}",
                also=Spot(
                    None, ("parts", next(one for one, part in front.parts.items() if name in part.for_))
                ),
                answers=tuple(f"{question} = {answer}" for question, answer in answers.items()),
            )
            return


def enough(there: Iterable[schema.Part]) -> int | None:
    """Return how many pieces some entries are; None where that is not said: a set, or one for many things."""
    total = 0
    for one in there:
        if len(one.for_) > 1 or SEVERAL.search(one.name):
            return None
        total += one.count
    return total


def combinations(job: Job, *whens: list[dict[str, list[str]]]) -> Iterator[dict[str, str]]:
    """Yield the answers that make a difference to these conditions."""
    asked = {question for several in whens for when in several for question in when}
    return islice(job.combinations(asked), MOST_ANSWERS)


# Fluids ---------------------------------------------------------------------------------------------


def of_fluids(job: Job) -> Iterator[Found]:
    """Find fluids that are filled in and not on the list, or less of them than goes in."""
    fills: dict[str, list[tuple[JobStep, int, Fill]]] = {}
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Fill) and not poured_back(job, action):
                fills.setdefault(action.fill, []).append((step, at, action))
    for name, places in fills.items():
        listed = {id_: one for id_, one in job.front.consumables.items() if name in one.for_}
        step, at, _ = places[0]
        if not listed:
            yield Found(
                Spot(step.id, ("actions", at)),
                f"{job.front.fluids[name].name} is filled in, and no entry under `consumables` is for it",
                f"an entry under `consumables` with for: {name} and the amount that goes in",
            )
            continue
        yield from of_fluid(job, name, places, listed)


def poured_back(job: Job, fill: Fill) -> bool:
    """Return whether what goes in is what came out: it is poured from the pan that it was drained into."""
    drains = (one for _, _, one in job.doing.get(fill.fill, ()) if isinstance(one, Drain))
    return fill.from_ is not None and any(one.into == fill.from_ for one in drains)


def of_fluid(
    job: Job,
    name: str,
    places: list[tuple[JobStep, int, Fill]],
    listed: Mapping[str, schema.Consumable],
) -> Iterator[Found]:
    """Find the first answers under which less of a fluid is listed than goes in."""
    fluid, mix = job.front.fluids[name].name, job.front.fluids[name].mix
    mixed = float(mix.nominal or mix.high or 100) / 100 if mix else 1.0
    whens = [step.data.when for step, _, _ in places]
    for answers in combinations(job, whens, [one.when for one in listed.values()]):
        done = [(step, at, fill) for step, at, fill in places if holds(step.data.when, answers)]
        there = [one for one in listed.values() if holds(one.when, answers)]
        if not done:
            continue
        lacking = short(done, there, mixed)
        if lacking:
            step, at, fill = done[0]
            what, need, have = lacking
            unit = fill.volume.unit if fill.volume else "L"
            yield Found(
                Spot(step.id, ("actions", at)),
                f"{fluid}: {said(need, unit)} {what}, and the list has {said(have, unit)}",
                f"amount: {said(need, unit)} or more under `consumables`, for: {name}",
                also=Spot(None, ("consumables", next(iter(listed)))),
                answers=tuple(f"{question} = {answer}" for question, answer in answers.items()),
            )
            return


def short(
    done: list[tuple[JobStep, int, Fill]], there: list[schema.Consumable], mixed: float = 1.0
) -> tuple[str, float, float] | None:
    """Return what is short, how much is needed and how much there is, both in the base unit of volumes.

    Where a concentrate is listed, it is held against its share of what goes in, and all together against the
    whole only where the water is listed too. An amount that is not said makes no finding.
    mixed: what share of concentrate a ready mixture holds, 1 where nobody says.
    """

    def of(entry: schema.Consumable) -> float:
        if CONCENTRATE.search(entry.name):
            return 1.0
        return 0.0 if WATER.search(entry.name) else mixed

    poured = [most(fill.volume) for _, _, fill in done]
    bought = [volume(one) for one in there]
    if any(one is None for one in (*poured, *bought)):
        return None
    whole, have = sum(one or 0 for one in poured), sum(one or 0 for one in bought)
    thick = [CONCENTRATE.search(one.name) is not None for one in there]
    if any(thick):
        shares = [fill.mix.nominal or fill.mix.low if fill.mix else None for _, _, fill in done]
        if all(share is not None for share in shares):
            need = sum(
                (one or 0) * float(share or 0) / 100 for one, share in zip(poured, shares, strict=True)
            )
            got = sum((one or 0) * of(entry) for one, entry in zip(bought, there, strict=True))
            if got < need * (1 - SLACK):
                return "of its concentrate go in", need, got
        if not any(WATER.search(one.name) for one in there):
            return None
    if have < whole * (1 - SLACK):
        return "go in", whole, have
    return None


def most(amount: Amount | None) -> float | None:
    """Return the nominal, else the largest volume of an amount, in the base unit."""
    if amount is None or amount.kind != "volume":
        return None
    ends = [one for one in (amount.nominal, amount.high, amount.low) if one is not None]
    return to_base(ends[0], amount.unit, "volume")


def volume(one: schema.Consumable) -> float | None:
    """Return how much an entry is, in the base unit; None where it does not say so."""
    if one.amount is not None:
        return most(one.amount)
    pack = most(one.pack)
    return pack * one.count if pack is not None and one.count is not None else None


def said(value: float, unit: str) -> str:
    """Return a volume of the base unit in another unit, in words."""
    shown = value / to_base(1, unit, "volume")
    return f"{number(Decimal(f'{shown:.3g}'))} {unit}"


# Sealants, and what goes on threads -----------------------------------------------------------------


def of_sealants(job: Job) -> Iterator[Found]:
    """Find sealants that are laid and not on the list."""
    listed = {name for one in job.front.consumables.values() for name in one.for_}
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if isinstance(action, Apply) and action.apply not in listed:
                listed.add(action.apply)
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"{job.front.sealants[action.apply].name} is laid here, and no entry under `consumables` "
                    "is for it",
                    f"an entry under `consumables` with for: {action.apply}",
                )


def of_threads(job: Job) -> Iterator[Found]:
    """Find threads that go in with something on them that is not on the list, by use or by name."""
    seen: set[str] = set()
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, StartByHand | Tighten) or action.target() in seen:
                continue
            name = action.target()
            seen.add(name)
            group = job.front.fasteners[name]
            names = DRESSINGS.get(group.threads or "")
            entries = job.front.consumables.values()
            if names is None or any(name in one.for_ or names.search(one.name) for one in entries):
                continue
            yield Found(
                Spot(step.id, ("actions", at)),
                f"{group.name}: the threads go in with {group.threads}, and no entry under `consumables` is "
                "for them",
                f"an entry under `consumables` with for: {name}",
                also=Spot(None, ("fasteners", name, "threads")),
            )


RULES: tuple[Rule, ...] = (
    Rule(
        "R47",
        "The lists cover the steps",
        "What is missing is missed when the machine is open, and the shop that has it is shut.",
        "error",
        "Every seal and new part that is fitted, every one-use fastener, every fluid, sealant and dressing "
        "of threads has an entry for it, and as many or as much as the steps use under any answers. What is "
        "poured back `from` the pan that it was drained into is not bought. Sets, entries for several things "
        "and amounts that are not said are not counted. Only where the pack has lists.",
        judges=(judge,),
    ),
)
