"""Power, torque and engine speed: any two give the third, P = T·ω.

Two horsepowers are about, the mechanical hp (550 ft·lbf/s) and the metric PS (75 kgf·m/s, 1.4 % smaller), and
the kilowatt. A power is always shown in all three, each by its name.
"""

from __future__ import annotations

from math import isfinite, pi

from .answer import Answer, Ask, Declared, line
from .quantities import Q_, Quantity
from .refusal import Refused
from .shown import said

HP = 33000 / (2 * pi)  # lbf·ft · rpm per hp: 5252.113
KW = 30000 / pi  # N·m · rpm per kW: 9549.297
PS = 75 * 60 / (2 * pi)  # kgf·m · rpm per PS: 716.197
AGREE = 0.01  # how far three given figures may disagree: as much as they are commonly rounded, no source
FASTEST, STRONGEST, MIGHTIEST = 100_000.0, 100_000.0, 100_000.0  # rpm, N·m, kW: beyond, it is a slip

SOURCE = "Definition of power, P = T·ω; 1 hp = 550 ft·lbf/s, 1 PS = 75 kgf·m/s (NIST SP 811)"
VALIDITY = "Torque and speed at one and the same shaft, and at the same moment"
WHICH_HP = "An hp printed in Europe is often a PS: 1.4 % smaller"
SAME_SHAFT = "Wheel torque is multiplied by the gears: it is not the engine's"


def power_of(torque: Quantity, speed: Quantity) -> Quantity:
    """Return the power in kW. torque: 0–100 000 N·m. speed: 0–100 000 rpm.

    Source: P = T·ω. Raises Refused outside.

    >>> print(f"{power_of(Q_(200, 'N*m'), Q_(5000, 'rpm')):.2f~P}")
    104.72 kW
    """
    return Q_(_torque(torque) * _speed(speed) / KW, "kW")


def torque_of(power: Quantity, speed: Quantity) -> Quantity:
    """Return the torque in N·m. power: 0–100 000 kW. speed: above 0 to 100 000 rpm.

    Source: T = P/ω. Raises Refused outside, and at a standstill, where any torque gives no power.
    """
    return Q_(_power(power) * KW / _turning(speed, "speed"), "N*m")


def speed_of(power: Quantity, torque: Quantity) -> Quantity:
    """Return the speed in rpm. power: 0–100 000 kW. torque: above 0 to 100 000 N·m.

    Source: ω = P/T. Raises Refused outside, and without a torque.
    """
    newton_metres = _torque(torque)
    if newton_metres == 0:
        raise Refused(
            "without torque there is no speed to find", "P/T divides by it", "Give a torque above 0"
        )
    return Q_(_power(power) * KW / newton_metres, "rpm")


def power(
    torque: Quantity | None = None, speed: Quantity | None = None, power: Quantity | None = None
) -> Answer:
    """Answer the third of torque, speed and power from the other two, or whether all three belong together.

    Raises Refused when fewer than two are given, and when three disagree by more than 1 %.
    """
    if torque is not None and speed is not None:
        worked_out = power_of(torque, speed)
        if power is not None:
            _agree(worked_out, power)
        power = worked_out
        work = f"{_nm(torque)} N·m × {_rpm(speed)} rpm / {said(KW, '0.001')} = {_kw(power)} kW"
        first = "power"
    elif power is not None and speed is not None:
        torque = torque_of(power, speed)
        work = f"{_kw(power)} kW × {said(KW, '0.001')} / {_rpm(speed)} rpm = {_nm(torque)} N·m"
        first = "torque"
    elif power is not None and torque is not None:
        speed = speed_of(power, torque)
        work = f"{_kw(power)} kW × {said(KW, '0.001')} / {_nm(torque)} N·m = {_rpm(speed)} rpm"
        first = "speed"
    else:
        raise Refused(
            "one figure alone says nothing", "any two of the three give the third", "Give two of them"
        )
    lines = {
        "power": (
            line("Power", power, "kW", "power", "0.1"),
            line("In mechanical hp", power, "hp", "power", "0.1"),
            line("In PS", power, "PS", "power", "0.1"),
        ),
        "torque": (
            line("Torque", torque, "N·m", "torque", "0.1"),
            line("In lbf·ft", torque, "lbf·ft", "torque", "0.1"),
        ),
        "speed": (line("Speed", speed, "rpm", "speed", "1"),),
    }
    order = [first, *(name for name in lines if name != first)]
    foot_pounds, horses = float(torque.m_as("lbf*ft")), float(power.m_as("horsepower"))
    kilograms, small = float(torque.m_as("kgf*m")), float(power.m_as("metric_horsepower"))
    working = (
        work,
        f"{said(foot_pounds)} lbf·ft × {_rpm(speed)} rpm / {said(HP, '0.001')} = {said(horses)} hp",
        f"{said(kilograms, '0.01')} kgf·m × {_rpm(speed)} rpm / {said(PS, '0.001')} = {said(small)} PS",
    )
    return Answer(
        {"power": power, "torque": torque, "speed": speed},
        tuple(shown for name in order for shown in lines[name]),
        working,
        SOURCE,
        VALIDITY,
        (WHICH_HP, SAME_SHAFT),
    )


def _agree(worked_out: Quantity, given: Quantity) -> None:
    theirs, ours = _power(given), float(worked_out.m_as("kW"))
    if abs(theirs - ours) > AGREE * max(theirs, ours):
        raise Refused(
            "the three figures do not belong together",
            f"torque times speed gives {said(ours)} kW, not {said(theirs)} kW",
            "Leave one out, or read them at the same speed. A PS is not an hp",
        )


def _within(value: float, most: float, unit: str, name: str) -> float:
    if not (isfinite(value) and 0 <= value <= most):
        raise Refused(
            f"the {name} is not between 0 and {most:.0f} {unit}",
            "no engine in a vehicle does that",
            "Read it again, with its unit",
        )
    return value


def _torque(torque: Quantity) -> float:
    return _within(float(torque.m_as("N*m")), STRONGEST, "N·m", "torque")


def _speed(speed: Quantity) -> float:
    return _within(float(speed.m_as("rpm")), FASTEST, "rpm", "speed")


def _power(power: Quantity) -> float:
    return _within(float(power.m_as("kW")), MIGHTIEST, "kW", "power")


def _turning(speed: Quantity, name: str) -> float:
    rpm = _speed(speed)
    if rpm == 0:
        raise Refused(
            "the engine stands still", "at a standstill any torque gives no power", f"Give a {name} above 0"
        )
    return rpm


def _nm(torque: Quantity) -> str:
    return said(float(torque.m_as("N*m")))


def _rpm(speed: Quantity) -> str:
    return said(float(speed.m_as("rpm")), "1")


def _kw(power: Quantity) -> str:
    return said(float(power.m_as("kW")), "0.01")


_HELP = "Give two of the three; with all three, it is checked that they belong together"
FIGURES: tuple[Declared, ...] = (
    Declared(
        "power",
        "Torque, speed and power",
        "The third of torque, engine speed and power from the other two",
        (
            Ask("torque", "What torque?", "torque", "200 N·m", required=False, help=_HELP),
            Ask("speed", "At what engine speed?", "speed", "5000 rpm", required=False, help=_HELP),
            Ask("power", "What power?", "power", "104.7 kW", required=False, help=_HELP),
        ),
        power,
    ),
)
