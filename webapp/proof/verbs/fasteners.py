"""Groups of fasteners: how they come loose and out, and how they are tightened."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Loosen, Mark, ScrapFasteners, StartByHand, Tighten, Turn, Undo

from ..job import JobStep
from .circuits import air_in, circuits_at, works_on
from .items import lets_go, moves_item
from .joints import disturbs
from .known import Known
from .said import Change, Moment, What, at_fluids, at_items


def loosen(known: Known, step: JobStep, action: Loosen) -> Iterator[What]:
    """Yield that a group is slack, and what it holds is let go."""
    name = action.loosen
    yield from comes_loose(known, step, name)
    yield Change(f"group:{name}", "loosen")
    yield Change(f"due:renew-{name}", "disturbed")


def undo(known: Known, step: JobStep, action: Undo) -> Iterator[What]:
    """Yield that a group is out, or some of it."""
    name = action.undo
    yield from comes_loose(known, step, name)
    group = known.front.fasteners[name]
    total = group.total()
    count = action.count or total
    if count == total:
        yield from all_out(known, group)
    known.so_far.out[name] = min(total, known.so_far.out.get(name, 0) + count)
    yield Change(f"group:{name}", "undo" if count == total else "undo-some")
    yield Change(f"out:{name}", "undo", count)
    if group.one_use:
        yield Change(f"due:renew-{name}", "arises")


def comes_loose(known: Known, step: JobStep, name: str) -> Iterator[What]:
    """Yield what follows when a group comes loose: its joints move, and what it holds is let go."""
    yield disturbs(name)
    yield from slackens(known, name)
    for held in known.front.fasteners[name].holds:
        yield from works_on(circuits_at(known, held))
        yield from lets_go(known, step, held)


def slackens(known: Known, name: str) -> Iterator[What]:
    """Yield what follows from slackening a group that holds fuel in or brakes together."""
    group = known.front.fasteners[name]
    held = group.holds if group.joint in (None, "sealed") else []
    circuits = {circuit for one in held for circuit in circuits_at(known, one)}
    if group.joint == "sealed" and "cooling" in circuits:
        yield at_items("opens-cooling", *held)
    if group.joint == "fuel" or "fuel" in circuits:
        fluids = known.front.fluids.items()
        yield at_fluids("slackens", (one for one, fluid in fluids if fluid.circuit == "fuel"))
    if group.joint == "brake" or "brake" in circuits:
        for proof in ("firm-pedal", "slow-stop"):
            yield Change(f"due:{proof}", "arises")


def all_out(known: Known, group: schema.Fasteners) -> Iterator[What]:
    """Yield what follows when all of a group are out: a wheel comes off, a union parts its line."""
    if group.joint == "wheel":
        yield Moment("wheel-off")
    if group.joint in (None, "sealed", "fuel", "brake"):
        lines = [item for one in group.holds if (item := known.front.items[one]).kind == "connection"]
        for fluid in sorted({one for item in lines for one in known.relations.fluids_of(item)}):
            yield from air_in(known, fluid)


def scrap(known: Known, step: JobStep, action: ScrapFasteners) -> Iterator[What]:
    """Yield that what is used once is thrown away: a group once all of it is, or an item."""
    name = action.scrap
    group = known.front.fasteners.get(name)
    if group:
        if known.done.scrapped[name] >= group.total():
            yield Change(f"due:renew-{name}", "seen")
        return
    yield Change(f"due:renew-{name}", "seen")
    yield at_items("scraps", name)
    # several that were counted out lie there
    if known.front.items[name].count == 1 or name not in known.done.removed:
        yield moves_item(known, action, name, "scrap")


def start_by_hand(known: Known, step: JobStep, action: StartByHand) -> Iterator[What]:
    """Yield that fasteners are in by hand, and counted in."""
    name = action.start_by_hand
    yield Moment("starts-by-hand", frozenset({f"fasteners:{name}"}))
    known.so_far.out.pop(name, None)
    yield Change(f"group:{name}", "start-by-hand")
    yield Change(f"out:{name}", "in", action.count or known.front.fasteners[name].total())


def tighten(known: Known, step: JobStep, action: Tighten) -> Iterator[What]:
    """Yield what a tightening does, by how far it goes."""
    name = action.tighten
    group = known.front.fasteners[name]
    concerns = frozenset({f"fasteners:{name}", *(f"items:{held}" for held in group.holds)})
    yield Moment("tightens", concerns)
    if action.to != "finger-tight":
        yield Moment("squeezes", concerns)
    yield from known.so_far.count_in(name)
    yield from (Change(f"support:{held}", "fast") for held in group.holds)
    if action.pass_ and action.pass_ <= len(group.passes):
        if action.pass_ == len(group.passes):
            yield Moment("tightens-fully", concerns)
        yield Change(f"group:{name}", f"pass {action.pass_}")
        return
    if action.to in ("final", "check"):
        yield Moment("tightens-fully", concerns)
    yield Change(f"group:{name}", action.to)


def turn(known: Known, step: JobStep, action: Turn) -> Iterator[What]:
    """Yield that a group is turned by its angle, or by one stage of it."""
    name = action.turn
    yield Moment("tightens", frozenset({f"fasteners:{name}"}))
    yield Moment("squeezes", frozenset({f"fasteners:{name}"}))
    yield Change(f"group:{name}", f"turn {action.stage}" if action.stage else "turn")


def mark(known: Known, step: JobStep, action: Mark) -> Iterator[What]:
    """Yield nothing: paint on a bolt changes nothing that is followed."""
    return iter(())
