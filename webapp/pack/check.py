"""What must be true of each declaration by itself: counts, orders, times, sources. One function a subject."""

from __future__ import annotations

import re
from typing import Literal

from webapp.trade.units import to_base

from . import schema
from .actions import Tighten, Turn, Verb
from .amounts import Amount, agrees
from .draft import Draft, StepDraft
from .findings import Place, listed
from .hazards import BUILT_IN
from .stages import full_figures

_THREAD = re.compile(
    r"""M\d{1,2}(\.\d)?([x×]\d(\.\d{1,2})?)?      # metric: M8, M8x1.25
      | (\#\d{1,2}|\d{1,2}/\d{1,2}|\d([ -]\d/\d{1,2})?)-\d{1,2}([ ]UN[CFSJR]*(EF)?)?  # unified: 3/8-16 UNC
      | \d{1,2}/\d{1,2}-\d{1,2}[ ](NPTF?|NPSM?) | \d(/\d)?[ ]NPTF?               # American pipe
      | (G|R|Rc|Rp)[ ]?\d(/\d)?([ ]\d/\d)?""",
    re.X,
)


ADDRESS_WORDS = frozenset({"units", "paper", "job"})
"""What else stands beside the answers in an address."""


def check_questions(draft: Draft) -> None:
    """Every question selects something, and none waits for a later one."""
    front = draft.front
    if front is None:
        return
    asked: list[str] = []
    steps = [step.data.when for step in draft.steps if step.data]
    tables = (front.tools, front.parts, front.consumables, front.questions)
    used = {question for when in steps for question in when}
    used |= {question for table in tables for entry in table.values() for question in entry.when}
    for name in ADDRESS_WORDS & front.questions.keys():
        draft.report(
            "id-wrong",
            draft.front_key("questions", name),
            f"a question cannot be called “{name}”",
            "answers stand in addresses, where this word means something else",
            f"another id, such as {name}-kind",
        )
    for name, question in front.questions.items():
        for earlier in question.when:
            if earlier in front.questions and earlier not in asked:
                draft.report(
                    "R53",
                    draft.front_place("questions", name, "when"),
                    f"“{name}” depends on “{earlier}”, which is not asked before it",
                    "a question must stand before the first thing that depends on its answer",
                    f"move “{earlier}” above “{name}”",
                )
        asked.append(name)
        if name not in used and name not in draft.unread:
            draft.report(
                "unused",
                draft.front_key("questions", name),
                f"nothing depends on the question “{name}”",
                "a question that changes nothing costs a person's patience",
                "name it in a step's `when`, or remove it",
                severity="warning",
            )


def check_fasteners(draft: Draft) -> None:
    """Counts, lengths, pattern, order, passes and figure of each group agree with each other."""
    tightened = finally_tightened(draft)
    steps = [step.data for step in draft.steps if step.data]
    turned = {action.turn for step in steps for action in step.actions if isinstance(action, Turn)}
    for name, group in (draft.front.fasteners if draft.front else {}).items():
        total = group.total()
        at = ("fasteners", name)
        if not total:
            draft.report(
                "count-missing",
                draft.front_key(*at),
                f"“{name}” has no count",
                "fasteners out must equal fasteners in",
                "count: 4, or `lengths` that add up",
            )
        elif group.count and group.lengths and group.count != sum(part.count for part in group.lengths):
            draft.report(
                "count-wrong",
                draft.front_place(*at, "count"),
                f"“{name}” has {group.count} fasteners, but its lengths add up to "
                f"{sum(part.count for part in group.lengths)}",
                "the odd one is in the valley or missing from the joint",
                "correct the count or the lengths",
                also=draft.front_place(*at, "lengths"),
            )
        check_positions(draft, name, group, total)
        check_pattern(draft, name, group, total)
        check_figure(draft, name, group, tightened.get(name), name in turned)
        check_passes(draft, name, group)
        if not _THREAD.fullmatch(group.thread):
            draft.report(
                "thread-unclear",
                draft.front_place(*at, "thread"),
                f"“{group.thread[:40]}” is no thread that can be read",
                "strength, drill and figure all hang on the thread",
                "M8x1.25, 3/8-16 UNC, 1/4-28 UNF, 1/8-27 NPT or G 1/4",
            )


