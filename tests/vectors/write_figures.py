"""Write figures.json, which holds the bench on the phone to the answers of webapp/figures.py, word for word.

    python tests/vectors/write_figures.py

Only what the phone works out by itself is asked here: over grids of inputs, at edges, and where there is no
answer. Look at the difference before it is committed.
"""

import json
import sys
from collections.abc import Iterator
from itertools import product
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent.parent))

from webapp import figures  # noqa: E402
from webapp.pack.spellings import MISSPELT, SYMBOLS, TURNS, TWO_COUNTRIES, WORDS, known  # noqa: E402
from webapp.trade.answer import Answer, Line  # noqa: E402
from webapp.trade.refusal import Refused  # noqa: E402
from webapp.trade.units import BASE, UNITS, show  # noqa: E402

AMOUNTS = [
    *("24 N·m", "24 Nm", "18 lb-ft", "18 ft. lbs.", "240 in-lbs", "12 to 20 Nm", "20–25 N·m", "25 ± 2 N·m"),
    *("25 N·m ± 10 %", "at most 50 °C", "5 min or more", "min. 3 mm", "1 h 30 min", "2 h and 5 min", "90°"),
    *(
        "1/2 turn",
        "2 flats",
        "9/16 in",
        '1 1/4"',
        "1-5/32 inch",
        "2½ in",
        "½ in",
        "0.05 mm",
        "2 thou",
        "15 psi",
    ),
    *(
        "100 kPa",
        "1 bar",
        "30 inHg",
        "7.4 L",
        "2 US gal",
        "3 imp gal",
        "500 cc",
        "12.6 V",
        "800 rpm",
        "50 km/h",
    ),
    *(
        "60 mph",
        "15 kW",
        "20 hp",
        "20 PS",
        "18 kg",
        "8 oz",
        "-40 °C",
        "−10 to 10 °C",
        "72 °F",
        "40 %",
        "0.3 mm",
    ),
    *(
        "0.15 to 0.25 mm",
        "0.006–0.010 in",
        "1000 µm",
        "12 ft",
        "3.5 m",
        "100 km",
        "120 Ω",
        "5 L/min",
        "1 gal/min",
    ),
    *(
        "24",
        "24 zz",
        "1,5 mm",
        "1,234 N·m",
        "1,234,567 m",
        "1.2.3 mm",
        "+5 mm",
        ".5 in",
        "1e3 mm",
        "twelve mm",
    ),
    *("-5 mm", "0 mm", "0 N·m", "20 lb torque", "20 pounds", "5 gal", "5 MM", "5 nm", "5 MNm", "12345678 mm"),
    *(
        "1.1234567 mm",
        "9/7 in",
        "1 9/8 in",
        "1/2 N·m",
        "25–20 N·m",
        "25 ± 0 N·m",
        "25 ± 30 N·m",
        "1 h 70 min",
    ),
    *(
        "at most 3–5 mm",
        "3 mm 5 in",
        "3 mm or so",
        "-300 °C",
        "20 N·m to 25 lbf·ft",
        "6 mm - 8 mm",
        "3 ft/lb",
    ),
]


def examples(name: str) -> dict[str, str]:
    return figures.examples(figures.find(name))


def varied(name: str, **others: list[str]) -> Iterator[dict[str, str]]:
    """Return the example with every text of every named ask, one ask at a time."""
    for ask, texts in others.items():
        for text in texts:
            yield {**examples(name), ask: text}


def grid(name: str, **others: list[str]) -> Iterator[dict[str, str]]:
    """Return the example with every combination of the texts of the named asks."""
    for texts in product(*others.values()):
        yield {**examples(name), **dict(zip(others, texts, strict=True))}


def conversions() -> Iterator[dict[str, str]]:
    for amount in AMOUNTS:
        yield {"amount": amount}
    scales = (
        "1 N·m",
        "0.5 N·m",
        "5 lbf·ft",
        "2 lbf·in",
        "30 N·m",
        "1/64 in",
        "0.05 mm",
        "2 psi",
        "0 mm",
        "1 °F",
    )
    shown = ("24 N·m", "18 lbf·ft", "20–25 N·m", "25 ± 2 N·m", "at most 24 N·m", "at least 24 N·m", "6.8 mm")
    yield from grid("convert", amount=[*shown, "32 psi", "10 °C"], marks=list(scales), to=[""])
    yield from grid(
        "convert", amount=[*shown, "1 US gal"], marks=[""], to=["1 kgf·m", "1 in", "1 imp gal", "0"]
    )
    heat = ["how much hotter", "how hot it is"]
    yield from grid(
        "convert", amount=["10 °C", "18 °F", "-10 to 20 °C"], temperature=heat, marks=[""], to=[""]
    )


