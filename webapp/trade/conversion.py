"""A figure in other units, and on a scale that has only so many marks.

The exact number is computed; what is shown or set is rounded to a mark: the nearest one of a single figure,
inwards of a range or a tolerance, down under a ceiling, up over a floor. No rounding permits what the source
does not. Factors come from Pint, whose definitions are those of NIST SP 811.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from .answer import Answer, Ask, Declared, Line, rounded_to
from .refusal import Refused
from .units import BASE, UNITS, Figure, convert, join, number, show, span

BAND = 0.10
"""How far a torque that names no band may be set from its figure. US Army TM 9-2320-362-14&P, from memory."""

SOURCE = "Unit definitions of NIST SP 811 (2008), Appendix B"
VALIDITY = "Any amount whose unit is known. A difference of temperatures is said to be one"
TEMPERATURE, DIFFERENCE = "how hot it is", "how much hotter"


@dataclass(frozen=True, slots=True)
class OnScale:
    """Marks of a scale that keep to a figure. error: of the nearest one, as a share; None for a bound."""

    low: Decimal | None
    high: Decimal | None
    unit: str
    error: float | None

    @property
    def written(self) -> str:
        """Return the marks as they are printed."""
        if self.low is None:
            return f"at most {join(number(self.high or Decimal(0)), self.unit)}"
        if self.high is None:
            return f"at least {join(number(self.low), self.unit)}"
        if self.low == self.high:
            return join(number(self.low), self.unit)
        return span(number(self.low), number(self.high), self.unit)


def on_scale(figure: Figure, unit: str, step: Decimal) -> OnScale:
    """Return the marks of a scale in `unit`, `step` apart from nought, that keep to a figure.

    figure: in any unit of its kind. step: more than 0, in `unit`. A single figure takes the nearest mark,
    and a torque without a band may be BAND away; a tolerance takes the nearest mark inside its band.

    Raises Refused when the unit is of another kind, when the step is no step, and when no mark keeps to it.
    """
    if UNITS[unit].kind != UNITS[figure.unit].kind:
        raise Refused(
            f"a scale in {unit} does not show {figure.written}",
            "they measure different things",
            f"Name the step in a unit such as {BASE[figure.kind]}",
        )
    if step <= 0:
        raise Refused(
            "the marks of the scale are no distance apart",
            "a figure is rounded to a mark",
            "Give the difference between two marks, such as 1",
        )

    def there(value: Decimal | None) -> float | None:
        return None if value is None else convert(value, figure.unit, unit, figure.kind)

    low, high, nominal = there(figure.low), there(figure.high), there(figure.nominal)
    if nominal is not None:
        mark = rounded_to(nominal, step)
        if figure.form == "figure":
            band = BAND * abs(nominal) if figure.kind == "torque" else float("inf")
            low, high = nominal - band, nominal + band
        _must_hold(figure, unit, step, mark if low is None or float(mark) >= low else None, mark, low, high)
        return OnScale(mark, mark, unit, float(mark) / nominal - 1 if nominal else None)
    least = None if low is None else rounded_to(low, step, "up")
    most = None if high is None else rounded_to(high, step, "down")
    if least is not None and most is not None:
        _must_hold(figure, unit, step, least, most, low, high)
    return OnScale(least, most, unit, None)


def _must_hold(
    figure: Figure,
    unit: str,
    step: Decimal,
    least: Decimal | None,
    most: Decimal,
    low: float | None,
    high: float | None,
) -> None:
    slack = float(step) * 1e-6
    if least is not None and least <= most and (high is None or float(most) <= high + slack):
        return
    raise Refused(
        f"no mark {join(number(step), unit)} apart keeps to {figure.written}",
        "the nearest one lies outside what the figure permits",
        "Take a scale with finer marks, or one in the unit of the figure",
    )


def converted(
    amount: Figure, *, temperature: str = TEMPERATURE, to: Figure | None = None, marks: Figure | None = None
) -> Answer:
    """Return an amount as readers of both systems have it, in a unit asked for, and on a scale.

    to: any amount in the unit wanted; its number does not count. marks: the distance of two marks of a scale.
    """
    if amount.kind == "temperature" and temperature == DIFFERENCE:
        amount = replace(amount, kind="temperature-difference")
    us, si = show(amount, "us"), show(amount, "si")
    both = Line("In both systems", si if us == si else f"{us} · {si}")
    lines = [both, Line("As written", amount.written)]
    unit = to.unit if to else None
    working = []
    value: dict[str, object] = {"us": us, "si": si}
    for other in [unit] if unit else _usual(amount):
        if UNITS[other].kind != UNITS[amount.unit].kind:
            raise Refused(
                f"{amount.written} cannot be said in {other}",
                "the units measure different things",
                f"Ask for a unit such as {BASE[amount.kind]}",
            )
        exact = [
            convert(part, amount.unit, other, amount.kind)
            for part in ((amount.nominal,) if amount.nominal is not None else (amount.low, amount.high))
            if part is not None
        ]
        text = " to ".join(_exact(one) for one in exact)
        working.append(f"{amount.written} = {join(text, other)}")
        value[other] = exact[0] if len(exact) == 1 else exact
        if unit:
            lines.insert(0, Line("Exactly", join(text, other)))
    cautions = []
    if marks is not None:
        step = marks.nominal if marks.nominal is not None else Decimal(0)
        scale = on_scale(amount, marks.unit, step)
        value["on_scale"] = [float(end) for end in (scale.low, scale.high) if end is not None]
        lines.insert(0, Line("On the scale", scale.written))
        if scale.error is not None:
            apart = join(number(step), marks.unit)
            working.append(f"Nearest mark, {apart} apart: {scale.written}, {_percent(scale.error)}")
        if amount.kind == "torque" and amount.form == "figure":
            cautions.append("No band is given: up to 10 % either way is taken. The maker's band wins")
    if amount.kind in ("temperature", "temperature-difference"):
        cautions.append("A temperature and a difference of temperatures convert differently: say which it is")
    return Answer(value, tuple(lines), tuple(working), SOURCE, VALIDITY, tuple(cautions))


def _usual(amount: Figure) -> list[str]:
    """Return the other units of the same kind, those of other countries included."""
    kind = UNITS[amount.unit].kind
    return [name for name, unit in UNITS.items() if unit.kind == kind and name != amount.unit]


def _exact(value: float) -> str:
    """Return a number with six figures, without an exponent."""
    return number(Decimal(f"{value:.6g}"))


def _percent(share: float) -> str:
    text = number(Decimal(f"{100 * share:.1f}"))
    return f"{text} %" if share < 0 or text == "0" else f"+{text} %"


FIGURES: tuple[Declared, ...] = (
    Declared(
        "convert",
        "Other units",
        "Say an amount in the other system, and set it on a scale.",
        (
            Ask(
                "amount",
                "Amount",
                "amount",
                "24 N·m",
                help="A figure, a range or a tolerance, with its unit.",
            ),
            Ask(
                "marks",
                "Marks of the scale",
                "amount",
                "1 lbf·ft",
                required=False,
                help="The difference between two marks of the wrench or gauge, in its own unit.",
            ),
            Ask(
                "to",
                "In this unit",
                "amount",
                "1 kgf·m",
                required=False,
                help="One of the unit you want: only its unit counts.",
            ),
            Ask(
                "temperature",
                "If it is a temperature, it says",
                "choice",
                TEMPERATURE,
                required=False,
                choices=(TEMPERATURE, DIFFERENCE),
            ),
        ),
        converted,
    ),
)