def check_positions(draft: Draft, name: str, group: schema.Fasteners, total: int) -> None:
    """Each position holds one length, and each length has as many positions as bolts."""
    seen: dict[int, int] = {}
    for at, part in enumerate(group.lengths):
        wrong = [number for number in part.at if number > total or number in seen]
        if wrong or (part.at and len(part.at) != part.count) or len(set(part.at)) != len(part.at):
            draft.report(
                "count-wrong",
                draft.front_place("fasteners", name, "lengths", at, "at"),
                f"the positions of the {part.length.text} bolts do not fit their count of {part.count}"
                + (f": {wrong[0]} is taken or beyond {total}" if wrong else ""),
                "a long bolt in a short hole cracks the casting",
                f"{part.count} different positions from 1 to {total}, none used by another length",
            )
        seen.update(dict.fromkeys(part.at, at))


def check_pattern(draft: Draft, name: str, group: schema.Fasteners, total: int) -> None:
    """The drawing has as many bolts as the group, and the maker's order names each of them once."""
    if group.pattern:
        layouts = group.pattern.layouts()
        if len(layouts) != 1:
            draft.report(
                "pattern-wrong",
                draft.front_place("fasteners", name, "pattern"),
                f"the pattern of “{name}” names {len(layouts)} layouts"
                if layouts
                else "the pattern names no layout",
                "one drawing shows one layout",
                "pattern: {circle: 4}",
            )
        elif len(set(map(tuple, group.pattern.points or ()))) < len(group.pattern.points or ()):
            draft.report(
                "count-wrong",
                draft.front_place("fasteners", name, "pattern", "points"),
                f"the pattern of “{name}” draws two bolts in one place",
                "a bolt that is not seen is not tightened",
                "a place of its own for each bolt",
            )
        elif group.pattern.count() != total and total:
            draft.report(
                "count-wrong",
                draft.front_place("fasteners", name, "pattern"),
                f"the pattern of “{name}” draws {group.pattern.count()} bolts, but the group has {total}",
                "a bolt that is not drawn is not tightened",
                "correct the pattern or the count",
                also=draft.front_key("fasteners", name, "count"),
            )
    if group.order and sorted(group.order) != list(range(1, total + 1)):
        missing = sorted(set(range(1, total + 1)) - set(group.order))
        twice = sorted({number for number in group.order if group.order.count(number) > 1})
        beyond = sorted({number for number in group.order if number > total})
        said = [
            f"skips {listed(map(str, missing))}" if missing else "",
            f"repeats {listed(map(str, twice))}" if twice else "",
            f"names {listed(map(str, beyond))}, but there are {total}" if beyond else "",
        ]
        draft.report(
            "R27",
            draft.front_place("fasteners", name, "order"),
            f"the order of “{name}” " + " and ".join(word for word in said if word),
            "a bolt left out or done twice warps the flange and rolls the gasket",
            f"each number from 1 to {total} once",
        )


def finally_tightened(draft: Draft) -> dict[str, Place]:
    """Return where each group is first tightened to its final figure."""
    found: dict[str, Place] = {}
    for step in draft.steps:
        for at, action in enumerate(step.data.actions if step.data else ()):
            if isinstance(action, Tighten) and action.to == "final":
                found.setdefault(action.tighten, step.place("actions", at))
    return found


def check_figure(
    draft: Draft, name: str, group: schema.Fasteners, tightened: Place | None, turned: bool
) -> None:
    """A group has one way to be tight, and the figure has a source."""
    at = ("fasteners", name)
    ways = [word for word in ("torque", "snug", "touch_plus") if getattr(group, word)]
    own = group.lengths and all(part.torque for part in group.lengths)
    if not ways and not own and tightened:
        draft.report(
            "figure-missing",
            draft.front_key(*at),
            f"“{name}” is tightened to its final figure, but has none",
            "a bolt without a figure is tight by guess",
            "torque: 25 N·m, or touch-plus: 1/4 turn, or snug: true",
            also=tightened,
        )
    if len(ways) > 1:
        draft.report(
            "figure-twice",
            draft.front_key(*at),
            f"“{name}” is tightened by {' and by '.join(way.replace('_', '-') for way in ways)}",
            "two ways to be tight are two different clamp loads",
            "keep the one that the maker gives",
        )
    if group.angle and not (group.torque or group.snug):
        draft.report(
            "R29",
            draft.front_place(*at, "angle"),
            f"“{name}” is turned by an angle from no torque",
            "an angle from an unknown start is no figure",
            "torque: the snug torque that the turn begins at",
        )
    if group.angle and tightened and not turned:
        draft.report(
            "figure-missing",
            draft.front_place(*at, "angle"),
            f"“{name}” is turned by {group.angle[0].text} after its torque, but no step turns it",
            "the snug torque alone is a small part of what holds the joint",
            f"- turn: {name}, after the step that tightens it",
            also=tightened,
        )
    if (group.torque or own or group.touch_plus) and not group.source:
        figure = "torque" if group.torque else "lengths" if own else "touch-plus"
        draft.report(
            "R54",
            draft.front_place(*at, figure),
            f"the figure of “{name}” names no source",
            "a figure that nobody can look up cannot be argued with",
            "source: the id of a manual, a label, a standard, or of “common practice, no source”",
            severity="warning",
        )