def wrenches() -> Iterator[dict[str, str]]:
    drawer = {
        "least": "5 N·m; 20 N·m; 10 lbf·ft; 2 N·m",
        "most": "25 N·m; 100 N·m; 150 lbf·ft; 10 N·m",
        "graduation": "0.5 N·m; 1 N·m; 1 lbf·ft; 0.1 N·m",
        "low": "",
        "high": "",
        "months": "",
        "dropped": "",
    }
    wanted = [
        "4 N·m",
        "9.5 N·m",
        "24 N·m",
        "24.7 N·m",
        "18 lbf·ft",
        "99 N·m",
        "140 lbf·ft",
        "300 N·m",
        "1 lbf·in",
    ]
    for text in wanted:
        yield {**examples("wrench"), **drawer, "wanted": text}
        yield {**examples("wrench"), **drawer, "wanted": text, "floor": "40 %"}
        yield {**examples("wrench"), **drawer, "wanted": text, "floor": "0 %", "months": "1; 13; 24.5; 12"}
        yield {**examples("wrench"), **drawer, "wanted": text, "dropped": "no; yes; no; YES"}
    alone = {"months": "", "dropped": "", "low": "", "high": ""}
    yield from (
        {**one, **alone}
        for one in grid("wrench", wanted=["0.2 N·m", *wanted], graduation=["7 N·m", "0.25 N·m"])
    )
    yield from varied(
        "wrench",
        low=["", "25 N·m", "26 N·m", "18 lbf·ft"],
        high=["", "25 N·m", "24 N·m", "20 lbf·ft"],
        wanted=["25 N·m", "25.4 N·m", "20–25 N·m", "", "25", "25 ft", "0 N·m", "25,5 N·m"],
        least=["60 N·m", "70 N·m", "0 N·m", "10 N·m; 20 N·m", "10 N·m;; 20 N·m", "10 N·m;"],
        graduation=["0 N·m", "60 N·m", "25 N·m", "3 lbf·ft", "0.3 N·m"],
        floor=["100 %", "0 %", "99 %", "20"],
        months=["13", "12", "1200", "-1", "6; 7", "1,5", "1/2", "six"],
        dropped=["yes", "maybe", "no; yes"],
    )
    yield {**alone, "wanted": "25.3 N·m", "least": "20 N·m", "most": "100 N·m", "graduation": "10 N·m"}
    yield {
        **alone,
        "wanted": "25 N·m",
        "least": "20 N·m",
        "most": "100 N·m",
        "graduation": "1 N·m",
        "low": "25 N·m",
    }


def adapters() -> Iterator[dict[str, str]]:
    bare = {"least": "", "most": "", "graduation": "", "low": "", "high": "", "floor": ""}
    away, back = "away from the handle", "toward the handle"
    for wanted, length, angle in product(
        ("25 N·m", "90 lbf·ft"), ("350 mm", "14 in"), ("", "0°", "45°", "90°")
    ):
        yield {**examples("adapter"), **bare, "wanted": wanted, "length": length, "angle": angle, "way": away}
    for angle, way in product(
        ("89°", "90°", "100°", "135°", "180°", "181°", "270°", "400°"), ("", away, back)
    ):
        yield {**examples("adapter"), **bare, "angle": angle, "way": way}
    yield from varied(
        "adapter",
        extension=["0 mm", "1/2 in", "40 cm", "200 mm", "3001 mm", "-40 mm"],
        length=["0 mm", "3 m", "3001 mm", "10 in", "350"],
        wanted=["12 N·m", "58 N·m", "60 N·m", "70 N·m", "25 lbf·ft", "0 N·m", "20 to 25 N·m"],
        least=["", "70 N·m"],
        most=["", "45 lbf·ft"],
        graduation=["", "5 N·m", "0.5 N·m", "20 N·m"],
        low=["", "24.9 N·m", "26 N·m"],
        floor=["50 %", "10 %", ""],
    )
    yield {**examples("adapter"), **bare, "extension": "350 mm", "angle": "180°", "way": back}
    yield {**examples("adapter"), **bare, "extension": "300 mm", "angle": "180°", "way": back}


