"""Glycol in water: when the mix freezes, how strong it must be, when it boils under its cap, how it swells.

Freezing points come from the public table that is asked for (see `coolant`); between two rows a straight line
is drawn. Strength is never asked without its basis, by volume or by mass.

Boiling is Raoult's law: each of the two presses with its share of the molecules, and the mix boils where both
together press as hard as the cap and the air above it. The air thins with height by the standard atmosphere.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, isfinite

from .answer import Answer, Ask, Declared, Line, line
from .coolant import (
    BASES,
    DENSITY,
    DENSITY_STEPS,
    KINDS,
    LISTS,
    MOLAR_MASS,
    PURE_ETHYLENE_MELTS,
    SHARES,
    TABLES,
    WATER_MOLAR_MASS,
    Basis,
    Kind,
    Table,
)
from .humidity import CRITICAL_PRESSURE, CRITICAL_TEMPERATURE, TERMS
from .quantities import Q_, STANDARD_AIR, Quantity
from .refusal import Refused
from .shown import said

# Antoine's equation, log10(p / bar) = A - B / (T + C), T in K, about 50–200 °C. Ethylene: the constants of
# the NIST Chemistry WebBook; propylene: handbook constants. Both from memory.
_ANTOINE: dict[Kind, tuple[float, float, float]] = {
    "ethylene": (4.97012, 1914.951, -84.996),
    "propylene": (5.3331, 2085.9, -69.61),
}
LEAST_CAP, MOST_CAP = 0.0, 200.0  # kPa above the air; road vehicles stay below, common practice, no source
LOWEST, HIGHEST = -500.0, 5000.0  # m
_BIT = 1e-9

SHARE_SOURCE = "ASHRAE Handbook of Fundamentals: the same rows by volume and by mass"
DENSITY_SOURCE = "ASHRAE Handbook of Fundamentals, density of aqueous glycol (values as CoolProp keeps them)"
BOIL_SOURCE = (
    "Raoult's law. Water: W. Wagner and A. Pruß (2002), eq. 2.5. Glycol: Antoine's equation, constants from "
    "memory. Height: standard atmosphere, ISO 2533 (from memory)"
)
BOIL_VALIDITY = (
    "Clean mixes up to the end of the share table, cap 0–200 kPa, −500 to 5000 m. "
    "Public tables agree within about 2 °C"
)

POISON = "Ethylene glycol tastes sweet and kills people and animals: catch it, close it, label it"
HOT = "Never open a hot system: what is held under pressure boils over at once"
LABEL_WINS = "The label of the coolant in hand wins: it is not pure glycol, and knows its own table"
TESTER = (
    "A refractometer reads this on the scale of its own kind of glycol, the coolant near 20 °C or the tester "
    "compensated (common practice, no source). A float tester misreads propylene: its density hardly changes"
)
THIN = "Below about 30 % the additives protect too little against rust (US Army TM 5-3820-245-14&P)"
STRONG = "Past about 60 to 68 % more glycol protects less: never top up with straight concentrate"
ROWS_LINE = "Between two rows a straight line is drawn; with rows 10 % apart it may promise 0.5 °C too much"


def share(strength: Quantity, *, kind: Kind, basis: Basis, to: Basis) -> Quantity:
    """Return a strength on the other basis, in percent: by volume or by mass of glycol.

    Range: 0–57.8 % by volume of ethylene, 0–60 % of propylene. Source: SHARE_SOURCE. Raises Refused beyond.

    >>> print(f"{share(Q_(50, 'percent'), kind='ethylene', basis='by volume', to='by mass'):.1f~P}")
    52.4 %
    """
    percent = _percent(strength)
    if kind not in KINDS or basis not in BASES or to not in BASES:
        raise Refused(
            "the mix is not said clearly",
            "ethylene and propylene, volume and mass are four different answers",
            f"Choose {' or '.join(KINDS)}, and {' or '.join(BASES)}",
        )
    if basis == to:
        return Q_(percent, "percent")
    rows = SHARES[kind] if basis == "by volume" else tuple((m, v) for v, m in SHARES[kind])
    if percent > rows[-1][0] + _BIT:
        raise _beyond(percent, basis, rows[-1][0], kind)
    return Q_(_at(rows, percent), "percent")


def freezing(strength: Quantity, *, kind: Kind, basis: Basis, table: str) -> Quantity:
    """Return the temperature in °C at which the first ice forms, by the table named.

    table: one of LISTS; not every one holds both kinds. Raises Refused outside its rows.

    >>> print(f"{freezing(Q_(50, 'percent'), kind='ethylene', basis='by volume', table='ASHRAE'):.1f~P}")
    -37.0 °C
    """
    chosen = _table(kind, table)
    percent = float(share(strength, kind=kind, basis=basis, to=chosen.basis).m_as("percent"))
    _inside(percent, chosen, kind, table)
    return Q_(_at(chosen.rows, percent), "degC")


def strength_for(temperature: Quantity, *, kind: Kind, basis: Basis, table: str) -> Quantity:
    """Return the strength in percent whose mix begins to freeze at a temperature, by the table named.

    Raises Refused above freezing and colder than the table goes.
    """
    chosen = _table(kind, table)
    celsius = _number(temperature, "degC", "the temperature")
    rows = tuple((c, p) for p, c in reversed(chosen.rows))
    if celsius >= 0:
        raise Refused(
            f"{said(celsius)} °C is no frost",
            "water itself is safe down to 0 °C",
            "Give the coldest temperature the machine will stand in, below 0 °C",
        )
    if celsius < rows[0][0] - _BIT:
        raise Refused(
            f"no mix of this table protects to {said(celsius)} °C",
            f"the {table} table ends at {said(rows[0][0])} °C, and stronger mixes protect less",
            "Keep the machine warmer, or ask the maker of the coolant",
        )
    if celsius > rows[-1][0] + _BIT:
        raise Refused(
            f"the {table} table begins at {said(rows[-1][0])} °C",
            f"{said(celsius)} °C is warmer than its weakest mix",
            "Choose the ASHRAE table, which begins with water",
        )
    return share(Q_(_at(rows, celsius), "percent"), kind=kind, basis=chosen.basis, to=basis)


def density(strength: Quantity, *, kind: Kind, temperature: Quantity) -> Quantity:
    """Return the density in kg/m³ of a mix of 10–60 % by volume at 0–100 °C.

    Source: DENSITY_SOURCE; straight lines between its rows. Raises Refused outside.
    """
    percent, celsius = _percent(strength), _number(temperature, "degC", "the temperature")
    if not DENSITY_STEPS[0] - _BIT <= percent <= DENSITY_STEPS[-1] + _BIT or not 0 <= celsius <= 100:
        raise Refused(
            f"no density is printed for {said(percent)} % at {said(celsius)} °C",
            "the table goes from 10 to 60 % by volume and is used here from 0 to 100 °C",
            "Stay inside it",
        )
    column = tuple((c, _at(tuple(zip(DENSITY_STEPS, row, strict=True)), percent)) for c, row in DENSITY[kind])
    return Q_(_at(column, celsius), "kg/m**3")


def expansion(strength: Quantity, *, kind: Kind, cold: Quantity, hot: Quantity) -> Quantity:
    """Return how much the volume of a mix grows from cold to hot, in percent; 10–60 % by volume, 0–100 °C.

    Source: the same mass at both densities. Raises Refused as `density` does.
    """
    before = density(strength, kind=kind, temperature=cold)
    after = density(strength, kind=kind, temperature=hot)
    return ((before / after).to("dimensionless") - 1).to("percent")


def air_pressure(altitude: Quantity) -> Quantity:
    """Return the pressure of the standard atmosphere in kPa at −500 to 5000 m.

    Source: ISO 2533 (from memory), p = 101.325 kPa · (1 − 0.0065 h / 288.15)^5.2559. Raises Refused outside.
    """
    metres = _number(altitude, "m", "the altitude")
    if not LOWEST <= metres <= HIGHEST:
        raise Refused(
            f"{said(metres, '1')} m is outside {LOWEST:g} to {HIGHEST:g} m".replace("-", "−"),
            "no road leads there",
            "Give the height above the sea",
        )
    return STANDARD_AIR * (1 - 0.0065 * metres / 288.15) ** 5.2559


def boiling_at(strength: Quantity, *, kind: Kind, basis: Basis, pressure: Quantity) -> Quantity:
    """Return the boiling point in °C of a mix under an absolute pressure of 50–305 kPa.

    Source: BOIL_SOURCE. Raises Refused outside, and for strengths beyond the share table.
    """
    water = _molecules(strength, kind, basis)
    kilopascals = _number(pressure, "kPa", "the pressure")
    if not 50 <= kilopascals <= 305:
        raise Refused(
            f"{said(kilopascals)} kPa is outside 50–305 kPa",
            "no cap and no mountain gives such a pressure",
            "Give the cap's pressure as printed on it, above the air around it",
        )
    return Q_(_boils(water, kind, kilopascals), "degC")


def freeze(kind: Kind, strength: Quantity, basis: Basis, table: str) -> Answer:
    """Answer when a mix begins to freeze. Raises Refused as `freezing` does."""
    chosen = _table(kind, table)
    point = freezing(strength, kind=kind, basis=basis, table=table)
    percent, celsius = _percent(strength), float(point.m_as("degC"))
    within = float(share(strength, kind=kind, basis=basis, to=chosen.basis).m_as("percent"))
    lines = [line("Begins to freeze at", point, "°C", "temperature", way="up")]
    value: dict[str, object] = {"freezing": point, "strength": Q_(percent, "percent"), "basis": basis}
    working = []
    if basis != chosen.basis:
        working.append(f"{said(percent)} % {basis} is {said(within)} % {chosen.basis} ({SHARE_SOURCE})")
    working.append(_between(chosen.rows, within, chosen.basis, celsius))
    others = _others(kind, strength, basis, table)
    if others:
        value["others"] = others
        said_others = ", ".join(f"{name} {said(float(q.m_as('degC')))} °C" for name, q in others.items())
        lines.append(Line("Other tables", said_others))
    other: Basis = "by mass" if basis == "by volume" else "by volume"
    if percent <= _last(kind, basis) + _BIT:
        converted = share(strength, kind=kind, basis=basis, to=other)
        value["other_basis"] = converted
        lines.append(line(f"The same {other}", converted, "%", "share", "0.1"))
        volume = strength if basis == "by volume" else converted
        if DENSITY_STEPS[0] <= float(volume.m_as("percent")) <= DENSITY_STEPS[-1]:
            heavy = density(volume, kind=kind, temperature=Q_(20, "degC"))
            grows = expansion(volume, kind=kind, cold=Q_(20, "degC"), hot=Q_(90, "degC"))
            value |= {"density": heavy, "expansion": grows}
            lines.append(Line("A litre at 20 °C weighs", f"{said(float(heavy.m_as('kg/L')), '0.001')} kg"))
            lines.append(line("Grows from 20 to 90 °C by", grows, "%", "share", "0.1"))
    cautions = [LABEL_WINS, TESTER, STRONG, HOT]
    if percent < 30:
        cautions.insert(0, THIN)
    if kind == "ethylene":
        cautions.append(POISON)
    return Answer(
        value,
        tuple(lines),
        tuple(working),
        f"{chosen.source}. {DENSITY_SOURCE}",
        f"{said(chosen.rows[0][0])}–{said(chosen.rows[-1][0])} % {chosen.basis}, "
        f"pure {kind} glycol in water. {ROWS_LINE}",
        tuple(cautions),
        (f"% {basis}", "°C"),
        {"freezing": _curve(kind, chosen, basis), "here": ((percent, celsius),)},
    )


def protect(kind: Kind, temperature: Quantity, basis: Basis, table: str) -> Answer:
    """Answer how strong a mix must be for a cold. Raises Refused as `strength_for` does."""
    chosen = _table(kind, table)
    wanted = strength_for(temperature, kind=kind, basis=basis, table=table)
    celsius = float(temperature.m_as("degC"))
    percent = float(wanted.m_as("percent"))
    within = float(share(wanted, kind=kind, basis=basis, to=chosen.basis).m_as("percent"))
    working = [_between(chosen.rows, within, chosen.basis, celsius)]
    if basis != chosen.basis:
        working.append(f"{said(within)} % {chosen.basis} is {said(percent)} % {basis} ({SHARE_SOURCE})")
    cautions = [THIN] if percent < 30 else []
    cautions += ["Mix for some degrees colder than the coldest night", LABEL_WINS, STRONG, TESTER]
    if kind == "ethylene":
        cautions.append(POISON)
    return Answer(
        {"strength": wanted, "basis": basis, "temperature": temperature},
        (line(f"Glycol {basis}", wanted, "%", "share", "1", "up"),),
        tuple(working),
        chosen.source,
        f"0 to {said(chosen.rows[-1][1])} °C, pure {kind} glycol in water. {ROWS_LINE}",
        tuple(cautions),
        (f"% {basis}", "°C"),
        {"freezing": _curve(kind, chosen, basis), "here": ((percent, celsius),)},
    )


def boil(
    kind: Kind,
    strength: Quantity,
    basis: Basis,
    cap: Quantity | None = None,
    altitude: Quantity | None = None,
) -> Answer:
    """Answer when a mix boils under its cap. cap: above the air around it, none given: an open system.

    altitude: above the sea, none given: at the sea. Raises Refused as `boiling_at` and `air_pressure` do.
    """
    above = 0.0 if cap is None else _number(cap, "kPa", "the cap's pressure")
    if not LEAST_CAP <= above <= MOST_CAP:
        raise Refused(
            f"a cap of {said(above)} kPa is outside 0–200 kPa",
            "caps of cooling systems hold less than two bar above the air",
            "Read the cap again: it prints kPa, bar or psi above the air around it",
        )
    air = air_pressure(Q_(0, "m") if altitude is None else altitude)
    pressure = air + Q_(above, "kPa")
    point = boiling_at(strength, kind=kind, basis=basis, pressure=pressure)
    open_point = boiling_at(strength, kind=kind, basis=basis, pressure=air)
    water, celsius = _molecules(strength, kind, basis), float(point.m_as("degC"))
    kilopascals = float(pressure.m_as("kPa"))
    mass = float(share(strength, kind=kind, basis=basis, to="by mass").m_as("percent"))
    working = (
        f"Pressure: {said(float(air.m_as('kPa')))} kPa of air + {said(above)} kPa of the cap "
        f"= {said(kilopascals)} kPa",
        f"{said(mass)} % by mass: of 100 molecules {said(100 * water)} are water",
        f"At {said(celsius)} °C: {said(water, '0.001')} × {said(_steam(celsius))} kPa + "
        f"{said(1 - water, '0.001')} × {said(_glycol(kind, celsius))} kPa = "
        f"{said(_presses(water, kind, celsius))} kPa",
    )
    return Answer(
        {"boiling": point, "open": open_point, "pressure": pressure, "air": air},
        (
            line("Boils under the cap at", point, "°C", "temperature", way="down"),
            line("With the cap off at", open_point, "°C", "temperature", way="down"),
        ),
        working,
        BOIL_SOURCE,
        BOIL_VALIDITY,
        (HOT, "A cap that leaks boils as if it were off: test it", LABEL_WINS),
        (f"% {basis}", "°C"),
        {
            "boiling": tuple(
                (x, _boils(_molecules(Q_(x, "percent"), kind, basis), kind, kilopascals))
                for x in (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, _last(kind, basis))
            )
        },
    )


def _number(quantity: Quantity, unit: str, name: str) -> float:
    value = float(quantity.m_as(unit))
    if not isfinite(value):
        raise Refused(f"{name} is no number", "the answer is worked out from it", "Read it again")
    return value


def _percent(strength: Quantity) -> float:
    percent = _number(strength, "percent", "the strength")
    if not -_BIT <= percent <= 100 + _BIT:
        raise Refused(
            f"{said(percent)} % is no strength",
            "a mix holds between none and nothing but glycol",
            "Give the share of glycol from 0 to 100 %",
        )
    return min(max(percent, 0.0), 100.0)


def _table(kind: Kind, table: str) -> Table:
    chosen = TABLES.get((kind, table))
    if chosen is None:
        have = " or ".join(name for of, name in TABLES if of == kind)
        raise Refused(
            f"{table} has no table of {kind} glycol here",
            "the two kinds freeze differently",
            f"Choose {have}",
        )
    return chosen


def _inside(percent: float, chosen: Table, kind: Kind, table: str) -> None:
    first, last = chosen.rows[0][0], chosen.rows[-1][0]
    if percent > last + _BIT:
        raise _beyond(percent, chosen.basis, last, kind)
    if percent < first - _BIT:
        raise Refused(
            f"the {table} table begins at {said(first)} % {chosen.basis}",
            f"{said(percent)} % is weaker than its first row",
            "Choose the ASHRAE table, which begins with water",
        )


def _beyond(percent: float, basis: Basis, last: float, kind: Kind) -> Refused:
    melts = (
        f", and nothing but glycol is solid at {said(PURE_ETHYLENE_MELTS)} °C" if kind == "ethylene" else ""
    )
    return Refused(
        f"{said(percent)} % {basis} is beyond the table, which ends at {said(last)} %",
        f"past about 60 to 68 % more glycol protects less{melts}",
        f"Mix no stronger than {said(last)} %",
    )


def _at(rows: Sequence[tuple[float, float]], x: float) -> float:
    """Return y on the straight line between the two rows around x; the ends hold a last bit beyond them."""
    (x0, y0), (x1, y1) = _around(rows, x)
    return y0 + (min(max(x, rows[0][0]), rows[-1][0]) - x0) / (x1 - x0) * (y1 - y0)


def _around(rows: Sequence[tuple[float, float]], x: float) -> tuple[tuple[float, float], tuple[float, float]]:
    upper = next((index for index in range(1, len(rows)) if rows[index][0] >= x), len(rows) - 1)
    return rows[upper - 1], rows[upper]


def _between(rows: Sequence[tuple[float, float]], x: float, basis: Basis, y: float) -> str:
    (x0, y0), (x1, y1) = _around(rows, x)
    return (
        f"{said(x, '0.01')} % {basis} lies between {said(x0)} % ({said(y0, '0.01')} °C) and "
        f"{said(x1)} % ({said(y1, '0.01')} °C): {said((x - x0) / (x1 - x0), '0.01')} of the way, "
        f"{said(y, '0.01')} °C"
    )


def _last(kind: Kind, basis: Basis) -> float:
    return SHARES[kind][-1][BASES.index(basis)]


def _curve(kind: Kind, chosen: Table, basis: Basis) -> tuple[tuple[float, float], ...]:
    """Return the rows of a table on the basis asked for; those no conversion reaches are left out."""
    if chosen.basis == basis:
        return tuple((float(p), float(c)) for p, c in chosen.rows)
    last = _last(kind, chosen.basis)
    return tuple(
        (float(share(Q_(p, "percent"), kind=kind, basis=chosen.basis, to=basis).m_as("percent")), float(c))
        for p, c in chosen.rows
        if p <= last + _BIT
    )


def _others(kind: Kind, strength: Quantity, basis: Basis, table: str) -> dict[str, Quantity]:
    """Return what the other tables say of the same mix, where they say anything."""
    found: dict[str, Quantity] = {}
    for of, name in TABLES:
        if of != kind or name == table:
            continue
        try:
            found[name] = freezing(strength, kind=kind, basis=basis, table=name)
        except Refused:
            continue  # the other table does not reach so far
    return found


def _molecules(strength: Quantity, kind: Kind, basis: Basis) -> float:
    """Return the share of the molecules that are water."""
    if _percent(strength) > _last(kind, basis) + _BIT:
        raise _beyond(_percent(strength), basis, _last(kind, basis), kind)
    mass = float(share(strength, kind=kind, basis=basis, to="by mass").m_as("dimensionless"))
    water, glycol = (1 - mass) / WATER_MOLAR_MASS, mass / MOLAR_MASS[kind]
    return water / (water + glycol)


def _steam(celsius: float) -> float:
    """Return the vapour pressure of water in kPa; the same equation as `humidity`, which stays in the bay."""
    kelvin = celsius + 273.15
    away = 1 - kelvin / CRITICAL_TEMPERATURE
    powers = sum(factor * away**power for factor, power in TERMS)
    return CRITICAL_PRESSURE * exp(CRITICAL_TEMPERATURE / kelvin * powers)


def _glycol(kind: Kind, celsius: float) -> float:
    a, b, c = _ANTOINE[kind]
    return float(100 * 10 ** (a - b / (celsius + 273.15 + c)))


def _presses(water: float, kind: Kind, celsius: float) -> float:
    return water * _steam(celsius) + (1 - water) * _glycol(kind, celsius)


def _boils(water: float, kind: Kind, kilopascals: float) -> float:
    low, high = 50.0, 200.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _presses(water, kind, middle) < kilopascals else (low, middle)
    return high


_KIND = Ask("kind", "Which glycol is in it?", "choice", "ethylene", choices=KINDS, help="It is on the label")
_STRENGTH = Ask("strength", "How much glycol is in the mix?", "share", "50 %")
_BASIS = Ask(
    "basis",
    "Is that by volume or by mass?",
    "choice",
    "by volume",
    choices=BASES,
    help="Jugs and testers mean by volume; data sheets often mean by mass",
)
_TABLE = Ask(
    "table",
    "Which public table?",
    "choice",
    "ASHRAE",
    choices=LISTS,
    help="Tables disagree by up to 3 °C. ASHRAE and Melinder hold both kinds, Lange propylene, Army ethylene",
)
FIGURES: tuple[Declared, ...] = (
    Declared(
        "freeze",
        "Freezing point of coolant",
        "When a mix of glycol and water begins to freeze",
        (_KIND, _STRENGTH, _BASIS, _TABLE),
        freeze,
    ),
    Declared(
        "protect",
        "Strength for a cold",
        "How strong coolant must be for the coldest night",
        (
            _KIND,
            Ask("temperature", "How cold will it get?", "temperature", "-30 °C"),
            _BASIS,
            _TABLE,
        ),
        protect,
    ),
    Declared(
        "boil",
        "Boiling point under the cap",
        "When coolant boils under its cap, at this height above the sea",
        (
            _KIND,
            _STRENGTH,
            _BASIS,
            Ask(
                "cap",
                "What pressure does the cap hold?",
                "pressure",
                "15 psi",
                required=False,
                help="As printed on it, above the air around it. None: an open system",
            ),
            Ask("altitude", "How high above the sea?", "length", "1500 m", required=False),
        ),
        boil,
    ),
)