def check_passes(draft: Draft, name: str, group: schema.Fasteners) -> None:
    """Passes rise, and the last one is the full figure."""
    if not group.passes:
        return
    place = draft.front_place("fasteners", name, "passes")
    kinds = {one.kind for one in group.passes}
    own = any(part.torque for part in group.lengths)
    allowed = {"share"} if own else {"share", "torque"}
    if not full_figures(group) or not kinds <= allowed or len(kinds) > 1:
        draft.report(
            "passes-wrong",
            place,
            f"the passes of “{name}” are not all shares of "
            + ("its lengths' torques" if own else "its torque, or all torques"),
            "each pass is a setting of the wrench",
            "torque: 24 N·m with passes: [50 %, 100 %]" + ("" if own else " or [12 N·m, 24 N·m]"),
        )
        return
    values = [float(one.nominal or one.high or 0) for one in group.passes]
    whole = kinds == {"share"} and values[-1] == 100
    full = kinds == {"torque"} and group.torque is not None and agrees(group.passes[-1], group.torque)
    if not (whole or full) or values != sorted(values) or len(set(values)) != len(values):
        draft.report(
            "passes-wrong",
            place,
            f"the passes of “{name}” do not rise to its full figure, {full_figures(group)[0][1].text}",
            "the last pass is what holds the joint",
            "passes that rise and end at 100 %, or at the torque itself",
        )


def check_actions(draft: Draft) -> None:
    """No action asks for a pass, a turn or a count that its object does not have."""
    front = draft.front
    if front is None:
        return
    for step in draft.steps:
        for at, action in enumerate(step.data.actions if step.data else ()):
            table, thing = front.object_of(action)
            total = thing.total() if isinstance(thing, schema.Fasteners) else getattr(thing, "count", None)
            count = getattr(action, "count", None)
            if count and total and count > total:
                draft.report(
                    "count-wrong",
                    step.place("actions", at, "count"),
                    f"there are {total} of “{action.target()}”, and not {count}",
                    "the odd one is in the valley, or was never there",
                    "correct the count here or there",
                    also=draft.front_key(table, action.target()),
                )
            if isinstance(thing, schema.Fasteners):
                check_stage(draft, step, at, action, thing)


def check_stage(draft: Draft, step: StepDraft, at: int, action: Verb, group: schema.Fasteners) -> None:
    """A pass or a turn that is asked for is one of the group's own."""
    name = action.target()
    if isinstance(action, Tighten) and action.pass_ and action.pass_ > len(group.passes):
        draft.report(
            "passes-wrong",
            step.place("actions", at, "pass"),
            f"“{name}” has {len(group.passes)} passes, and no pass {action.pass_}",
            "the wrench would be set to nothing",
            "one of the group's passes, or leave it out",
            also=draft.front_key("fasteners", name),
        )
    turns = len(group.angle) or bool(group.touch_plus)
    if isinstance(action, Turn) and (action.stage or 1) > turns:
        draft.report(
            "figure-missing",
            step.place("actions", at, "turn"),
            f"“{name}” is turned, but has no angle" + (f" for stage {action.stage}" if action.stage else ""),
            "a bolt without a figure is tight by guess",
            "angle: 90°, or touch-plus: 1/4 turn, under `fasteners`",
            also=draft.front_key("fasteners", name),
        )


def check_sealants(draft: Draft) -> None:
    """Each sealant has the times that its method needs, in their order, and a source."""
    needs = {
        "close-wet": ("open_time", "the joint must be closed within it"),
        "close-tacky": ("tacky_after", "the joint must not be closed before it"),
        "finger-tight-then-torque": ("to_torque", "the bolts must not be tightened before it"),
    }
    for name, sealant in (draft.front.sealants if draft.front else {}).items():
        field, reason = needs[sealant.method]
        if getattr(sealant, field) is None:
            draft.report(
                "sealant-incomplete",
                draft.front_key("sealants", name),
                f"“{name}” is used {sealant.method}, but has no `{field.replace('_', '-')}`",
                reason,
                f"{field.replace('_', '-')}: the time on the label",
            )
        set_time = sealant.to_torque or sealant.tacky_after
        if set_time and seconds(set_time, "most") > seconds(sealant.to_fluid, "least"):
            draft.report(
                "sealant-times",
                draft.front_place("sealants", name, "to-fluid"),
                f"“{name}” is fully cured ({sealant.to_fluid.text}) before it has set ({set_time.text})",
                "setting comes first; one of the two was mistaken for the other",
                "the two times as the label gives them",
            )
        if not sealant.source:
            draft.report(
                "R54",
                draft.front_key("sealants", name),
                f"the times of “{name}” name no source",
                "a cure time that nobody can look up cannot be argued with",
                "source: the id of the label",
                severity="warning",
            )


