"""How long until it is cool enough to touch, or warm enough to open: from two readings.

Cooling: what stands still in air loses heat in step with how much warmer it is than the air (Newton's law of
cooling), so the difference shrinks by the same share in every minute: T − Ta falls as exp(−t/τ). Two readings
give τ = Δt / ln((T₀ − Ta) / (T₁ − Ta)).

Warming: an idling engine gives about the same heat in every minute and loses more of it the hotter it gets.
So it warms no faster than it did between the readings, which gives the least time. For the most, half of that
pace is taken: common practice, no source.

A reading may be off by half a degree, so each answer is a span. An estimate only: the next reading decides.
"""

from __future__ import annotations

from decimal import Decimal
from math import exp, isfinite, log

from .answer import Answer, Ask, Declared, Line, line, rounded_to
from .quantities import Q_, Quantity
from .refusal import Refused
from .units import number

# Common practice, no source:
COLDEST, HOTTEST = -40.0, 200.0  # °C: what is read at a vehicle
SHORTEST, LONGEST = 1.0, 240.0  # min between two readings
CHANGE = 2.0  # °C: less between two readings is no change that can be told
OFF = 0.5  # °C that a reading may be off, either way
NEAR = 2.0  # °C above the bay: the last degrees take for ever
COOLEST_OPENING, HOTTEST_OPENING = 60.0, 115.0  # °C at which thermostats open
PACE = 0.5  # of the pace between the readings, for the most time
DAY = 1440.0  # min: a longer estimate says nothing

COOL_SOURCE = (
    "Newton's law of cooling: τ = Δt / ln((T₀ − Ta) / (T₁ − Ta)). That readings may be off by half a degree: "
    "common practice, no source"
)
COOL_VALIDITY = (
    "Engine off, fan off, still air, both readings at one spot, the bay's temperature steady. "
    "Readings at least 2 °C apart"
)
WARM_SOURCE = (
    "Least: the pace between the two readings. Most: half that pace, common practice, no source. "
    "That readings may be off by half a degree: the same"
)
WARM_VALIDITY = (
    "Engine idling or at one steady speed, thermostat still shut, both readings at one spot. "
    "Readings at least 2 °C apart"
)
DECIDES = "An estimate only: measure again before you open or touch anything. The reading decides"
INSIDE = "The surface may be cooler than what is inside: open no cap because the outside is cool"
POCKET = "A gauge in an air pocket reads low while the metal boils: feel the hoses, watch for steam"
LATE = "Past the most minutes: stop. Look for air, a thermostat stuck open, or too little coolant"


def time_constant(first: Quantity, second: Quantity, between: Quantity, bay: Quantity) -> Quantity:
    """Return τ in min: the time in which the difference to the bay falls to 37 % of what it was.

    first, second: readings, °C, the second at least 2 °C below the first and both above the bay.
    between: 1–240 min. bay: air around it, °C.
    Source: Newton's law of cooling. Raises Refused outside these ranges.
    """
    return Q_(_tau(*_cooling(first, second, between, bay)), "min")


def cool_down(
    first: Quantity, second: Quantity, between: Quantity, bay: Quantity, target: Quantity
) -> tuple[Quantity, Quantity, Quantity]:
    """Return how long it still takes from the second reading to a temperature, min: likely, least, most.

    As time_constant; target: °C, at least 2 °C above the bay. None left, when the second reading is there.
    Least and most: with each reading off by half a degree.
    Source: Newton's law of cooling, time = τ · ln((T₁ − Ta) / (target − Ta)). Raises Refused as
    time_constant, and for a target that the bay does not let it reach.
    """
    hot, cooler, minutes, air = _cooling(first, second, between, bay)
    wanted = _degrees(target, "the temperature wanted")
    if wanted < air + NEAR:
        raise Refused(
            f"{_plain(wanted)} °C is not at least {NEAR:g} °C above the bay's {_plain(air)} °C",
            "it never gets colder than the air, and the last degrees take for ever",
            f"Ask for {_plain(air + NEAR)} °C or more, or cool the bay",
        )
    likely = _left(hot, cooler, minutes, air, wanted)
    if likely > DAY:
        raise Refused(
            "it would take more than a day",
            "so slow a change cannot be told from two readings",
            "Leave it overnight and measure again",
        )
    off = [_left(hot + a, cooler + b, minutes, air, wanted) for a in (-OFF, OFF) for b in (-OFF, OFF)]
    return Q_(likely, "min"), Q_(min(off), "min"), Q_(max(off), "min")


