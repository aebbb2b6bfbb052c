"""Write cure.json and amounts.json, which hold Python and JavaScript to the same answers.

    python tests/vectors/write_trade.py

The answers are those of webapp/trade, which tests/reference/ holds to published values; look at the
difference before it is committed. What only the phone does (typed numbers, judging a reading) is written here
by hand.
"""

import csv
import json
import sys
from itertools import product
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent))

from webapp.trade.cure import SOURCE, VALIDITY, stretched  # noqa: E402
from webapp.trade.quantities import Q_  # noqa: E402
from webapp.trade.refusal import Refused  # noqa: E402
from webapp.trade.units import BASE, UNITS, convert  # noqa: E402

TYPED = [
    ("25", 25),
    ("25.5", 25.5),
    ("25,5", 25.5),
    ("0,125", 0.125),
    ("1234,567", 1234.567),
    ("1,5", 1.5),
    (",5", 0.5),
    (".5", 0.5),
    ("-5", -5),
    ("−5,5", -5.5),
    ("  12.6 ", 12.6),
    ("9/16", 0.5625),
    ("1 1/2", 1.5),
    ("1-5/32", 1.15625),
    ("007", 7),
]
ASKED_BACK = [
    ("1,234", [1.234, 1234]),
    ("12,345", [12.345, 12345]),
    ("-1,234", [-1.234, -1234]),
    ("1,234,567", [1234567]),
]
UNREADABLE = ["", " ", "-", ",", ".", "twelve", "12 V", "1e9", "Infinity", "NaN", "1.2.3", "1,2,3", "1.234,5"]
UNREADABLE += ["1/0", "1 9/8", "0x10", "--5", "5-", "1234567890123", "９"]

JUDGED = [  # value, unit, range as a compiled pack has it, answer
    (12.4, "V", {"kind": "voltage", "low": 12.4, "high": 12.8, "unit": "V"}, "in"),
    (12.39, "V", {"kind": "voltage", "low": 12.4, "high": 12.8, "unit": "V"}, "low"),
    (12900, "mV", {"kind": "voltage", "low": 12.4, "high": 12.8, "unit": "V"}, "high"),
    (50, "°C", {"kind": "temperature", "low": None, "high": 50, "unit": "°C"}, "in"),
    (122, "°F", {"kind": "temperature", "low": None, "high": 50, "unit": "°C"}, "in"),
    (123, "°F", {"kind": "temperature", "low": None, "high": 50, "unit": "°C"}, "high"),
    (-40, "°F", {"kind": "temperature", "low": -40, "high": None, "unit": "°C"}, "in"),
    (-41, "°F", {"kind": "temperature", "low": -40, "high": None, "unit": "°C"}, "low"),
    (18, "°F", {"kind": "temperature-difference", "low": 10, "high": 12, "unit": "°C"}, "in"),
    (17, "°F", {"kind": "temperature-difference", "low": 10, "high": 12, "unit": "°C"}, "low"),
    (100, "kPa", {"kind": "pressure", "low": 14, "high": 16, "unit": "psi"}, "in"),
    (1.2, "bar", {"kind": "pressure", "low": 14, "high": 16, "unit": "psi"}, "high"),
    (0, "kPa", {"kind": "pressure", "low": None, "high": 10, "unit": "kPa"}, "in"),
    (240, "lbf·in", {"kind": "torque", "low": 20, "high": 20, "unit": "lbf·ft"}, "in"),
    (0.002, "in", {"kind": "length", "low": None, "high": 0.05, "unit": "mm"}, "high"),
    (2, "thou", {"kind": "length", "low": None, "high": 0.0508, "unit": "mm"}, "in"),
]


def conversions():
    """Return every unit against the base of its kind, both ways, at a few numbers."""
    for unit, known in UNITS.items():
        base = BASE[known.kind]
        for one, other in ((unit, base), (base, unit)):
            for value in (1, 27.5, -40 if known.kind == "temperature" else 240):
                yield one, other, known.kind, value
    yield from (("°C", "°F", "temperature-difference", value) for value in (10, -5))
    yield from (("lbf·ft", "lbf·in", "torque", 20), ("US gal", "imp gal", "volume", 2))