def check_waits(draft: Draft) -> None:
    """Every wait has a number or a condition; a cure names its sealant; least is not more than most."""
    front = draft.front
    if front is None:
        return
    for step in draft.steps:
        for name, wait in (step.data.waits if step.data else {}).items():
            place = step.tree.key_place(("waits", name))
            sealant = front.sealants.get(wait.sealant or "")
            label = label_time(wait, sealant)
            if wait.sealant and sealant is None:
                continue  # undeclared or unread, and reported as such
            if not (wait.least or wait.until or wait.kind in CURES):
                draft.report(
                    "R51",
                    place,
                    f"the wait “{name}” has neither a number nor a condition to see",
                    "“let it cure” is not something that can be timed or checked",
                    "least: 24 h, or until: the top hose is hot, or the sealant whose label gives the time",
                )
            if wait.kind in CURES and not wait.sealant:
                draft.report(
                    "wait-wrong",
                    place,
                    f"the wait “{name}” is a cure, but names no sealant",
                    "the bay's temperature and humidity can only be reckoned with against a label",
                    "sealant: the id of the sealant",
                )
            elif sealant and wait.kind in CURES and label is None:
                draft.report(
                    "sealant-incomplete",
                    place,
                    f"the wait “{name}” asks “{wait.sealant}” for its {wait.kind} time, "
                    "which the label does not give",
                    "the clock would have no number",
                    f"{CURES[wait.kind].replace('_', '-')}: the time on the label, under `sealants`",
                    also=draft.front_key("sealants", str(wait.sealant)),
                )
            for end in ("least", "most"):
                bound = getattr(wait, end)
                if bound and bound.form not in ("figure", "range"):
                    draft.report(
                        "wait-wrong",
                        step.place("waits", name, end),
                        f"“{bound.text}” is no time that `{end}` can be",
                        f"`{end}` itself says which end of the time it is",
                        f"{end}: 10 min",
                    )
            if wait.least and wait.most and seconds(wait.least, "least") > seconds(wait.most, "most"):
                draft.report(
                    "wait-wrong",
                    step.place("waits", name, "least"),
                    f"the wait “{name}” lasts at least {wait.least.text} and at most {wait.most.text}",
                    "no time is both",
                    "least must not be more than most",
                    also=step.place("waits", name, "most"),
                )
            if label and wait.least and seconds(wait.least, "least") < seconds(label, "least"):
                draft.report(
                    "wait-wrong",
                    step.place("waits", name, "least"),
                    f"the wait “{name}” is shorter ({wait.least.text}) than its label ({label.text})",
                    "a clock may lengthen what the label says, never shorten it",
                    f"least: {label.text} or more, or leave it out",
                    also=draft.front_key("sealants", str(wait.sealant)),
                )


CURES = {"open-time": "open_time", "tacky": "tacky_after", "set": "to_torque", "full-cure": "to_fluid"}
"""The waits that a label gives, and the sealant's key for each."""


def label_time(wait: schema.Wait, sealant: schema.Sealant | None) -> Amount | None:
    """Return the label's time for a wait, if the sealant gives one."""
    field = CURES.get(wait.kind)
    return getattr(sealant, field) if sealant and field else None


def seconds(amount: Amount, end: Literal["least", "most"] = "least") -> float:
    """Return a duration in seconds: its lower or its upper end."""
    first, second = (amount.low, amount.high) if end == "least" else (amount.high, amount.low)
    minutes = to_base(first if first is not None else second or 0, amount.unit, "duration")
    return 60 * minutes


