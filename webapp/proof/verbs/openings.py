"""Openings and valves, and the plugs, covers and pins that go into them for a while."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Cover, Open, Place, Shut, TakeOut, Uncover

from ..job import JobStep
from .circuits import opens
from .items import how_many
from .joints import buries, disturbs, hides
from .known import Known
from .said import Change, Moment, What, at_fluids, at_items


def open_(known: Known, step: JobStep, action: Open) -> Iterator[What]:
    """Yield that an opening is open: a drain lets its fluid out, except fuel, which is drained by `drain`."""
    name = action.open
    item = known.front.items[name]
    if item.way == "valve":
        yield Change(f"valve:{name}", "open")
        return
    yield disturbs(name)
    yield from opens(known, name, item, lets_air_in=False)
    if item.way == "drain" and item.fluid and "fuel" not in known.relations.circuits_of(item):
        yield Change(f"level:{item.fluid}", "drain")
    if item.sealed_by in known.front.items:
        yield Change(f"due:renew-{item.sealed_by}", "arises")
    yield Change(f"opening:{name}", "open")
    yield Change(f"bead:{name}", "part")


def shut(known: Known, step: JobStep, action: Shut) -> Iterator[What]:
    """Yield that an opening is shut by what closes it."""
    name = action.shut
    if known.front.items[name].way == "valve":
        yield Change(f"valve:{name}", "shut")
        return
    yield hides(known, name)
    yield buries(known, name, f"items:{name}")
    yield Change(f"opening:{name}", "shut")
    yield Change(f"bead:{name}", "join")


def cover(known: Known, step: JobStep, action: Cover) -> Iterator[What]:
    """Yield that an opening is covered for a while, or some of several."""
    name = action.cover
    count = how_many(known, action, action.with_)
    known.so_far.cover(name, action.with_, count)
    yield at_items("covers", name, action.with_)
    some = count < known.front.items[name].count
    yield Change(f"opening:{name}", "cover-some" if some else "cover")
    yield Change(f"temporary:{action.with_}", "in", count)


def uncover(known: Known, step: JobStep, action: Uncover) -> Iterator[What]:
    """Yield that what covered an opening is out."""
    name = action.uncover
    item = known.front.items[name]
    yield unplugs(known, name)
    some = (action.count or item.count) < item.count
    yield Change(f"opening:{name}", "uncover-some" if some else "uncover")
    covers = known.so_far.covers.get(name, {})
    known.so_far.bared.add(name)
    for one, count in covers.items():  # one of several, by the answers: whichever is in
        yield Change(f"temporary:{one}", "out" if len(covers) == 1 else "out-if-in", action.count or count)


def place(known: Known, step: JobStep, action: Place) -> Iterator[What]:
    """Yield that a temporary thing is in, and covers what it is put into."""
    name = action.place
    count = how_many(known, action, name)
    yield Change(f"temporary:{name}", "in", count)
    if action.in_ and known.front.items[action.in_].kind in ("opening", "connection"):
        yield Change(f"opening:{action.in_}", "cover")
        yield Change(f"connection:{action.in_}", "cap")
        known.so_far.cover(action.in_, name, count)


def take_out(known: Known, step: JobStep, action: TakeOut) -> Iterator[What]:
    """Yield that a temporary thing is out, and what it covered is bare."""
    name, so_far = action.take_out, known.so_far
    yield Change(f"temporary:{name}", "out", how_many(known, action, name))
    for opening in [one for one, covers in so_far.covers.items() if name in covers]:
        yield unplugs(known, opening)
        yield Change(f"opening:{opening}", "uncover-if-covered")
        if opening not in so_far.bared:
            yield Change(f"connection:{opening}", "uncap")
        so_far.bared.add(opening)


def unplugs(known: Known, name: str) -> Moment:
    """Return the moment at which what closed an opening comes out: a plug, a tester under pressure."""
    return at_fluids("unplugs", known.relations.fluids_of(known.front.items[name]))