def warm_up(
    first: Quantity, second: Quantity, between: Quantity, opening: Quantity
) -> tuple[Quantity, Quantity]:
    """Return the least and most time, min, from the second reading until a thermostat opens.

    first, second: readings, °C, the second at least 2 °C above the first and below the opening.
    between: 1–240 min. opening: °C, 60–115. Source: WARM_SOURCE. Raises Refused outside these ranges.
    """
    cold, warmer = _degrees(first, "the first reading"), _degrees(second, "the second reading")
    minutes = _minutes(between)
    wanted = _degrees(opening, "the opening temperature")
    if not COOLEST_OPENING <= wanted <= HOTTEST_OPENING:
        raise Refused(
            f"no thermostat opens at {_plain(wanted)} °C",
            f"they open between {COOLEST_OPENING:g} and {HOTTEST_OPENING:g} °C",
            "Read the figure stamped on it",
        )
    if warmer - cold < CHANGE:
        raise Refused(
            "it is not getting warmer"
            if warmer <= cold
            else f"the readings are less than {CHANGE:g} °C apart",
            "the pace is taken from how much it warmed",
            "Wait a few minutes and read again. If it stays cool, feel whether the thermostat is stuck open",
        )
    if warmer >= wanted:
        raise Refused(
            f"{_plain(warmer)} °C is past the opening temperature already",
            "there is nothing left to wait for",
            "Feel the top hose: if it is still cool, stop the engine and look for air or a stuck thermostat",
        )
    rise = wanted - warmer
    least = minutes * max(0.0, rise - OFF) / (warmer - cold + 2 * OFF)
    most = minutes * (rise + OFF) / ((warmer - cold - 2 * OFF) * PACE)
    if least > DAY:
        raise Refused(
            "it would take more than a day",
            "an engine that warms so slowly has another fault",
            "Feel whether the thermostat is stuck open",
        )
    return Q_(least, "min"), Q_(most, "min")


def answer_cool_down(
    first: Quantity, second: Quantity, between: Quantity, bay: Quantity, target: Quantity
) -> Answer:
    """Answer how long it still takes to cool to a temperature. As cool_down."""
    likely, least, most = cool_down(first, second, between, bay, target)
    hot, cooler, minutes, air = _cooling(first, second, between, bay)
    tau, wanted = _tau(hot, cooler, minutes, air), float(target.m_as("degC"))
    left = float(likely.m_as("min"))
    open_ended = not float(most.m_as("min")) <= DAY
    warmer_by = [_plain(degrees - air) for degrees in (hot, cooler, wanted)]
    working = [
        f"Warmer than the bay: {warmer_by[0]} °C at first, then {warmer_by[1]} °C, {warmer_by[2]} °C wanted",
        f"τ = {_plain(minutes)} min / ln({warmer_by[0]} / {warmer_by[1]}) = {_plain(tau)} min",
        f"{_plain(tau)} min × ln({warmer_by[1]} / {warmer_by[2]}) = {_plain(left)} min"
        if left > 0
        else f"{_plain(cooler)} °C is no more than {_plain(wanted)} °C: it is there",
    ]
    working.append(f"Least and most: each reading {OFF:g} °C off, either way")
    return Answer(
        value={
            "left": likely,
            "least": least,
            "most": None if open_ended else most,
            "time_constant": Q_(tau, "min"),
        },
        lines=(
            line("About", likely, "min", "duration"),
            line("At least", least, "min", "duration", "1", "down"),
            Line("At most", "more than a day")
            if open_ended
            else line("At most", most, "min", "duration", "1", "up"),
        ),
        working=tuple(working),
        source=COOL_SOURCE,
        validity=COOL_VALIDITY,
        cautions=(DECIDES, INSIDE),
        axes=("min", "°C"),
        curves={"cooling": _curve(hot, minutes, air, tau, minutes + max(left, minutes))},
    )


def answer_warm_up(first: Quantity, second: Quantity, between: Quantity, opening: Quantity) -> Answer:
    """Answer within how many minutes a thermostat should open. As warm_up."""
    least, most = warm_up(first, second, between, opening)
    cold, warmer = float(first.m_as("degC")), float(second.m_as("degC"))
    minutes, wanted = float(between.m_as("min")), float(opening.m_as("degC"))
    rise, rose = wanted - warmer, warmer - cold
    shortest, longest = float(least.m_as("min")), float(most.m_as("min"))
    return Answer(
        value={"least": least, "most": most, "degrees_per_minute": rose / minutes},
        lines=(
            line("At least", least, "min", "duration", "1", "down"),
            line("At most", most, "min", "duration", "1", "up"),
        ),
        working=(
            f"Warmed {_plain(rose)} °C in {_plain(minutes)} min, {_plain(rise)} °C to go",
            f"Least: {_plain(minutes)} min × ({_plain(rise)} − {OFF:g}) / ({_plain(rose)} + {2 * OFF:g}) "
            f"= {_plain(shortest)} min",
            f"Most: {_plain(minutes)} min × ({_plain(rise)} + {OFF:g}) / "
            f"(({_plain(rose)} − {2 * OFF:g}) × {PACE:g}) = {_plain(longest)} min",
        ),
        source=WARM_SOURCE,
        validity=WARM_VALIDITY,
        cautions=(DECIDES, POCKET, LATE),
        axes=("min", "°C"),
        curves={
            "fast": ((0.0, cold), (minutes, warmer), (minutes + shortest, wanted)),
            "slow": ((0.0, cold), (minutes, warmer), (minutes + longest, wanted)),
        },
    )