def drills() -> Iterator[dict[str, str]]:
    drawers = ["metric", "inch", "inch fractions", "all"]
    holes = [
        "8.5 mm",
        "6.8 mm",
        "5/16 in",
        "0.201 in",
        "13.3 mm",
        "1 mm",
        "32 mm",
        "1 3/4 in",
        "0.5 mm",
        "25.4 mm",
    ]
    yield from grid("drill", diameter=[*holes, "0.3 mm", "60 mm", "0.35 mm", "10.02 mm"], drawer=drawers)
    stuff = ["aluminium", "brass", "mild steel", "medium carbon steel", "cast iron", "stainless steel"]
    yield from grid("drill", material=stuff, speeds=["NAVEDTRA 14345", "shop rule"], fastest=["", "700 rpm"])
    yield from grid(
        "drill", tool=["", "carbon steel"], machine=["", "drill press"], fastest=["", "90 rpm", "0 rpm"]
    )
    yield from varied("drill", diameter=["", "8,5 mm", "8.5", "8.5 kg", "9999999 m"], drawer=["", "wooden"])


def cures() -> Iterator[dict[str, str]]:
    bays = {
        "bay_temperature": ["13 °C", "73 °F", "35 °C", "5 °C", "4 °C", "51 °C"],
        "bay_humidity": ["40 %", "80 %"],
    }
    yield from grid("cure", clock=["open", "tacky", "set", "full"], **bays)
    yield from varied(
        "cure",
        label=["24 h", "90 min", "1 h 30 min", "2 d", "0 min", "20 wk", "24"],
        bay_humidity=["0 %", "100 %", "0.5 %", "40"],
        label_temperature=["", "77 °F", "4 °C"],
        label_humidity=["", "60 %", "0 %"],
        label_path=["", "1/8 in", "0 mm"],
        path=["", "12 mm", "1/2 in", "2 mm", "200 mm"],
    )


def coolants() -> Iterator[dict[str, str]]:
    strengths = ["0 %", "4 %", "20 %", "33.3 %", "50 %", "57.8 %", "58.2 %", "60 %", "61 %", "100 %", "120 %"]
    tables = ["ASHRAE", "Melinder", "Lange", "Army manual"]
    return grid(
        "freeze",
        kind=["ethylene", "propylene"],
        strength=strengths,
        basis=["by volume", "by mass"],
        table=tables,
    )


def frosts() -> Iterator[dict[str, str]]:
    cold = ["-30 °C", "-34 °F", "0 °C", "-1 °C", "-20 °C", "-12.4 °C", "-51 °C", "-60 °C"]
    tables = ["ASHRAE", "Melinder", "Lange", "Army manual"]
    kinds = ["ethylene", "propylene"]
    return grid("protect", kind=kinds, temperature=cold, basis=["by volume", "by mass"], table=tables)


def fills() -> Iterator[dict[str, str]]:
    yield from grid(
        "fill",
        capacity=["9.5 L", "12 US qt", "2 imp gal"],
        stayed=["0 L", "2.1 L", "1 US gal"],
        stayed_strength=["0 %", "30 %"],
        target=["50 %", "33 %"],
        poured=["", "50 %"],
        jug=["", "5 L"],
    )
    yield from varied(
        "fill",
        capacity=["0 L", "1001 L", "1000 L", "5 gal", "500 mL"],
        stayed=["9.5 L", "9.6 L", "9.4 L", "6 L"],
        stayed_strength=["80 %", "100 %", "101 %"],
        target=["0 %", "70 %", "100 %", "5 %", "101 %"],
        poured=["0 %", "40 %", "55 %", "120 %"],
        jug=["0 L", "1 US gal", "0.5 L", "2000 L"],
    )
    yield {**examples("fill"), "stayed": "8 L", "stayed_strength": "90 %", "target": "40 %"}


