"""The model of the machine that a pack is proved on, as plain tables: compiled once, read by proof and phone.

A variable is one thing that can be in one state at a time: an opening, a group of bolts, the engine's heat. A
move is what an action does to it; a need is what must hold of it at a moment. The tables hold no code, so the
phone folds the steps that were really ticked over the same tables that the compiler walked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal, NamedTuple

from .danger import DANGER

BEGIN, FINISH = -1, 9_999
"""Before and after all actions of a step: waits that are over, and what was read."""

END, ANYWHERE = "", "*"
"""The step after the last one, and any step at which the work is laid down."""

State = str | int
"""A named state, or a count of things that are out of their resting place."""


class Move(NamedTuple):
    """What an action makes of a variable: a table from state to state, or a number added to a count."""

    step: str
    at: int  # the action's place in its step: before all actions BEGIN, after them FINISH
    name: str
    to: Mapping[State, State] | int
    rule: str  # the rule that is broken when the move is not possible from a state
    what: str  # the words for that: “{name} is {state}”
    write: str = ""  # what to write then, where it can be said
    wait: str = ""  # the one that must be over for it: on the phone it is not made before


class Need(NamedTuple):
    """What must hold of a variable at a moment of a step, at the END, or ANYWHERE the work is laid down."""

    step: str
    at: int
    moment: str
    allowed: frozenset[State]
    rule: str
    severity: Literal["error", "warning"]
    what: str
    write: str
    do: str  # for the person at the vehicle, when no step cures it


@dataclass(frozen=True, slots=True)
class Variable:
    """One thing, the states it can be in, and what moves and needs it."""

    id: str  # machine:object
    machine: str
    object: str  # the id of what it is about in the front matter, or a word such as `engine`
    table: str  # the table of the front matter that declares it, or nothing
    name: str
    start: State
    rest: frozenset[State]  # nothing has to be done about it in these
    words: Mapping[State, str]  # each state, as it is said after “is”
    total: int  # of a count: how many there are
    when: Mapping[str, list[str]]
    moves: tuple[Move, ...]
    needs: tuple[Need, ...]

    def moved(self, state: State, move: Move) -> tuple[State, bool]:
        """Return the state after a move, and whether the move was possible.

        After one that was not, the thing is taken to be where the move leaves it: one fault is one fault.
        """
        if isinstance(move.to, int):
            count = int(state) + move.to
            return min(max(count, 0), self.total), 0 <= count <= self.total
        if state in move.to:
            return move.to[state], True
        return next(iter(move.to.values())), False

    def said(self, state: State) -> str:
        """Return a state in words."""
        if isinstance(state, int):
            if state == self.total == 1 and "one" in self.words:
                return self.words["one"]
            return self.words.get("count", "{n}").format(n=state, of=self.total)
        return self.words.get(state, str(state))


@dataclass(frozen=True)
class Model:
    """All variables of a pack. A state of the whole machine is a mapping from variable to state."""

    variables: tuple[Variable, ...]
    gates: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # start, fill … → its steps, in order

    @cached_property
    def start(self) -> dict[str, State]:
        """Return the machine before the first step."""
        return {variable.id: variable.start for variable in self.variables}

    @cached_property
    def by_step(self) -> dict[str, list[tuple[Variable, Move]]]:
        """Return the moves of each step, in order."""
        found: dict[str, list[tuple[Variable, Move]]] = {}
        for variable in self.variables:
            for move in variable.moves:
                found.setdefault(move.step, []).append((variable, move))
        for moves in found.values():
            moves.sort(key=lambda pair: pair[1].at)
        return found

    def after(self, state: Mapping[str, State], step: str) -> dict[str, State]:
        """Return the machine after a step was done on it. The state that is given stays as it is."""
        new = dict(state)
        for variable, move in self.by_step.get(step, ()):
            new[variable.id] = variable.moved(new[variable.id], move)[0]
        return new

    def plain(self) -> dict[str, Any]:
        """Return the tables as JSON-ready data, each sentence once.

        variables: [{id, kind, object, table, name, start, rest, words, total, when, moves, needs}], where a
        move is [step, at, to] or [step, at, to, the wait that must be over], and a need is [step, at,
        allowed, index of its text].
        texts: [[rule, severity, moment, what, do, whether it can hurt someone and is never passed over]].
        gates: {start, fill, lower, move, stop: [steps that have such a moment, in order]}.
        """
        texts: dict[tuple[str | bool, ...], int] = {}

        def need(one: Need) -> list[Any]:
            danger = one.severity == "error" and one.rule in DANGER
            text = (one.rule, one.severity, one.moment, one.what, one.do, danger)
            allowed = sorted(one.allowed, key=str)
            return [one.step, one.at, allowed, texts.setdefault(text, len(texts))]

        variables = [
            {
                "id": one.id,
                "kind": one.machine,
                "object": one.object,
                "table": one.table,
                "name": one.name,
                "start": one.start,
                "rest": sorted(one.rest, key=str),
                "words": dict(one.words),
                "total": one.total,
                "when": dict(one.when),
                "moves": [
                    [
                        *(move.step, move.at),
                        move.to if isinstance(move.to, int) else dict(move.to),
                        *([move.wait] if move.wait else ()),
                    ]
                    for move in one.moves
                ],
                "needs": [need(one) for one in one.needs],
            }
            for one in self.variables
            if one.moves or one.needs
        ]
        gates = {gate: list(steps) for gate, steps in self.gates.items()}
        return {"variables": variables, "texts": [list(text) for text in texts], "gates": gates}
