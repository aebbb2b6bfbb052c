"""R21–R29 and R46: figures, wrenches, threads, orders and angles."""

from __future__ import annotations

from ..rule import Row, Rule
from . import drilled, figures, stages, wrenches
from .renewed import too_few_new

RENEWED = frozenset({"quiet", "seen"})
GROUPS = frozenset({"fasteners"})
TURNED = frozenset({"torqued", *(f"turn {number}" for number in range(1, 20))})
STRETCHED = frozenset({"angle"})
ONE_LIFE = frozenset(
    {"one-use", "to-renew", "form-o-ring", "form-crush-washer", "form-tab-washer", "form-split-pin"}
)
"""Marks of what never goes back: by the author's word, or by what it is."""

OLD_BOLTS = "{name}: old ones go back, because not all of them are thrown away"
SCRAP = "“- scrap: {object}” once they are out, and as many new ones under `parts`"
OLD_PART = "{name}: the old one goes back; it has one life"
NOT_NEW = "{name} is not renewed, and its joint was opened at “{since}”; it has one life"
FIT = "“- fit: {object}” before it is closed again, and a new one under `parts`"

OLD_BOLTS_GO_BACK = tuple(
    row
    for moment in ("starts-by-hand", "tightens")
    for row in (
        Row("due", moment, RENEWED, OLD_BOLTS, SCRAP, "error", only=STRETCHED, anywhere=False),
        Row("due", moment, RENEWED, OLD_BOLTS, SCRAP, "warning", STRETCHED, GROUPS, anywhere=False),
    )
)

RULES: tuple[Rule, ...] = (
    Rule(
        "R21",
        "One clear unit",
        "The wrong one of two units is wrong by a factor of twelve.",
        "error",
        "A torque has one of the units N·m, lbf·ft, lbf·in or kgf·m. Bare pounds are refused. This is "
        "looked at when the amounts are read.",
    ),
    Rule(
        "R22",
        "The figure fits the thread",
        "A slip of unit or decimal point strips the thread or leaves it loose.",
        "warning; error beyond twice or below a quarter of what is usual",
        "Each torque against what is usual for thread, class and material: from a quarter of proof load on "
        "slick threads to all of it on dry ones. Without a class, the usual ones from weakest to strongest. "
        "Aluminium, brass and plastic take less. Pipe threads and sizes without a table are left alone.",
        judges=(figures.judge,),
    ),
    Rule(
        "R23",
        "A wrench that can do it",
        "A wrench is only tested from a fifth of its scale up. Below that the click means nothing.",
        "error when no listed wrench reaches the figure; warning in the lowest fifth of every scale",
        "Each figure that is set, of each pass and each length, against the wrenches of the step, or of the "
        "pack where the step names none. Only where the pack lists tools.",
        judges=(wrenches.judge_wrenches,),
    ),
    Rule(
        "R24",
        "Adapter allowed for",
        "A crowfoot of 4 in on a wrench of 12 in over-tightens by a third.",
        "warning",
        "A step that tightens through a crowfoot, or a tool with `adapter`, needs the `length` of its "
        "wrench, unless the adapter is said to stand at 90° or square to it.",
        judges=(wrenches.judge_adapters,),
    ),
    Rule(
        "R25",
        "The threads are as the figure wants them",
        "The same torque stretches an oiled bolt up to twice as far as a dry one.",
        "warning; error for fasteners that are turned by an angle",
        "`threads` against `figure-for`, where both are said. As supplied passes for dry.",
        judges=(stages.judge_threads,),
    ),
    Rule(
        "R26",
        "Two units agree",
        "Somebody will work to the wrong one of the two.",
        "error",
        "A figure in two units must be one figure, within the rounding both are printed to. This is looked "
        "at when the amounts are read.",
    ),
    Rule(
        "R27",
        "Order and stages for a joint",
        "A flange that is pulled down at one corner warps, and its gasket rolls.",
        "warning; error when the order skips, repeats or names a fastener that is not there, or passes are "
        "out of their order",
        "A sealed joint of four or more fasteners, and any joint of three or more above 41 N·m, has an order "
        "(or a pattern, which gives one) and more than one pass. Snug before the figure, and a turn after "
        "it, count as passes.",
        judges=(stages.judge_stages,),
    ),
    Rule(
        "R28",
        "One-use parts renewed",
        "A stretched bolt breaks the second time, and a crushed washer does not seal again.",
        "error for bolts turned by an angle; warning for washers, pins, nuts and rings",
        "What is `one-use` or `renew`, and every O-ring, crush washer, tab washer and split pin, is new when "
        "it goes back: bolts by `scrap`, parts and seals by `fit`, and as many as there are.",
        rows=(
            *OLD_BOLTS_GO_BACK,
            Row("due", "goes-back", RENEWED, OLD_PART, FIT, "warning", only=ONE_LIFE, unless=GROUPS,
                anywhere=False),
            Row("due", "end", RENEWED, NOT_NEW, FIT, "warning", only=ONE_LIFE, unless=GROUPS),
        ),
        judges=(too_few_new,),
    ),
    Rule(
        "R29",
        "The angle stands on a snug torque",
        "An angle from an unknown start is no figure, and neither is a click after it.",
        "error",
        "A group is turned only once it has its torque, each turn once and in order, and no torque wrench is "
        "set on it afterwards. All its turns are done before the engine is started, before the vehicle is "
        "driven and at the end.",
        rows=tuple(
            Row("group", moment, frozenset(), "{name}: {state} " + when,
                "“- turn: {object}”, each of its turns", barred=TURNED, do="Turn {name} by the angle.")
            for moment, when in (
                ("starts", "when the engine is started"),
                ("moves", "when the vehicle is driven"),
                ("end", "at the end of the job"),
            )
        ),
    ),
    Rule(
        "R46",
        "Drill, tap and thread agree",
        "A shallow thread strips, a tight one breaks the tap, and a taper thread never fits a straight one.",
        "error",
        "The drill of a cut leaves 55 to 80 % of its thread, or is that of its pipe thread; every thread is "
        "one of a series; taper or straight is said.",
        judges=(drilled.judge,),
    ),
)  # fmt: skip
