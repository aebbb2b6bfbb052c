"""What each action does to the machine, and which moments it makes: one small function a verb.

A new verb is one function in the module of its subject and one line in `DOES`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from webapp.pack import actions as do

from ..job import JobStep
from . import energy, fasteners, fluids, items, metal, openings, sealing, vehicle, work
from .known import Known
from .said import BEHIND, HAND_WORK, HANDS_NEAR, Moment, What

Does = Callable[[Known, JobStep, Any], Iterator[What]]

DOES: Mapping[type[do.Verb], Does] = {
    # Items
    do.Disconnect: items.disconnect,
    do.Connect: items.connect,
    do.Remove: items.remove,
    do.MoveAside: items.move_aside,
    do.Refit: items.refit,
    do.Fit: items.fit,
    do.LeaveOff: items.leave_off,
    do.Open: openings.open_,
    do.Shut: openings.shut,
    do.Cover: openings.cover,
    do.Uncover: openings.uncover,
    do.Place: openings.place,
    do.TakeOut: openings.take_out,
    do.Compare: items.compare,
    do.Clean: sealing.clean,
    do.Support: items.support,
    do.Release: items.release,
    do.Tension: items.tension,
    # Fasteners
    do.Loosen: fasteners.loosen,
    do.Undo: fasteners.undo,
    do.ScrapFasteners: fasteners.scrap,
    do.StartByHand: fasteners.start_by_hand,
    do.Tighten: fasteners.tighten,
    do.Turn: fasteners.turn,
    do.Mark: fasteners.mark,
    # Fluids and sealants
    do.Relieve: fluids.relieve,
    do.Drain: fluids.drain,
    do.Rinse: fluids.rinse,
    do.Fill: fluids.fill,
    do.Bleed: fluids.bleed,
    do.PressureTest: fluids.pressure_test,
    do.Apply: sealing.apply,
    do.Join: sealing.join,
    # The machine
    do.Isolate: energy.isolate,
    do.Restore: energy.isolate,
    do.Ventilate: energy.ventilate,
    do.Raise: vehicle.raise_,
    do.Lower: vehicle.lower,
    do.Chock: vehicle.chock,
    do.Unchock: vehicle.chock,
    do.Key: vehicle.key,
    do.Crank: vehicle.crank,
    do.Start: vehicle.start,
    do.Stop: vehicle.stop,
    do.TurnOver: vehicle.turn_over,
    do.RoadTest: vehicle.road_test,
    # Metal and licensed work
    do.Drill: metal.cut,
    do.Tap: metal.cut,
    do.ClearChips: metal.clear_chips,
    do.HandOverTo: energy.hand_over,
}
"""Each verb with what it says. Its moments come before what it changes."""


def does(known: Known, step: JobStep, action: do.Verb) -> Iterator[What]:
    """Yield the moments of an action, which come before what it changes, then its changes."""
    verb = type(action)
    if verb in HAND_WORK:
        yield from work.works(known, step, action)
    elif verb in HANDS_NEAR:
        yield Moment("hand-work")
    if verb in BEHIND:
        yield from work.reaches_behind(known, action)
    yield from DOES[verb](known, step, action)
