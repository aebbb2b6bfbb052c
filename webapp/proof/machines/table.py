"""What a machine is: one table for each move, from state to state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from webapp.pack.model import State

Table = Mapping[State, State]


@dataclass(frozen=True, slots=True)
class Machine:
    """A kind of thing. moves: by name, a table from state to state, or +1 or -1 for a count."""

    name: str
    moves: Mapping[str, Table | int]
    rest: frozenset[State]
    words: Mapping[State, str] = field(default_factory=dict)
    rule: str = "R52"  # what an impossible move breaks
    rules: Mapping[str, str] = field(default_factory=dict)  # by move, where it is another rule
    refused: Mapping[str, str] = field(default_factory=dict)  # by move, the words for an impossible one
    cures: Mapping[str, str] = field(default_factory=dict)  # by move, what to write when it is impossible

    @property
    def states(self) -> frozenset[State]:
        """Return every named state."""
        tables = [table for table in self.moves.values() if not isinstance(table, int)]
        return self.rest.union(*tables, *(table.values() for table in tables))


def to(state: State, *before: State) -> Table:
    """Return the table of a move that ends in one state, from any of those before."""
    return dict.fromkeys(before, state)


REFUSED = "{name} is {state} already, so this cannot be done to it"
