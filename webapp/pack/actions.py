"""What a step does to the machine. One class for each verb; the verb is the key that names its object.

An action is written `- tighten: pump-bolts` with its other keys beside the verb.
"""

from __future__ import annotations

from functools import cache, reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from .fields import (
    AnyAmount,
    CleanerRef,
    Count,
    CutRef,
    Duration,
    EnergyRef,
    FastenersRef,
    FluidRef,
    HandOverRef,
    ItemRef,
    Pressure,
    ScrapRef,
    SealantRef,
    Share,
    Strict,
    Text,
    ToolRef,
    Volume,
)
from .findings import did_you_mean


@cache
def first_field(cls: type[Strict]) -> str:
    """Return the field that a class declares first."""
    return next(iter(cls.model_fields))


class Verb(Strict):
    """One thing done. The first field of each subclass is the verb itself."""

    @classmethod
    def verb(cls) -> str:
        """Return the verb as authors write it."""
        return next(iter(cls.keys()))

    def target(self) -> str:
        """Return what the verb is done to: an id, or a word such as `engine`."""
        return str(getattr(self, first_field(type(self))))


# Items -------------------------------------------------------------------------------------------


class Disconnect(Verb):
    """Undo a connection: plug, hose, cable, strap."""

    disconnect: ItemRef
    label: Text | None = Field(None, description="What to write on its label.")


class Connect(Verb):
    """Make a connection again."""

    connect: ItemRef


class Remove(Verb):
    """Take a part off."""

    remove: ItemRef
    count: Count | None = None


class MoveAside(Verb):
    """Move a part out of the way with its connections made."""

    move_aside: ItemRef


class Refit(Verb):
    """Put the same part back."""

    refit: ItemRef
    count: Count | None = None


class Fit(Verb):
    """Fit a new part, seal or drive in place of the old one."""

    fit: ItemRef
    count: Count | None = None


class LeaveOff(Verb):
    """Leave a part off for good."""

    leave_off: ItemRef
    reason: Text


class Open(Verb):
    """Open a drain, filler, bleed screw or port."""

    open: ItemRef


class Shut(Verb):
    """Shut a drain, filler, bleed screw or port."""

    shut: ItemRef


class Cover(Verb):
    """Cover an opening so that nothing falls in."""

    cover: ItemRef
    with_: ItemRef = Field(description="The temporary item used.")
    count: Count | None = None


class Uncover(Verb):
    """Take the cover out of an opening."""

    uncover: ItemRef
    count: Count | None = None


class Place(Verb):
    """Put a temporary item in or on: guide stud, locking pin, hose clamp, gauge."""

    place: ItemRef
    in_: ItemRef | None = None
    count: Count | None = None


class TakeOut(Verb):
    """Take a temporary item out again."""

    take_out: ItemRef
    count: Count | None = None


class Compare(Verb):
    """Lay the new part beside the old one."""

    compare: ItemRef


class Clean(Verb):
    """Clean a face, a hole or a part."""

    clean: ItemRef
    with_: CleanerRef | None = None


class Support(Verb):
    """Take the weight or the spring force of something before it is let go."""

    support: ItemRef
    with_: ToolRef | None = None


class Release(Verb):
    """Take the support away, or let a spring out."""

    release: ItemRef


class Tension(Verb):
    """Set the tension of a belt or chain."""

    tension: ItemRef
    to: AnyAmount | None = None
    as_: Literal["new", "used"] | None = None


# Fasteners ---------------------------------------------------------------------------------------


class Loosen(Verb):
    """Slacken a group without taking it out."""

    loosen: FastenersRef


class Undo(Verb):
    """Take a group out, count it and bag it."""

    undo: FastenersRef
    count: Count | None = None


class ScrapFasteners(Verb):
    """Throw one-use fasteners away so that they cannot go back."""

    scrap: ScrapRef
    count: Count | None = None


class StartByHand(Verb):
    """Start every fastener of a group by hand."""

    start_by_hand: FastenersRef
    count: Count | None = None


class Tighten(Verb):
    """Tighten a group: to its final figure, or to the pass or state named."""

    tighten: FastenersRef
    to: Literal["final", "snug", "finger-tight", "check"] = "final"
    pass_: Count | None = Field(None, description="Only this pass of the group's passes.")


class Turn(Verb):
    """Turn each fastener of a group by its angle."""

    turn: FastenersRef
    stage: Count | None = Field(None, description="Which of the group's angles, when it has several.")


class Mark(Verb):
    """Paint-mark a group as tightened."""

    mark: FastenersRef