def waits():
    """Return inputs of the cure clock: a grid of bays and joints, the reference rows, and the refusals."""
    label = {"label": 1440, "labelTemperature": 23, "labelHumidity": 50}
    for clock, air, path in product(
        ("open", "tacky", "set", "full"),
        ((23, 50), (13, 40), (30, 70), (35, 10), (5, 100), (12.5, 62.5), (50, 1)),
        ((None, None), (3, 5), (3, 2), (None, 4), (2.5, 12)),
    ):
        times = {"open": 10, "tacky": 30, "set": 60, "full": 1440}
        joint = {"labelPath": path[0], "path": path[1]}
        yield {
            **label,
            "label": times[clock],
            "clock": clock,
            "bayTemperature": air[0],
            "bayHumidity": air[1],
            **joint,
        }
    with (HERE.parent / "reference" / "humidity-cure.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["kind"] in ("combined", "humidity-factor"):
                given = dict(pair.split("=") for pair in row["inputs"].split("; "))
                yield {
                    "label": float(given.get("t_ref_h", 24)) * 60,
                    "clock": "full",
                    "labelTemperature": float(given["T_ref_degC"]),
                    "labelHumidity": float(given["RH_ref_pct"]),
                    "bayTemperature": float(given["T_degC"]),
                    "bayHumidity": float(given["RH_pct"]),
                    "labelPath": float(given["z_ref_mm"]) if "z_ref_mm" in given else None,
                    "path": float(given["z_mm"]) if "z_mm" in given else None,
                }
    sound = {**label, "clock": "full", "bayTemperature": 20, "bayHumidity": 50, "labelPath": 3, "path": 3}
    for wrong in (
        {"bayTemperature": 4.9},
        {"bayTemperature": -10},
        {"bayTemperature": 51},
        {"labelTemperature": 4},
        {"bayHumidity": 0},
        {"bayHumidity": 0.5},
        {"bayHumidity": 101},
        {"labelHumidity": -1},
        {"label": 0},
        {"label": 1e9},
        {"path": 0},
        {"path": 250},
        {"labelPath": -3},
        {"clock": "open", "bayTemperature": 3},
    ):
        yield sound | wrong


def answer(wait):
    """Return what the clock says to these inputs, as plain data."""
    try:
        cure = stretched(
            Q_(wait["label"], "min"),
            wait["clock"],
            label_temperature=Q_(wait["labelTemperature"], "degC"),
            label_humidity=Q_(wait["labelHumidity"], "percent"),
            bay_temperature=Q_(wait["bayTemperature"], "degC"),
            bay_humidity=Q_(wait["bayHumidity"], "percent"),
            label_path=None if wait["labelPath"] is None else Q_(wait["labelPath"], "mm"),
            path=None if wait["path"] is None else Q_(wait["path"], "mm"),
        )
    except Refused as refused:
        return {"refused": {"what": refused.what, "why": refused.why, "write": refused.write}}
    return {
        "minutes": cure.time.m_as("min"),
        "pathFactor": cure.path_factor,
        "vapourFactor": cure.vapour_factor,
        "working": list(cure.working),
        "cautions": list(cure.cautions),
    }


def write(name, tables):
    """Write tables of vectors, one vector a line, so that a change reads as a change."""
    parts = []
    for key, vectors in tables.items():
        lines = ",\n".join("    " + json.dumps(vector, ensure_ascii=False) for vector in vectors)
        parts.append(f"  {json.dumps(key)}: [\n{lines}\n  ]")
    (HERE / name).write_text("{\n" + ",\n".join(parts) + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    write(
        "cure.json",
        {
            "words": [{"source": SOURCE, "validity": VALIDITY}],
            "waits": [{"wait": wait, "answer": answer(wait)} for wait in waits()],
        },
    )
    write(
        "amounts.json",
        {
            "conversions": [
                {
                    "value": value,
                    "from": one,
                    "to": other,
                    "kind": kind,
                    "answer": convert(value, one, other, kind),
                }
                for one, other, kind, value in conversions()
            ],
            "judged": [
                {"value": value, "unit": unit, "range": limits, "answer": verdict}
                for value, unit, limits, verdict in JUDGED
            ],
            "typed": [{"text": text, "value": value, "ask": []} for text, value in TYPED]
            + [{"text": text, "value": None, "ask": meant} for text, meant in ASKED_BACK]
            + [{"text": text, "value": None, "ask": []} for text in UNREADABLE],
        },
    )
