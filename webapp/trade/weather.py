"""What an engine would have given on the day of the standard: correction of a power run for the weather.

Thin, warm or damp air holds less oxygen, so the same engine shows less. Each standard has its own reference
air and its own formula, so the same run has several corrected figures. The standard is always named, and two
runs are compared by the same. Only unblown spark-ignition engines: one with boost control makes up for
thin air by itself, and correcting it once more shows power that was never there (UN R85).
"""

from __future__ import annotations

from math import isfinite, sqrt

from .answer import Answer, Ask, Declared, Line, line
from .humidity import vapour_pressure
from .power import WHICH_HP
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import said

J1349_1990, J1349_2004 = "SAE J1349 1990", "SAE J1349 2004"
ISO_1585, DIN_70020, STD = "ISO 1585", "DIN 70020", "SAE STD"
STANDARDS: tuple[str, ...] = (J1349_1990, J1349_2004, ISO_1585, DIN_70020, STD)
SPARK, BOOSTED, DIESEL = "spark ignition without boost", "with boost", "diesel"
ENGINES: tuple[str, ...] = (SPARK, BOOSTED, DIESEL)

BAND = (0.93, 1.07)
BANDED = (J1349_1990, J1349_2004, ISO_1585)
"""The standards that hold only for a factor of 0.93–1.07; the band of ISO 1585 from memory."""
LOWEST, HIGHEST = 60.0, 110.0  # kPa at the station: about 4000 m up to the highest pressures measured
COLDEST, HOTTEST = 0.01, 60.0  # °C, as `humidity`
EFFICIENCY = 0.85
"""Share of the engine's power that friction leaves, where the 2004 revision measures none."""

SOURCES = {
    J1349_1990: "SAE J1349 (June 1990): 1.18·(990/p_dry)·√((t + 273)/298) − 0.18",
    J1349_2004: "SAE J1349 (August 2004): ((990/p_dry)·√((t + 273)/298) − 1)/η + 1, η 0.85 unless measured",
    ISO_1585: "ISO 1585: (990/p_dry)^1.2 · ((t + 273)/298)^0.6 (from memory)",
    DIN_70020: "DIN 70020: (1013/p)·√((t + 273)/293), humidity not counted (from memory)",
    STD: "SAE J607, called STD: (29.92 inHg/p_dry)·√((°F + 459.7)/519.7)",
}
STATION = "The barometer at the dyno counts, not the weather report's, which is reduced to sea level"
ONE_STANDARD = "Compare only figures of one standard: STD reads about 4 % above SAE for the same run"


def dry_pressure(barometer: Quantity, temperature: Quantity, humidity: Quantity) -> Quantity:
    """Return the pressure of the air without its water, in kPa.

    barometer: 60–110 kPa at the station. temperature: 0.01–60 °C. humidity: 0–100 %.
    Source: Dalton's law; vapour pressure as `humidity`. Raises Refused outside.
    """
    return Q_(_barometer(barometer) - _vapour(temperature, humidity), "kPa")


def correction(
    standard: str,
    *,
    barometer: Quantity,
    temperature: Quantity,
    humidity: Quantity,
    efficiency: Quantity | None = None,
) -> float:
    """Return the factor that turns an observed power into the standard's.

    standard: one of STANDARDS. Ranges as `dry_pressure`. efficiency: mechanical, 50–100 %, only of the SAE
    J1349 of 2004.
    Source: SOURCES. Raises Refused outside, and when the factor leaves the band its standard allows.

    >>> air = {"temperature": Q_(25, "degC"), "humidity": Q_(0, "percent")}
    >>> correction("SAE J1349 1990", barometer=Q_(990, "hPa"), **air)
    1.0
    """
    vapour = Q_(_vapour(temperature, humidity), "kPa")
    return factor(
        standard, barometer=barometer, vapour=vapour, temperature=temperature, efficiency=efficiency
    )


def factor(
    standard: str,
    *,
    barometer: Quantity,
    vapour: Quantity,
    temperature: Quantity,
    efficiency: Quantity | None = None,
) -> float:
    """Return the same factor for a vapour pressure that is known. Otherwise as `correction`."""
    if standard not in STANDARDS:
        raise Refused(
            f"{standard} is not a standard known here",
            "each standard has its own formula",
            f"Choose one of {', '.join(STANDARDS)}",
        )
    if efficiency is not None and standard != J1349_2004:
        raise Refused(
            f"{standard} takes no mechanical efficiency",
            "its formula has one figure for all engines",
            f"Leave it out, or choose {J1349_2004}",
        )
    share = EFFICIENCY if efficiency is None else float(efficiency.m_as("dimensionless"))
    if not 0.5 <= share <= 1:
        raise Refused(
            "a mechanical efficiency outside 50–100 %",
            "friction eats some of the power and never half of it",
            "Leave it out: 85 % is then used",
        )
    wet, celsius = 10 * _barometer(barometer), _celsius(temperature)  # hPa
    damp = float(vapour.m_as("hPa"))
    if not 0 <= damp < 0.5 * wet:
        raise Refused("the vapour presses too hard", "it is part of the air", "Measure the humidity again")
    dry = wet - damp
    warm = (celsius + 273) / 298
    thin = 990 / dry * sqrt(warm)
    value = {
        J1349_1990: 1.18 * thin - 0.18,
        J1349_2004: (thin - 1) / share + 1,
        ISO_1585: (990 / dry) ** 1.2 * warm**0.6,
        DIN_70020: 1013 / wet * sqrt((celsius + 273) / 293),
        STD: float(Q_(29.92, "inHg").m_as("hPa")) / dry * sqrt((1.8 * celsius + 32 + 459.7) / 519.7),
    }[standard]
    if standard in BANDED and not BAND[0] - 1e-9 <= value <= BAND[1] + 1e-9:
        raise Refused(
            f"the air is too far from that of {standard}",
            f"its factor holds only from {BAND[0]} to {BAND[1]}",
            "Run again on a better day, and compare only runs of the same day until then",
        )
    return value