# Fluids and sealants -----------------------------------------------------------------------------


class Relieve(Verb):
    """Let the pressure of a circuit down."""

    relieve: FluidRef


class Drain(Verb):
    """Drain a circuit."""

    drain: FluidRef
    into: ToolRef | None = None
    expect: Volume | None = None


class Rinse(Verb):
    """Rinse a circuit or casting with water."""

    rinse: FluidRef
    stays: Volume | None = Field(None, description="What stays behind.")


class Fill(Verb):
    """Fill a circuit."""

    fill: FluidRef
    volume: Volume | None = None
    mix: Share | None = None
    from_: ToolRef | None = Field(
        None, description="The clean pan that it was drained into, when the same fluid is poured back."
    )


class Bleed(Verb):
    """Bleed the air out of a circuit."""

    bleed: FluidRef


class PressureTest(Verb):
    """Hold a circuit under pressure and watch it."""

    pressure_test: FluidRef
    at: Pressure
    for_: Duration


class Apply(Verb):
    """Lay a bead of sealant."""

    apply: SealantRef
    to: ItemRef


class Join(Verb):
    """Close a joint on its bead or gasket."""

    join: ItemRef


# The machine -------------------------------------------------------------------------------------


class Isolate(Verb):
    """Lock a source of energy off and try it."""

    isolate: EnergyRef


class Restore(Verb):
    """Give a source of energy back."""

    restore: EnergyRef


class Ventilate(Verb):
    """Make the air fit to run an engine in."""

    ventilate: Literal["doors-open", "extraction", "outdoors"]


class Raise(Verb):
    """Raise the vehicle, and what it stands on before anyone goes under."""

    raise_: Literal["jack", "stands", "lift", "ramps"]
    at: Text | None = None


class Lower(Verb):
    """Lower the vehicle to the ground."""

    lower: Literal["vehicle"]


class Chock(Verb):
    """Chock the wheels that stay on the ground."""

    chock: Literal["wheels"]


class Unchock(Verb):
    """Take the chocks away."""

    unchock: Literal["wheels"]


class Key(Verb):
    """Turn the key, or take it out."""

    key: Literal["out", "on", "off"]


class Crank(Verb):
    """Turn the engine on the starter without letting it run."""

    crank: Literal["dry", "to-bleed"]
    reason: Text


class Start(Verb):
    """Start the engine."""

    start: Literal["engine"]


class Stop(Verb):
    """Stop the engine."""

    stop: Literal["engine"]


class TurnOver(Verb):
    """Turn the engine by hand."""

    turn_over: Literal["by-hand"]


class RoadTest(Verb):
    """Drive it."""

    road_test: Literal["vehicle"]


# Metal and licensed work -------------------------------------------------------------------------


class Drill(Verb):
    """Drill a hole."""

    drill: CutRef


class Tap(Verb):
    """Cut a thread."""

    tap: CutRef


class ClearChips(Verb):
    """Clear the chips of a cut."""

    clear_chips: CutRef


class HandOverTo(Verb):
    """Hand licensed work over."""

    hand_over: HandOverRef


VERBS: dict[str, type[Verb]] = {cls.verb(): cls for cls in Verb.__subclasses__()}


def verb_of(data: Any) -> str | None:
    """Return the verb that an action's data names, or None when it names none or two."""
    if isinstance(data, Verb):
        return data.verb()
    verbs = [key for key in data if key in VERBS] if isinstance(data, dict) else []
    return verbs[0] if len(verbs) == 1 else None


def action_unclear(data: Any) -> tuple[str, str, str]:
    """Return what is wrong with an action that names no verb or two, why it matters, and what to write."""
    first = str(next(iter(data), "")) if isinstance(data, dict) else ""
    verbs = [key for key in data if key in VERBS] if isinstance(data, dict) else []
    if verbs:
        what = f"“{verbs[0]}” and “{verbs[1]}” stand in one action"
    elif first:
        what = f"“{first[:60]}” is no verb of the pack language{did_you_mean(first, VERBS)}"
    else:
        what = "an action is a verb with its object"
    why = "each action does one thing to one object, so that it can be counted, undone and checked"
    return what, why, f"one action a line, such as “- tighten: pump-bolts”; the verbs: {', '.join(VERBS)}"


if TYPE_CHECKING:
    Action = Verb
else:
    Action = Annotated[
        reduce(or_, (Annotated[cls, Tag(verb)] for verb, cls in VERBS.items())), Discriminator(verb_of)
    ]
