"""From a job to the model: every variable with its moves and its needs, ready to be walked."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from webapp.pack.model import ANYWHERE, FINISH, Model, Move, Need, Variable

from .happenings import happenings
from .job import Job
from .machines import REFUSED
from .rule import ALL, SOME, Row, Rule
from .things import things
from .things.thing import Thing
from .verbs.said import Change, Happening, Moment


def build(job: Job, rules: Iterable[Rule]) -> Model:
    """Return the model of a job: its things, what moves them, and what the rules need of them."""
    events = happenings(job)
    moves: dict[str, list[Happening]] = defaultdict(list)
    moments: dict[tuple[str, str], list[Happening]] = defaultdict(list)
    for one in events:
        if isinstance(one.what, Change):
            moves[one.what.variable].append(one)
        else:
            moments[one.what.name, ""].append(one)
            for concern in one.what.concerns:
                moments[one.what.name, concern].append(one)
    rows = defaultdict(list)
    for rule in rules:
        for row in rule.rows:
            rows[row.machine].append((rule.code, row))
    variables = (variable(thing, moves, moments, rows[thing.machine.name]) for thing in things(job))
    return Model(tuple(variables), gates(events))


GATES = {
    "starts": "start",
    "fills": "fill",
    "lowers": "lower",
    "moves": "move",
    "stops-safely": "stop",
}
"""Moments that the phone asks a permit for. A crank, whatever it is for, is a start."""


def gates(events: Iterable[Happening]) -> dict[str, tuple[str, ...]]:
    """Return which steps have a moment that needs a permit, in order."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for step, _, what in events:
        if isinstance(what, Moment):
            gate = "start" if what.name.startswith("cranks-") else GATES.get(what.name)
            if gate:
                found[gate][step] = None
    return {gate: tuple(steps) for gate, steps in found.items()}


def needs_of(code: str, row: Row, thing: Thing, places: Iterable[tuple[str, int]]) -> Iterator[Need]:
    """Yield a row as the need of each of these places."""
    allowed = row.allowed or thing.machine.states - row.barred
    if ALL in allowed:
        allowed = allowed - {ALL} | {thing.total}
    if SOME in allowed:
        allowed = allowed - {SOME} | set(range(1, thing.total + 1))
    what = agreeing(row.what, thing.name)
    for step, at in places:
        yield Need(step, at, row.moment, allowed, code, row.severity, what, row.write, row.do)


def agreeing(text: str, name: str) -> str:
    """Return a sentence whose verb agrees with the name that will be put in: bolts are, a bolt is.

    >>> agreeing("{name} is {state}", "bolts of the cover")
    '{name} are {state}'
    """
    head = re.split(r" (?:of|for|with|in|at|on|over|to|from|under|behind|beside|between) ", name, maxsplit=1)[
        0
    ]
    if not re.search(r"[^siu]s$", head):
        return text
    return text.replace("{name} is ", "{name} are ").replace("{name}, is ", "{name}, are ")


def variable(
    thing: Thing,
    moves: Mapping[str, list[Happening]],
    moments: Mapping[tuple[str, str], list[Happening]],
    rows: Iterable[tuple[str, Row]],
) -> Variable:
    """Return a thing with its moves and needs."""
    machine = thing.machine
    own = []
    for step, at, change in moves.get(thing.id, ()):
        if not isinstance(change, Change):
            continue
        table = machine.moves.get(change.move)
        if table is None:
            continue
        found = table * change.pieces if isinstance(table, int) else table
        if change.move == "out-if-in":
            found = {count: max(count - change.pieces, 0) for count in range(thing.total + 1)}
        rule = machine.rules.get(change.move, machine.rule)
        refused = agreeing(machine.refused.get(change.move, REFUSED), thing.name)
        cures = machine.cures.get(change.move, "")
        own.append(Move(step, at, change.move, found, rule, refused, cures, change.wait))
    needs: list[Need] = []
    for code, row in rows:
        if row.unless & thing.marks or (row.only and not row.only & thing.marks):
            continue
        keys = [""] if row.anywhere else sorted(thing.about)
        places = dict.fromkeys(
            (step, at) for key in keys for step, at, _ in moments.get((row.moment, key), ())
        )
        if row.moment in ("stops-safely", "laid-down"):  # laid down: asked of the phone alone
            places[ANYWHERE, FINISH] = None
        if places:
            needs += needs_of(code, row, thing, places)
    return Variable(
        thing.id,
        machine.name,
        thing.object,
        thing.table,
        thing.name,
        thing.start,
        machine.rest,
        machine.words,
        thing.total,
        dict(thing.when or {}),
        tuple(own),
        tuple(needs),
    )
