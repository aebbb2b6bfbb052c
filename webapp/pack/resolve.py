"""A checked draft → the compiled pack: everything looked up, reckoned out and ready to be shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from . import hazards, schema
from .actions import (
    Apply,
    Clean,
    Compare,
    Cover,
    Crank,
    Disconnect,
    Drain,
    Drill,
    Fill,
    Fit,
    Isolate,
    LeaveOff,
    Mark,
    MoveAside,
    Place,
    PressureTest,
    Raise,
    Refit,
    Release,
    Remove,
    Rinse,
    Support,
    Tap,
    Tension,
    Tighten,
    Turn,
    Verb,
)
from .amounts import Amount
from .check import CURES, label_time, seconds
from .compiled import BigFigure, CompiledPack, Line, Phase, Reading, Step, Strip, Wait
from .cuts import WORKED_OUT, worked_out
from .draft import Draft, StepDraft
from .outline import StepOutline
from .pictures import name_of
from .render import render, render_inline
from .stages import full_figures, pass_figures

MOST_FIGURES = 3
"""Numbers of a step beside those of its actions, which are all shown."""

PHRASES = {
    "disconnect": "Disconnect {}",
    "connect": "Connect {}",
    "remove": "Remove {}",
    "move-aside": "Move {} aside",
    "refit": "Refit {}",
    "fit": "Fit new {}",
    "leave-off": "Leave {} off",
    "open": "Open {}",
    "shut": "Shut {}",
    "cover": "Cover {}",
    "uncover": "Uncover {}",
    "place": "Fit {}",
    "take-out": "Take out {}",
    "compare": "Compare {}, new against old",
    "clean": "Clean {}",
    "support": "Support {}",
    "release": "Let go {}",
    "tension": "Set the tension of {}",
    "loosen": "Loosen {}",
    "undo": "Undo {}",
    "scrap": "Throw away {}",
    "start-by-hand": "Start {} by hand",
    "tighten": "Tighten {}",
    "turn": "Turn {}",
    "mark": "Paint-mark {}",
    "relieve": "Let the pressure down: {}",
    "drain": "Drain {}",
    "rinse": "Rinse {}",
    "fill": "Fill {}",
    "bleed": "Bleed {}",
    "pressure-test": "Pressure-test {}",
    "apply": "Apply {}",
    "join": "Close {}",
    "isolate": "Lock off {}",
    "restore": "Put back in service: {}",
    "ventilate": "Ventilate: {}",
    "raise": "Raise the vehicle: {}",
    "lower": "Lower the vehicle",
    "chock": "Chock the wheels",
    "unchock": "Take the chocks away",
    "key": "Key {}",
    "crank": "Crank without starting: {}",
    "start": "Start the engine",
    "stop": "Stop the engine",
    "turn-over": "Turn the engine by hand",
    "road-test": "Road test",
    "drill": "Drill {}",
    "tap": "Tap {}",
    "clear-chips": "Clear the chips of {}",
    "hand-over": "Hand over: {}",
}
"""Each verb as the first words of the line that a person reads."""


def resolve(draft: Draft, slug: str) -> CompiledPack:
    """Return the compiled pack of a draft without errors."""
    front, outline = draft.front, draft.outline
    if front is None or outline is None:
        raise ValueError("a draft with errors cannot be resolved")
    drafts = {step.id: step for step in draft.steps}
    steps: list[Step] = []
    phases: list[Phase] = []
    for phase in outline.phases:
        for step in phase.steps:
            before = steps[-1].id if steps else None
            steps.append(resolve_step(draft, front, drafts[step.id], step, phase.id, len(steps) + 1, before))
        title = plain_text(phase.title.children or ())
        phases.append(
            Phase(phase.id, title, render(phase.prose, draft.pictures), tuple(s.id for s in phase.steps))
        )
    used = {name for step in steps for name in step.hazards}
    every = hazards.BUILT_IN | front.hazards
    return CompiledPack(
        slug,
        front,
        {name: every[name] for name in every if name in used},
        tuple(phases),
        tuple(steps),
        tuple(draft.pictures[name] for name in sorted(draft.pictures)),
        draft.model,
    )


def resolve_step(
    draft: Draft,
    front: schema.FrontMatter,
    known: StepDraft,
    outline: StepOutline,
    phase: str,
    number: int,
    before: str | None,
) -> Step:
    """Return one step with its figures, clocks and strips worked out."""
    data = known.data
    if data is None:
        raise ValueError("a step with errors cannot be resolved")
    lines = tuple(line(front, action) for action in data.actions)
    waits = tuple(resolve_wait(front, known.id, name, wait) for name, wait in data.waits.items())
    readings = tuple(
        Reading(
            name,
            known.id,
            reading.ask,
            reading.range,
            reading.unit or (reading.range.unit if reading.range else ""),
            reading.expect or "",
            reading.if_outside or "",
            reading.before,
        )
        for name, reading in data.readings.items()
    )
    prose_amounts = [
        child.meta["amount"]
        for token in (outline.title, *outline.prose)
        for child in token.children or ()
        if child.type == "quantity"
    ]
    own = [amount for amount, path in known.held.amounts if path[0] not in ("hands-on", "mentions")]
    figures = named_figures(front, lines)
    return Step(
        id=known.id,
        number=number,
        phase=phase,
        title=plain_text(outline.title.children or ()),
        title_html=render_inline(outline.title, draft.pictures),
        html=render(outline.prose, draft.pictures),
        hands_on=seconds(data.hands_on, "most"),
        people=data.people,
        needs=tuple(data.needs) if data.needs is not None else (before,) if before else (),
        after=tuple(data.after),
        when=data.when,
        already=data.already or "",
        hazards=tuple(data.hazards),
        tools=tuple(data.tools),
        parts=tuple(data.parts),
        consumables=tuple(data.consumables),
        lines=lines,
        figures=big_figures(figures, waits, readings, data),
        waits=waits,
        readings=readings,
        photos=tuple(data.photo),
        pictures=pictures_of(draft, outline),
        strips=tuple(strip for action in data.actions for strip in strips(front, action)),
        amounts=unique([*(a for f in figures if (a := f.amount)), *own, *prose_amounts]),
        safe_stop=data.safe_stop or "",
        source=data.source,
        actions=tuple(data.actions),
    )


def plain_text(children: Iterable[Any]) -> str:
    """Return the words of inline tokens."""
    return "".join(c.content for c in children if c.type in ("text", "code_inline", "quantity")).strip()


def pictures_of(draft: Draft, outline: StepOutline) -> tuple[str, ...]:
    """Return the served names of the pictures in a step, in order."""
    names = [
        name_of(child)
        for token in (outline.title, *outline.prose)
        for child in token.children or ()
        if child.type == "image"
    ]
    return tuple(dict.fromkeys(draft.pictures[name].file for name in names if name in draft.pictures))


def unique(found: Iterable[Amount]) -> tuple[Amount, ...]:
    """Return amounts without repeats of the same writing, in order."""
    return tuple({amount.text: amount for amount in reversed(list(found))}.values())[::-1]


def big_figures(
    figures: list[BigFigure], waits: tuple[Wait, ...], readings: tuple[Reading, ...], data: schema.Step
) -> tuple[BigFigure, ...]:
    """Return the numbers to be read at arm's length: all of the step's actions, then the first few others."""
    others = [BigFigure(wait.name, wait.least) for wait in data.waits.values() if wait.least]
    others += [BigFigure(reading.ask, reading.range) for reading in readings if reading.range]
    said = {figure.amount.text for figure in figures if figure.amount}
    room = max(0, MOST_FIGURES - len(figures))
    new = [figure for figure in others if figure.amount and figure.amount.text not in said]
    return (*figures, *new[:room])


def line(front: schema.FrontMatter, action: Verb) -> Line:
    """Return an action as a line to read, with the figures of what it concerns."""
    target, verb = action.target(), action.verb()
    table, thing = front.object_of(action)
    name = thing.name if thing is not None else target.replace("-", " ")
    count = getattr(action, "count", None)
    several = count and count > 1 and not isinstance(thing, schema.Fasteners)  # a group says its own count
    text = PHRASES[verb].format(f"{count} × {name}" if several else name)
    figures: list[BigFigure] = []
    if isinstance(thing, schema.Fasteners):
        text, figures = fastener_line(thing, action, text)
    elif isinstance(thing, schema.Fluid):
        figures = fluid_figures(thing, action)
    elif isinstance(thing, schema.HandOver):
        text += f", to {thing.to}"
    elif isinstance(thing, schema.Cut):
        figures = cut_figures(thing, action)
    elif isinstance(action, Cover | Support | Clean) and action.with_:
        text += f" with {with_name(front, action.with_)}"
    elif isinstance(action, Place) and action.in_:
        text += f" in {front.items[action.in_].name}"
    elif isinstance(action, Apply):
        text += f" to {front.items[action.to].name}"
        figures = labelled(("lay a bead of", front.sealants[target].bead))
    elif isinstance(action, Tension):
        figures = labelled(("set the tension to", action.to))
    if (
        isinstance(thing, schema.Item)
        and thing.mass
        and isinstance(action, Remove | MoveAside | Refit | Fit | Support)
    ):
        figures = [*figures, BigFigure("weighs", thing.mass)]
    return Line(verb, target, table, text, tuple(figures), notes(action, thing))


def notes(action: Verb, thing: Any) -> tuple[str, ...]:
    """Return what else the data says of an action and of its object, each as words to read."""
    found: list[str] = []
    match action:
        case Isolate():
            found.append(thing.lock)
        case Compare():
            found += [f"compare: {', '.join(thing.compare)}"] if thing.compare else []
        case Disconnect():
            found += [f"label: {action.label}"] if action.label else []
        case Raise():
            found += [f"at: {action.at}"] if action.at else []
        case LeaveOff() | Crank():
            found.append(f"because: {action.reason}")
        case Tighten():
            found += thread_notes(thing)
        case Fill():
            found.append(thing.base)
        case Drill():
            found += worked_out(thing).notes
    if isinstance(thing, schema.Item) and isinstance(action, Remove | Release | MoveAside | Disconnect):
        found += ["stores force"] if thing.sprung else []
        found += ["times the engine: do not turn it"] if thing.timed else []
    if isinstance(thing, schema.Sealant) and thing.acid_curing:
        found.append("cures with acid: keep it off sensors and bare metal")
    if not isinstance(action, Mark):
        found.append(getattr(thing, "note", None) or "")
    return tuple(note for note in found if note)


def thread_notes(group: schema.Fasteners) -> list[str]:
    """Return what a wrench must know of a group beside its figure."""
    found = [f"class {group.class_}"] if group.class_ else []
    found += [f"head: {group.head}"] if group.head else []
    if group.threads:
        found.append(f"threads {group.threads.replace('-', ' ')}")
    if group.figure_for and group.figure_for != group.threads:
        found.append(f"the figure is for {group.figure_for.replace('-', ' ')} threads")
    return [*found, "one use: new ones"] if group.one_use else found


def labelled(*found: tuple[str, Amount | None]) -> list[BigFigure]:
    """Return those figures that there is an amount for."""
    return [BigFigure(label, amount) for label, amount in found if amount]


def with_name(front: schema.FrontMatter, name: str) -> str:
    """Return the name of a tool, consumable or temporary item."""
    tables: tuple[dict[str, Any], ...] = (front.items, front.tools, front.consumables)
    return str(next((table[name].name for table in tables if name in table), name))


def fastener_line(group: schema.Fasteners, action: Verb, text: str) -> tuple[str, list[BigFigure]]:
    """Return the line and the figures of an action on a fastener group."""
    text += f": {getattr(action, 'count', None) or group.total()} × {group.thread}"
    if group.left_hand:
        text += ", left-hand thread"
    figures: list[BigFigure] = []
    if isinstance(action, Turn):
        stage = action.stage
        turns = group.angle[stage - 1 : stage] if stage else group.angle
        figures = [BigFigure("turn on by", angle) for angle in turns] or labelled(
            ("turn on by", group.touch_plus)
        )
    elif isinstance(action, Tighten):
        number = action.pass_
        if number and number <= len(group.passes):
            text += f", pass {number} of {len(group.passes)}"
            figures = stage_figures(group, number)
        elif action.to in ("snug", "finger-tight"):
            figures = [BigFigure(group.name, None, action.to.replace("-", " "))]
        else:
            figures = final_figures(group)
            text += ", check pass" if action.to == "check" else ""
            if len(group.passes) > 1 and action.to == "final":
                text += f", in {len(group.passes)} passes"
                figures = [
                    one for stage in range(1, len(group.passes) + 1) for one in stage_figures(group, stage)
                ]
    return text, figures


def stage_figures(group: schema.Fasteners, number: int) -> list[BigFigure]:
    """Return what the wrench is set to in a pass of a group, counted from 1."""
    return [
        BigFigure(f"{bolts}, pass {number}" if bolts else f"pass {number}", amount)
        for bolts, amount in pass_figures(group, number)
    ]


def final_figures(group: schema.Fasteners) -> list[BigFigure]:
    """Return how tight a group is in the end."""
    own = [BigFigure(bolts or group.name, amount) for bolts, amount in full_figures(group)]
    if group.touch_plus:
        own.append(BigFigure("touch, then turn", group.touch_plus))
    if group.snug:
        own.append(BigFigure(group.name, None, "snug"))
    return own


def named_figures(front: schema.FrontMatter, lines: tuple[Line, ...]) -> list[BigFigure]:
    """Return the figures of all actions; where several groups are handled, each says whose it is."""
    groups = {one.target for one in lines if one.table == "fasteners" and one.figures}
    found: list[BigFigure] = []
    for one in lines:
        name = front.fasteners[one.target].name if one.table == "fasteners" and len(groups) > 1 else ""
        for figure in one.figures:
            label = figure.label if not name or figure.label == name else f"{name}: {figure.label}"
            found.append(replace(figure, label=label))
    return found


def fluid_figures(fluid: schema.Fluid, action: Verb) -> list[BigFigure]:
    """Return the volumes and pressures of an action on a fluid."""
    match action:
        case Drain():
            return labelled(("expect to drain", action.expect or fluid.drains))
        case Fill():
            return labelled(
                ("pour in", action.volume or fluid.capacity), ("mixed to", action.mix or fluid.mix)
            )
        case PressureTest():
            return labelled(("pump up to", action.at), ("hold it for", action.for_))
        case Rinse():
            return labelled(("expect to stay behind", action.stays))
    return []


def cut_figures(cut: schema.Cut, action: Verb) -> list[BigFigure]:
    """Return the drill or the thread of a cut; the author's own, else what is worked out."""
    if isinstance(action, Drill):
        ours = worked_out(cut)
        found = labelled(*(("pilot", one) for one in cut.pilot))
        found += [BigFigure(f"pilot, {WORKED_OUT}", None, name) for name in ours.pilots]
        if ours.drill:
            found.append(BigFigure(f"drill with, {WORKED_OUT}", None, ours.drill))
        if isinstance(cut.drill, Amount):
            found.append(BigFigure("drill with", cut.drill))
        elif cut.drill:
            found.append(BigFigure("drill with", None, cut.drill))
        return found + labelled(("to a depth of", cut.depth))
    if isinstance(action, Tap) and cut.thread:
        return [BigFigure("cut the thread", None, cut.thread)]
    return []