def weather(
    standard: str,
    engine: str,
    barometer: Quantity,
    temperature: Quantity,
    humidity: Quantity,
    power: Quantity | None = None,
    efficiency: Quantity | None = None,
) -> Answer:
    """Answer the correction factor of a standard, and what an observed power comes to by it.

    power: as observed, none given: only the factor. Raises Refused as `correction` does, and for engines that
    no factor here is made for.
    """
    if engine != SPARK:
        raise Refused(
            f"no correction is given for this engine ({engine})",
            "boost control makes up for thin air by itself, and a diesel needs a formula with its fuel in it",
            "Compare runs of the same day as they were observed",
        )
    value = correction(
        standard, barometer=barometer, temperature=temperature, humidity=humidity, efficiency=efficiency
    )
    vapour = Q_(_vapour(temperature, humidity), "kPa")
    wet = _barometer(barometer)
    dry = wet - float(vapour.m_as("kPa"))
    celsius = _celsius(temperature)
    lines = [Line("Correction factor", said(value, "0.001"))]
    answer: dict[str, object] = {"factor": value, "vapour": vapour, "dry": Q_(dry, "kPa")}
    working = [
        f"Dry air: {said(10 * wet)} − {said(float(vapour.m_as('hPa')))} of vapour = {said(10 * dry)} hPa",
        _formula(standard, 10 * wet, 10 * dry, celsius, efficiency) + f" = {said(value, '0.0001')}",
    ]
    if power is not None:
        observed = float(power.m_as("kW"))
        if not (isfinite(observed) and 0 <= observed <= 100_000):
            raise Refused("the power is no power", "it is multiplied by the factor", "Read it again")
        corrected = value * power
        answer["power"] = corrected
        lines += [
            line(f"Corrected by {standard}", corrected, "kW", "power", "0.1"),
            line("In mechanical hp", corrected, "hp", "power", "0.1"),
            line("In PS", corrected, "PS", "power", "0.1"),
        ]
        working.append(
            f"{said(observed, '0.01')} kW × {said(value, '0.0001')} = {said(value * observed, '0.01')} kW"
        )
    band = "Factor 0.93–1.07. " if standard in BANDED else "The standard names no band here. "
    return Answer(
        answer,
        tuple(lines),
        tuple(working),
        SOURCES[standard],
        f"{band}Unblown spark-ignition engines, full throttle, 60–110 kPa, 0–60 °C",
        (STATION, ONE_STANDARD, WHICH_HP),
    )


def _formula(standard: str, wet: float, dry: float, celsius: float, efficiency: Quantity | None) -> str:
    root = f"√(({said(celsius)} + 273)/298)"
    if standard == J1349_1990:
        return f"1.18 × 990/{said(dry)} × {root} − 0.18"
    if standard == J1349_2004:
        share = EFFICIENCY if efficiency is None else float(efficiency.m_as("dimensionless"))
        return f"(990/{said(dry)} × {root} − 1)/{said(share, '0.001')} + 1"
    if standard == ISO_1585:
        return f"(990/{said(dry)})^1.2 × (({said(celsius)} + 273)/298)^0.6"
    if standard == DIN_70020:
        return f"1013/{said(wet)} × √(({said(celsius)} + 273)/293)"
    mercury = float(Q_(dry, "hPa").m_as("inHg"))
    return f"29.92/{said(mercury, '0.01')} × √(({said(1.8 * celsius + 32)} + 459.7)/519.7)"


def _barometer(barometer: Quantity) -> float:
    kilopascals = float(barometer.m_as("kPa"))
    if not LOWEST <= kilopascals <= HIGHEST:
        raise Refused(
            f"a barometer outside {LOWEST:g}–{HIGHEST:g} kPa",
            "no dyno stands in such air",
            "Read the barometer at the dyno again, with its unit",
        )
    return kilopascals


def _celsius(temperature: Quantity) -> float:
    celsius = float(temperature.m_as("degC"))
    if not COLDEST <= celsius <= HOTTEST:
        raise Refused(
            f"intake air outside {COLDEST:g}–{HOTTEST:g} °C",
            "the vapour pressure is not known there",
            "Measure the air where the engine draws it in",
        )
    return celsius


def _vapour(temperature: Quantity, humidity: Quantity) -> float:
    """Return the vapour pressure in kPa; air without any water is allowed, as standards have it."""
    _celsius(temperature)
    if float(humidity.m_as("percent")) == 0:
        return 0.0
    return float(vapour_pressure(temperature, humidity).m_as("kPa"))


FIGURES: tuple[Declared, ...] = (
    Declared(
        "weather",
        "Correct a power run for the weather",
        "What the engine would have given in the air of a standard",
        (
            Ask(
                "standard",
                "By which standard?",
                "choice",
                J1349_2004,
                choices=STANDARDS,
                help="The same run has several corrected figures: always name the standard",
            ),
            Ask("engine", "What engine?", "choice", SPARK, choices=ENGINES),
            Ask("barometer", "What does the barometer at the dyno show?", "pressure", "985 hPa"),
            Ask("temperature", "How warm is the intake air?", "temperature", "31 °C"),
            Ask("humidity", "How humid is it?", "share", "45 %"),
            Ask("power", "What power was observed?", "power", "110 kW", required=False),
            Ask(
                "efficiency",
                "What mechanical efficiency was measured?",
                "share",
                "85 %",
                required=False,
                help="SAE J1349 2004 only; left out, 85 % is used",
            ),
        ),
        weather,
    ),
)
