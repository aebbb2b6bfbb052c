"""Write wrench.json, which holds Python and JavaScript to the same settings and the same refusals.

    python tests/vectors/write_wrench.py

The answers are those of webapp/trade/wrench.py, which tests/reference/ holds to published values; look at the
difference before it is committed.
"""

import json
import sys
from itertools import product
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent))

from webapp.trade.quantities import Q_  # noqa: E402
from webapp.trade.refusal import Refused  # noqa: E402
from webapp.trade.units import UNITS  # noqa: E402
from webapp.trade.wrench import Wrench, adapter_answer, adapter_factor, wrench_answer  # noqa: E402

AWAY, TOWARD = "away from the handle", "toward the handle"
NEWTON, FOOT, INCH = "N·m", "lbf·ft", "lbf·in"


def wrench(least, most, graduation, unit, months=None, dropped=False):
    """Return a wrench as the phone keeps it."""
    return {
        "least": least,
        "most": most,
        "graduation": graduation,
        "unit": unit,
        "months": months,
        "dropped": dropped,
    }


SMALL, MIDDLE = wrench(40, 200, 1, INCH), wrench(10, 60, 1, NEWTON)
LARGE, COARSE = wrench(20, 100, 5, FOOT, months=14), wrench(10, 60, 2.5, NEWTON, dropped=True)
FINE = wrench(1, 10, 0.05, NEWTON, months=12)
CHESTS = ([SMALL, MIDDLE, LARGE], [LARGE, COARSE], [FINE], [MIDDLE, COARSE], [])
WANTED = (
    (7, FOOT),
    (18, FOOT),
    (25, NEWTON),
    (12, NEWTON),
    (11.9, NEWTON),
    (60, NEWTON),
    (60.1, NEWTON),
    (56, INCH),
    (1.15, NEWTON),
    (2.025, NEWTON),
    (100, FOOT),
    (300, NEWTON),
    (0, NEWTON),
    (-4, NEWTON),
)
BANDS = ((23, 27), (25, None), (None, 25.4), (25.2, 25.4), (26, 30))
ADAPTERS = [
    {"length": length, "extension": extension, "angle": angle, "way": way}
    for (length, extension), (angle, way) in product(
        ((350, 40), (350, 0), (482.6, 76.2), (200, 250)),
        ((0, AWAY), (45, AWAY), (90, AWAY), (90, TOWARD), (135, TOWARD), (180, TOWARD)),
    )
] + [
    {"length": 0, "extension": 40, "angle": 0, "way": AWAY},
    {"length": 3001, "extension": 40, "angle": 0, "way": AWAY},
    {"length": 350, "extension": -40, "angle": 0, "way": AWAY},
    {"length": 350, "extension": 40, "angle": 200, "way": AWAY},
    {"length": 350, "extension": 40, "angle": -30, "way": AWAY},
    {"length": 350, "extension": 40, "angle": 700, "way": AWAY},
    {"length": 350, "extension": 40, "angle": 135, "way": AWAY},
    {"length": 350, "extension": 40, "angle": 45, "way": TOWARD},
]
BROKEN = [
    wrench(60, 10, 1, NEWTON),
    wrench(-5, 60, 1, NEWTON),
    wrench(10, 60, 0, NEWTON),
    wrench(10, 60, 60, NEWTON),
    wrench(10, 60, 1, NEWTON, months=-1),
    wrench(10, 60, 1, NEWTON, months=1200),
    wrench(0, 60, 1, NEWTON, months=0),
]


def torque(value, unit):
    """Return a torque, or nothing."""
    return None if value is None else Q_(float(value), UNITS[unit].pint)


def or_refused(work):
    """Return an answer as plain data, or what is refused about it."""
    try:
        return work()
    except Refused as refused:
        return {"refused": {"what": refused.what, "why": refused.why, "write": refused.write}}


def chosen(figure, wrenches):
    """Return which wrench is chosen for a figure, what is set on it, and what to know of it."""
    unit = figure["unit"]

    def work():
        scales = [
            [torque(one[name], one["unit"]) for one in wrenches] for name in ("least", "most", "graduation")
        ]
        answer = wrench_answer(
            torque(figure["wanted"], unit),
            *scales,
            low=torque(figure["low"], unit),
            high=torque(figure["high"], unit),
            months=[one["months"] or 0 for one in wrenches],
            dropped=["yes" if one["dropped"] else "no" for one in wrenches],
        )
        setting = answer.value["dial"].magnitude
        return {
            "wrench": answer.value["wrench"],
            "setting": float(setting),
            "error": float(answer.value["error"]),
            "cautions": list(answer.cautions),
        }

    return or_refused(work)


def with_adapter(adapter, figure, one):
    """Return what is set on one wrench with an adapter."""

    def work():
        answer = adapter_answer(
            torque(figure["wanted"], figure["unit"]),
            Q_(float(adapter["length"]), "mm"),
            Q_(float(adapter["extension"]), "mm"),
            Q_(float(adapter["angle"]), "degree"),
            adapter["way"],
            *(torque(one[name], one["unit"]) for name in ("least", "most", "graduation")),
        )
        return {"setting": float(answer.value["dial"].magnitude), "error": float(answer.value["error"])}

    return or_refused(work)


def factor(adapter):
    """Return how many times the setting reaches the fastener through an adapter."""
    lengths = (Q_(float(adapter[name]), "mm") for name in ("length", "extension"))
    return or_refused(
        lambda: {"factor": adapter_factor(*lengths, Q_(float(adapter["angle"]), "degree"), adapter["way"])}
    )


def kept(one):
    """Return nothing for a wrench that can be, or what is refused about it."""
    scale = (torque(one[name], one["unit"]) for name in ("least", "most", "graduation"))

    def work():
        Wrench(*scale, months=one["months"])

    return or_refused(work)


def figures():
    """Return figures with the wrenches they are looked for on."""
    for (wanted, unit), wrenches in product(WANTED, CHESTS):
        yield {"wanted": wanted, "low": None, "high": None, "unit": unit}, wrenches
    for (low, high), wrenches in product(BANDS, CHESTS):
        yield {"wanted": 25, "low": low, "high": high, "unit": NEWTON}, wrenches


def tables():
    """Return every table of wrench.json."""
    plain = {"wanted": 40, "low": None, "high": None, "unit": NEWTON}
    return {
        "choices": [
            {"figure": figure, "wrenches": wrenches, "answer": chosen(figure, wrenches)}
            for figure, wrenches in figures()
        ],
        "factors": [{"adapter": adapter, "answer": factor(adapter)} for adapter in ADAPTERS],
        "adapted": [
            {"adapter": adapter, "figure": plain, "wrench": one, "answer": with_adapter(adapter, plain, one)}
            for adapter, one in product(ADAPTERS, (MIDDLE, LARGE))
        ],
        "kept": [{"wrench": one, "answer": kept(one)} for one in [*BROKEN, MIDDLE]],
    }


if __name__ == "__main__":
    parts = []
    for key, vectors in tables().items():
        lines = ",\n".join("    " + json.dumps(vector, ensure_ascii=False) for vector in vectors)
        parts.append(f"  {json.dumps(key)}: [\n{lines}\n  ]")
    (HERE / "wrench.json").write_text("{\n" + ",\n".join(parts) + "\n}\n", encoding="utf-8")