def resolve_wait(front: schema.FrontMatter, step: str, name: str, wait: schema.Wait) -> Wait:
    """Return a clock with the times of its label."""
    label = label_time(wait, front.sealants.get(wait.sealant or ""))
    least = wait.least or (label if wait.kind != "open-time" else None)
    most = wait.most or (label if wait.kind == "open-time" else None)
    return Wait(
        name,
        step,
        wait.kind,
        wait.name,
        seconds(least, "most") if least else None,
        seconds(most, "least") if most else None,
        tuple(wait.until),
        wait.attended,
        tuple(wait.stop_if),
        wait.sealant,
        wait.kind in CURES and wait.kind != "open-time" and wait.sealant is not None,
    )


def strips(front: schema.FrontMatter, action: Verb) -> list[Strip]:
    """Return the running hazards that an action begins or ends."""
    verb, target = action.verb(), action.target()
    if verb in ("disconnect", "connect", "open", "shut"):
        item = front.items[target]
        begins = verb in ("disconnect", "open")
        if item.kind == "earth-lead":
            return [Strip(f"earth-off:{target}", f"{item.name} off", begins)]
        if item.way == "valve":
            return [Strip(f"shut:{target}", f"Shut: {item.name}", verb == "shut")]
        if item.carries == "fuel" or (item.fluid and front.fluids[item.fluid].circuit == "fuel"):
            return [Strip(f"fuel-open:{target}", f"Fuel open: {item.name}", begins)]
        if item.kind == "opening" and item.fluid:
            return [Strip(f"open:{target}", f"Open: {item.name}", begins)]
    if verb in ("raise", "lower"):
        return [Strip("raised", f"Raised: on {target}" if verb == "raise" else "Raised", verb == "raise")]
    if verb in ("start", "stop"):
        return [Strip("running", "Engine running", verb == "start")]
    if verb in ("isolate", "restore"):
        return [Strip(f"locked:{target}", f"Locked off: {front.energy[target].name}", verb == "isolate")]
    if verb in ("drain", "fill"):
        return [Strip(f"out:{target}", f"{front.fluids[target].name} out", verb == "drain")]
    return []
