"""How authors may spell units: an allow-list, and the slips that are worth a word of their own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import product
from typing import NamedTuple

from webapp.trade.units import UNITS, Kind

# Symbols: written exactly so, because a change of case changes the unit (mN·m, MN·m).
SYMBOLS: dict[str, str] = {
    **{
        f"{prefix}N{dot}m": f"{prefix}N·m"
        for prefix in ("", "c", "m")
        for dot in ("·", "", " ", "-", "*", ".")
    },
    **{f"{force}{dot}m": "kgf·m" for force in ("kgf", "kg", "kp") for dot in ("·", "", " ", "-", "*", ".")},
    **{f"{force}{dot}cm": "kgf·cm" for force in ("kgf", "kg", "kp") for dot in ("·", "", " ", "-", "*", ".")},
    "mkp": "kgf·m",
    "mkg": "kgf·m",
    **{unit: unit for unit in UNITS if unit not in ("rpm", "mph", "psi", "°")},
    "μm": "µm",  # the Greek letter for the micro sign
    "l": "L",
    "ml": "mL",
    "cm³": "mL",
    "cm3": "mL",
    "cc": "mL",
    "l/min": "L/min",
    "degC": "°C",
    "deg C": "°C",
    "° C": "°C",
    "℃": "°C",
    "degF": "°F",
    "deg F": "°F",
    "° F": "°F",
    "℉": "°F",
    "kgf/cm2": "kgf/cm²",
    "kg/cm²": "kgf/cm²",
    "kg/cm2": "kgf/cm²",
    "r/min": "rpm",
    "1/min": "rpm",
    "min⁻¹": "rpm",
    "W": "W",
    '"': "in",
    "°": "°",
}

_LENGTHS = {"ft": ("ft", "foot", "feet"), "in": ("in", "inch", "inches")}
_FORCES = ("lbf", "lb", "lbs", "pound-force", "pound", "pounds")
_JOINTS = ("·", "-", " ", ".", ". ", ".-", "*", "")

# Words: any case, because shouting "FT-LB" changes nothing.
WORDS: dict[str, str] = {
    **{
        f"{pair[0]}{joint}{pair[1]}": f"lbf·{length}"
        for length, names in _LENGTHS.items()
        for name, force, joint in product(names, _FORCES, _JOINTS)
        for pair in ((name, force), (force, name))
    },
    **{
        f"{pair[0]}{joint}{pair[1]}": "ozf·in"
        for name, force, joint in product(
            ("in", "inch"), ("ozf", "oz", "ounce", "ounces"), ("·", "-", " ", "")
        )
        for pair in ((name, force), (force, name))
    },
    **{
        f"newton{joint}{metre}": "N·m"
        for joint, metre in product(("-", " "), ("metre", "meter", "metres", "meters"))
    },
    **{f"{name}{s}": "mm" for name in ("millimetre", "millimeter") for s in ("", "s")},
    **{f"{name}{s}": "cm" for name in ("centimetre", "centimeter") for s in ("", "s")},
    **{f"{name}{s}": "m" for name in ("metre", "meter") for s in ("", "s")},
    **{f"{name}{s}": "km" for name in ("kilometre", "kilometer") for s in ("", "s")},
    **dict.fromkeys(("in", "inch", "inches"), "in"),
    **dict.fromkeys(("ft", "foot", "feet"), "ft"),
    "thou": "thou",
    **dict.fromkeys(("mile", "miles"), "mi"),
    **dict.fromkeys(("sec", "second", "seconds"), "s"),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("day", "days"), "d"),
    **dict.fromkeys(("week", "weeks"), "wk"),
    **{
        f"{degrees}{name}": unit
        for degrees in ("degrees ", "degree ", "deg ", "°", "° ")
        for name, unit in (("celsius", "°C"), ("centigrade", "°C"), ("fahrenheit", "°F"))
    },
    "degrees c": "°C",
    "degrees f": "°F",
    **{f"{name}{s}": "L" for name in ("litre", "liter") for s in ("", "s")},
    **{f"{name}{s}": "mL" for name in ("millilitre", "milliliter") for s in ("", "s")},
    **{
        spelling: f"{country} {measure}"
        for country, names in {
            "US": ("us", "u.s."),
            "imp": ("imp", "imp.", "imperial", "uk"),
        }.items()
        for measure, words in {
            "gal": ("gal", "gallon", "gallons"),
            "qt": ("qt", "quart", "quarts"),
            "pt": ("pt", "pint", "pints"),
            "fl oz": ("fl oz", "fl. oz", "fluid ounce", "fluid ounces"),
        }.items()
        for name, word in product(names, words)
        for spelling in (f"{name} {word}", f"{word} ({name})")
    },
    "us gpm": "US gal/min",
    **dict.fromkeys(("litres per minute", "liters per minute"), "L/min"),
    **dict.fromkeys(("psi", "psig", "lbf/in²", "pounds per square inch"), "psi"),
    "in hg": "inHg",
    "mm hg": "mmHg",
    **dict.fromkeys(("deg", "degree", "degrees"), "°"),
    **{f"{name}{s}": "kg" for name in ("kilogram", "kilo") for s in ("", "s")},
    **{f"gram{s}": "g" for s in ("", "s")},
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("volt", "volts"), "V"),
    **dict.fromkeys(("millivolt", "millivolts"), "mV"),
    **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "A"),
    **dict.fromkeys(("ohm", "ohms"), "Ω"),
    **dict.fromkeys(("rpm", "rev/min", "revs/min", "revolutions per minute"), "rpm"),
    **dict.fromkeys(("mph", "miles per hour"), "mph"),
    "kph": "km/h",
    **dict.fromkeys(("percent", "per cent", "pct"), "%"),
    **dict.fromkeys(("horsepower", "bhp"), "hp"),
}

# Angles counted in parts of a circle. A hexagon has six flats.
TURNS: dict[str, tuple[int, str]] = {
    "turn": (360, "turn"),
    "turns": (360, "turns"),
    "flat": (60, "flat"),
    "flats": (60, "flats"),
}

# Measures of two countries: the text does not say whose.
TWO_COUNTRIES: dict[str, tuple[str, str]] = {
    word: (f"US {measure}", f"imp {measure}")
    for measure, words in {
        "gal": ("gal", "gallon", "gallons"),
        "qt": ("qt", "quart", "quarts"),
        "pt": ("pt", "pint", "pints"),
        "fl oz": ("fl oz", "fl. oz", "fluid ounce", "fluid ounces"),
        "gal/min": ("gpm", "gal/min", "gallons per minute"),
    }.items()
    for word in words
}

# Spellings of a known unit that mean something else, or nothing; named so that prose does not hide them.
MISSPELT: dict[str, str] = {
    **dict.fromkeys(("nm", "NM", "nM", "n·m", "N/m"), "N·m"),
    **dict.fromkeys(("MNm", "MN·m", "MN m", "MN-m"), "mN·m"),
    **{
        f"{length}/{force}": f"lbf·{length}"
        for length in _LENGTHS
        for force in ("lb", "lbs", "lbf", "pounds")
    },
    **{f"{force}/{length}": f"lbf·{length}" for length in _LENGTHS for force in ("lb", "lbs", "lbf")},
    **dict.fromkeys(("kpa", "KPA", "KPa", "Kpa"), "kPa"),
    "psia": "psi",
    "MM": "mm",
}

# In prose these end a sentence, or are other things: "drill to 1/2 in. Then", "fit 2 C clamps".
FIELD_ONLY: dict[str, str] = {"in.": "in", "ft.": "ft", "C": "°C", "F": "°F"}
POUNDS = re.compile(r"(?:lbs?|pounds?)\.?", re.I)

NAMES: dict[Kind, str] = {
    "torque": "a torque",
    "length": "a length",
    "distance": "a distance",
    "duration": "a length of time",
    "temperature": "a temperature",
    "temperature-difference": "a difference of temperatures",
    "volume": "a volume",
    "flow": "a flow",
    "pressure": "a pressure",
    "angle": "an angle",
    "mass": "a mass",
    "voltage": "a voltage",
    "current": "a current",
    "resistance": "a resistance",
    "speed": "a speed of rotation",
    "road-speed": "a road speed",
    "share": "a share",
    "power": "a power",
}
EXAMPLES: dict[Kind, str] = {
    "torque": "25 N·m",
    "length": "3 mm",
    "distance": "100 km",
    "duration": "10 min",
    "temperature": "50 °C",
    "temperature-difference": "10 °C",
    "volume": "7.4 L",
    "flow": "10 L/min",
    "pressure": "100 kPa",
    "angle": "90°",
    "mass": "18 kg",
    "voltage": "12.6 V",
    "current": "10 A",
    "resistance": "120 Ω",
    "speed": "800 rpm",
    "road-speed": "50 km/h",
    "share": "50 %",
    "power": "15 kW",
}


class Spelled(NamedTuple):
    """A unit as it stands in a text, and where it ends."""

    spelling: str
    end: int


def _one_of(spellings: Iterable[str]) -> str:
    return "|".join(re.escape(spelling) for spelling in sorted(spellings, key=len, reverse=True))


ANY_CASE = [*WORDS, *TURNS, *TWO_COUNTRIES]
_GAP = r"(?: {0,2}|-)"
_END = r"(?![A-Za-z0-9°·²³µΩ⁻]|[-/*^.][A-Za-z])"
_SYMBOL = re.compile(rf"{_GAP}({_one_of([*SYMBOLS, *MISSPELT])}){_END}")
_WORD = re.compile(rf"{_GAP}({_one_of(ANY_CASE)}){_END}")
_REACH = 4 + max(map(len, ANY_CASE))  # the longest word, and what must not follow it
_FIELD_UNIT = re.compile(rf"{_GAP}({_one_of(FIELD_ONLY)})(?![A-Za-z0-9])")


def unit_at(text: str, at: int, in_field: bool) -> Spelled | None:
    """Return the unit that stands in the text at a place, after a space or hyphen or none."""
    symbol = _SYMBOL.match(text, at)
    word = _WORD.match(text[at : at + _REACH].lower())
    if word and (symbol is None or at + word.end() > symbol.end()):
        return Spelled(text[at + word.start(1) : at + word.end()], at + word.end())
    symbol = symbol or (_FIELD_UNIT.match(text, at) if in_field else None)
    return Spelled(symbol[1], symbol.end()) if symbol else None


def known(spelling: str) -> str | None:
    """Return the unit a spelling stands for; None for one that only asks or errs."""
    if spelling in SYMBOLS:
        return SYMBOLS[spelling]
    if spelling in MISSPELT:
        return None
    word = spelling.lower()
    return "°" if word in TURNS else WORDS.get(word) or FIELD_ONLY.get(spelling)