def check_readings(draft: Draft) -> None:
    """Every reading can be judged: by a range, by what should be seen, or it says its unit for the record."""
    earlier: dict[str, schema.Reading] = {}
    for step in draft.steps:
        for name, reading in (step.data.readings if step.data else {}).items():
            if not (reading.range or reading.unit or reading.expect):
                draft.report(
                    "reading-open",
                    step.tree.key_place(("readings", name)),
                    f"the reading “{name}” says neither a range, nor what should be seen, nor a unit",
                    "a value that cannot be judged proves nothing",
                    "range: 1.0–1.5 bar, or expect: dry all round, or unit: km",
                )
            check_range(draft, step.place("readings", name, "range"), reading.range)
            if reading.before:
                check_before(draft, step, name, reading, earlier.get(reading.before))
            earlier[name] = reading
            if (reading.range or reading.expect) and not reading.if_outside:
                draft.report(
                    "reading-open",
                    step.tree.key_place(("readings", name)),
                    f"the reading “{name}” does not say what to do when it is not so",
                    "a bad value leaves a person standing there",
                    "if-outside: Stop. Look for …",
                    severity="warning",
                )


def check_before(
    draft: Draft, step: StepDraft, name: str, reading: schema.Reading, before: schema.Reading | None
) -> None:
    """A reading is compared with an earlier one that measures the same."""
    place = step.place("readings", name, "before")
    known = any(reading.before in one.data.readings for one in draft.steps if one.data)
    if before is None and known:
        draft.report(
            "needs-later",
            place,
            f"the reading “{name}” is compared with “{reading.before}”, which is not taken before it",
            "a comparison needs a value from before the repair",
            "name a reading of an earlier step",
        )
    if before and before.range and reading.range and before.range.kind != reading.range.kind:
        draft.report(
            "unit-wrong-kind",
            place,
            f"“{name}” ({reading.range.text}) and “{reading.before}” ({before.range.text}) are two things",
            "two values can be compared only in one kind of unit",
            "name the reading that measures the same",
        )


def check_range(draft: Draft, place: Place, amount: Amount | None) -> None:
    """A range that a measured value must fall in has an end: a bare figure is met by no gauge."""
    if amount and amount.form == "figure":
        draft.report(
            "value-wrong",
            place,
            f"“{amount.text}” is one figure and no range",
            "a measured value never meets one figure exactly, so nobody could tell whether it is right",
            f"at most {amount.written}, at least {amount.written}, or the two ends as in 1.0–1.5 bar",
        )


def check_others(draft: Draft) -> None:
    """Hazards have facts, follow-ups have a time, wrenches have a range, consumables have an amount."""
    front = draft.front
    if front is None:
        return
    for name, hazard in front.hazards.items():
        if name in BUILT_IN:
            draft.report(
                "id-twice",
                draft.front_key("hazards", name),
                f"“{name}” is a hazard of the trade that is built in",
                "a pack can add hazards, but not soften one that is known",
                f"{name}-here, or leave the entry out and use the built-in one",
            )
        fact = hazard.fact
        if hazard.word in ("danger", "warning") and fact is None:
            draft.report(
                "hazard-fact",
                draft.front_key("hazards", name),
                f"the {hazard.word} “{name}” has no fact to answer it with",
                "“OK” is tapped without reading; a fact has to be looked at",
                "fact: {ask: What does it stand on?, statement: Stands locked and shaken}",
            )
        if fact:
            check_range(draft, draft.front_place("hazards", name, "fact", "range"), fact.range)
        if fact and bool(fact.statement) == bool(fact.range):
            draft.report(
                "hazard-fact",
                draft.front_place("hazards", name, "fact"),
                f"the fact of “{name}” must be a statement or a range, one of the two",
                "it is either said or measured",
                "statement: Stands locked and shaken, or range: at most 50 °C",
            )
    for name, follow in front.follow_ups.items():
        if not (follow.after or follow.distance or follow.heat_cycles):
            draft.report(
                "R51",
                draft.front_key("follow-ups", name),
                f"the follow-up “{name}” does not say when",
                "“later” is never",
                "after: 1 day, distance: 100 km or heat-cycles: 1",
            )
    for name, tool in front.tools.items():
        if tool.wrench and tool.wrench.range.form != "range":
            draft.report(
                "value-wrong",
                draft.front_place("tools", name, "wrench", "range"),
                f"the wrench “{name}” has no range ({tool.wrench.range.text})",
                "a figure must lie inside what the wrench can do",
                "range: 5–25 N·m",
            )
    for name, consumable in front.consumables.items():
        if not (consumable.amount or consumable.count):
            draft.report(
                "count-missing",
                draft.front_key("consumables", name),
                f"“{name}” has neither an amount nor a count",
                "what has no amount cannot be bought",
                "amount: 3.7 L, or count: 2",
            )