def _cooling(
    first: Quantity, second: Quantity, between: Quantity, bay: Quantity
) -> tuple[float, float, float, float]:
    """Return readings, minutes and bay as numbers. Raises Refused where they do not show it cooling."""
    hot, cooler = _degrees(first, "the first reading"), _degrees(second, "the second reading")
    minutes, air = _minutes(between), _degrees(bay, "the bay's temperature")
    if cooler >= hot:
        raise Refused(
            "it is not cooling",
            "the second reading is no lower than the first",
            "See that the engine and the fan are off, wait ten minutes and read again",
        )
    if hot - cooler < CHANGE:
        raise Refused(
            f"the readings are less than {CHANGE:g} °C apart",
            "so small a change cannot be told from a slip of the thermometer",
            "Wait longer and read again",
        )
    if cooler <= air + OFF:
        raise Refused(
            f"a reading of {_plain(cooler)} °C in a bay of {_plain(air)} °C",
            "nothing that stands in a bay gets colder than its air",
            "Read both thermometers again; if they are right, it is cool already",
        )
    return hot, cooler, minutes, air


def _tau(hot: float, cooler: float, minutes: float, air: float) -> float:
    return minutes / log((hot - air) / (cooler - air))


def _left(hot: float, cooler: float, minutes: float, air: float, wanted: float) -> float:
    if cooler <= wanted:
        return 0.0
    return _tau(hot, cooler, minutes, air) * log((cooler - air) / (wanted - air))


def _curve(
    hot: float, minutes: float, air: float, tau: float, until: float
) -> tuple[tuple[float, float], ...]:
    steps = 32
    return tuple(
        (until * step / steps, air + (hot - air) * exp(-until * step / steps / tau))
        for step in range(steps + 1)
    )


def _degrees(temperature: Quantity, name: str) -> float:
    celsius = float(temperature.m_as("degC"))
    if not COLDEST <= celsius <= HOTTEST:
        raise Refused(
            f"{name} is not between {number(Decimal(COLDEST))} and {HOTTEST:g} °C",
            "nothing at a vehicle that one waits for is so cold or hot",
            "Read the thermometer again, and look at its unit",
        )
    return celsius


def _minutes(between: Quantity) -> float:
    minutes = float(between.m_as("min"))
    if not isfinite(minutes) or not SHORTEST <= minutes <= LONGEST:
        raise Refused(
            f"the time between the readings is not between {SHORTEST:g} and {LONGEST:g} min",
            "too soon, nothing has changed; too late, the bay has",
            "Take two readings about ten minutes apart",
        )
    return minutes


def _plain(value: float) -> str:
    return number(rounded_to(value, Decimal("0.1")))


FIGURES: tuple[Declared, ...] = (
    Declared(
        "cool-down",
        "Minutes until it is cool",
        "How long it still takes to cool to a temperature, from two readings. The next reading decides",
        (
            Ask("first", "What was the first reading?", "temperature", "88 °C"),
            Ask("second", "What is the reading now?", "temperature", "76 °C"),
            Ask("between", "How long between the readings?", "duration", "10 min"),
            Ask("bay", "How warm is the bay?", "temperature", "20 °C"),
            Ask("target", "How cool shall it be?", "temperature", "50 °C"),
        ),
        answer_cool_down,
    ),
    Declared(
        "warm-up",
        "Minutes until the thermostat opens",
        "Between how many minutes and how many a thermostat should open, from two readings while it warms",
        (
            Ask("first", "What was the first reading?", "temperature", "40 °C"),
            Ask("second", "What is the reading now?", "temperature", "60 °C"),
            Ask("between", "How long between the readings?", "duration", "5 min"),
            Ask("opening", "At what temperature does the thermostat open?", "temperature", "88 °C"),
        ),
        answer_warm_up,
    ),
)
