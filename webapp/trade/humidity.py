"""Water in the air: its vapour pressure and dew point. Sealants that cure by moisture live on it."""

from __future__ import annotations

from math import exp

from .quantities import Q_, Quantity
from .refusal import Refused

# W. Wagner, A. Pruß, J. Phys. Chem. Ref. Data 31 (2002) 387, eq. 2.5; adopted by IAPWS as SR1-86(1992).
CRITICAL_TEMPERATURE = 647.096  # K
CRITICAL_PRESSURE = 22064.0  # kPa
TERMS = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
COLDEST, HOTTEST = 0.01, 60.0  # °C: the triple point of water, and warmer than any bay


def saturation_pressure(temperature: Quantity) -> Quantity:
    """Return the vapour pressure of water in kPa over water at a temperature of 0.01–60 °C.

    Source: Wagner and Pruß (2002), eq. 2.5; within 0.02 % of the IAPWS formulations in this range.
    Raises Refused outside it: below, the vapour stands over ice, which is another curve.

    >>> print(f"{saturation_pressure(Q_(23, 'degC')):.3f~P}")
    2.811 kPa
    """
    celsius = float(temperature.m_as("degC"))
    if not COLDEST <= celsius <= HOTTEST:
        raise Refused(
            f"{celsius:g} °C is outside {COLDEST:g}–{HOTTEST:g} °C",
            "below freezing the vapour stands over ice, which is another curve",
            "Warm the bay, or measure again",
        )
    return Q_(_saturation(celsius), "kPa")


def _saturation(celsius: float) -> float:
    kelvin = celsius + 273.15
    away = 1 - kelvin / CRITICAL_TEMPERATURE
    powers = sum(factor * away**power for factor, power in TERMS)
    return CRITICAL_PRESSURE * exp(CRITICAL_TEMPERATURE / kelvin * powers)


def vapour_pressure(temperature: Quantity, humidity: Quantity) -> Quantity:
    """Return the pressure of the water vapour in air, in kPa.

    temperature: 0.01–60 °C. humidity: relative, above 0 % to 100 %.
    Source: definition of relative humidity. Raises Refused outside these ranges.
    """
    share = float(humidity.m_as("dimensionless"))
    if not 0 < share <= 1:
        raise Refused(
            f"{share * 100:g} % is no relative humidity",
            "air holds more than none and no more than all the water it can",
            "Give the humidity as a hygrometer shows it, from 1 to 100 %",
        )
    return share * saturation_pressure(temperature)


def dew_point(temperature: Quantity, humidity: Quantity) -> Quantity:
    """Return the temperature in °C at which the air's water begins to settle on metal.

    temperature: 0.01–60 °C. humidity: relative, above 0 % to 100 %.
    Source: saturation_pressure, solved by halving. Raises Refused where frost comes before dew.
    """
    wanted = float(vapour_pressure(temperature, humidity).m_as("kPa"))
    low, high = COLDEST, float(temperature.m_as("degC"))
    if wanted < _saturation(low):
        raise Refused(
            "the air is so dry that frost comes before dew",
            "below freezing the vapour stands over ice, which is another curve",
            "Nothing to do: no dew settles above freezing",
        )
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _saturation(middle) < wanted else (low, middle)
    return Q_(high, "degC")