def coolings() -> Iterator[dict[str, str]]:
    yield from grid(
        "cool-down", second=["76 °C", "160 °F", "86 °C", "50 °C"], target=["50 °C", "120 °F", "22 °C"]
    )
    yield from varied(
        "cool-down",
        first=["88 °C", "76 °C", "77 °C", "201 °C", "-41 °C", "190 °F", "at most 90 °C"],
        second=["20.4 °C", "20.6 °C", "90 °C", "87 °C", "86 °C"],
        between=["1 min", "0.5 min", "4 h", "5 h", "90 s", "1 h 10 min"],
        bay=["-5 °C", "32 °F", "75.4 °C", "75.6 °C", "60 °C"],
        target=["21 °C", "22 °C", "76 °C", "80 °C", "300 °C"],
    )


ASKED = {
    "convert": conversions,
    "wrench": wrenches,
    "adapter": adapters,
    "drill": drills,
    "cure": cures,
    "freeze": coolants,
    "protect": frosts,
    "fill": fills,
    "cool-down": coolings,
}


class Phrases(list[str]):
    """Sentences that answers share, each written once."""

    def at(self, phrase: str) -> int:
        if phrase not in self:
            self.append(phrase)
        return self.index(phrase)


def shown(line: Line) -> list[str]:
    """Return a line as it stands, and as readers of either system see it where they see something else."""
    if line.figure is None:
        return [line.label, line.text]
    both = [show(line.figure, "us"), show(line.figure, "si")]
    return [line.label, line.text, *(both if both != [line.text] * 2 else [])]


def answered(name: str, texts: dict[str, str], phrases: Phrases) -> dict[str, object]:
    """Return the answer to some texts, or why there is none."""
    try:
        found: Answer = figures.answer(name, texts)
    except Refused as no:
        return {"refused": {"what": no.what, "why": no.why, "write": no.write}}
    except figures.Problems as no:
        return {"problems": [problem.plain() for problem in no.problems]}
    return {
        "lines": [shown(line) for line in found.lines],
        "working": list(found.working),
        "source": phrases.at(found.source),
        "validity": phrases.at(found.validity),
        "cautions": [phrases.at(caution) for caution in found.cautions],
    }


def given(name: str) -> list[dict[str, object]]:
    return [
        {
            "name": ask.name,
            "kind": ask.kind,
            "required": ask.required,
            "many": ask.many,
            "example": ask.example,
            "choices": list(ask.choices),
        }
        for ask in figures.find(name).asks
    ]


def whole() -> dict[str, object]:
    """Return all that figures.json holds."""
    phrases = Phrases()
    asked = {}
    for name, inputs in ASKED.items():
        every = [examples(name), *inputs()]
        texts = list({json.dumps(one, sort_keys=True): one for one in every}.values())
        answers = [{"texts": one, "answer": answered(name, one, phrases)} for one in texts]
        asked[name] = {"asks": given(name), "answers": answers}
    spellings = [*SYMBOLS, *WORDS, *TURNS, *TWO_COUNTRIES, *MISSPELT]
    return {
        "units": [[name, unit.kind, unit.system] for name, unit in UNITS.items()],
        "bases": dict(BASE),
        "spellings": {spelling: known(spelling) for spelling in spellings},
        "phrases": phrases,
        "figures": asked,
    }


def text() -> str:
    """Return figures.json: one answer a line, so that a difference can be read."""
    data = whole()
    asked = data.pop("figures")
    rows = [f" {json.dumps(key)}: {json.dumps(value, ensure_ascii=False)}," for key, value in data.items()]
    rows.append(' "figures": {')
    last = len(asked) - 1
    for number, (name, one) in enumerate(asked.items()):
        rows.append(
            f'  {json.dumps(name)}: {{"asks": {json.dumps(one["asks"], ensure_ascii=False)}, "answers": ['
        )
        rows += [
            f"   {json.dumps(answer, ensure_ascii=False)}{',' if answer is not one['answers'][-1] else ''}"
            for answer in one["answers"]
        ]
        rows.append(f"  ]}}{',' if number < last else ''}")
    return "\n".join(["{", *rows, " }", "}", ""])


if __name__ == "__main__":
    (HERE / "figures.json").write_text(text(), encoding="utf-8")
