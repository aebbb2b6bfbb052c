"""The walk: each thing through every order that the pack allows, under every answer that moves it.

A pack's `needs` allow many orders. Of those only the order of the steps that move a thing matters to it, so
each thing is walked by itself: over the sets of its steps that can be done first, with the state each leads
to. What needs it is looked at wherever that need can fall. Questions that do not touch a thing are not
multiplied.

The bounds: `MOST_ANSWERS` combinations for one thing, `MOST_PLACES` sets of steps. Past the first, the
combinations that come first are walked; past the second, the printed order and what was walked until then.
Both are told to the author.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice, pairwise

from webapp.pack.compiled import holds
from webapp.pack.model import ANYWHERE, END, Model, Move, Need, State, Variable

from .job import MOST_ANSWERS, Job

MOST_PLACES = 2_000


@dataclass(frozen=True, slots=True)
class Breach:
    """A need that is not met, or a move that cannot be made, with the run of steps that leads to it.

    since: the move that brought the state, None for how it was at the start. answers: under which it happens,
    none for any. printed: it happens in the printed order too. run: the steps that move the thing, and the
    last one.
    """

    variable: Variable
    at: Need | Move
    state: State
    since: Move | None
    answers: tuple[tuple[str, str], ...]
    printed: bool
    run: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Walked:
    """What a walk found, and the things that were too much for it."""

    breaches: tuple[Breach, ...]
    too_many_answers: tuple[Variable, ...]
    too_free: tuple[Variable, ...]


def walk(job: Job, model: Model) -> Walked:
    """Walk all things of a model."""
    breaches: list[Breach] = []
    answers: list[Variable] = []
    free: list[Variable] = []
    for variable in model.variables:
        if not variable.needs and not variable.moves:
            continue
        walker = Walker(job, variable)
        breaches += walker.walk()
        answers += [variable] * walker.too_many_answers
        free += [variable] * walker.too_free
    return Walked(tuple(breaches), tuple(answers), tuple(free))


class Walker:
    """Walks one thing."""

    def __init__(self, job: Job, variable: Variable) -> None:
        self.job, self.variable = job, variable
        self.count = len(job.steps)
        self.too_many_answers = self.too_free = False
        self.breaches: dict[int, Breach] = {}
        self.program: dict[int, list[Need | Move]] = defaultdict(list)
        for move in variable.moves:
            self.program[self.place(move.step)].append(move)
        self.elsewhere: dict[tuple[frozenset[State], str], list[Need]] = defaultdict(list)
        for need in variable.needs:
            if need.step == ANYWHERE:
                continue
            place = self.place(need.step)
            if place in self.program:
                self.program[place].append(need)
            else:
                self.elsewhere[need.allowed, need.rule].append(need)
        for parts in self.program.values():
            parts.sort(key=lambda part: (part.at, isinstance(part, Move)))
        self.looks = [
            (allowed, sum({1 << self.place(need.step) for need in needs}), needs)
            for (allowed, _), needs in self.elsewhere.items()
        ]

    def place(self, step: str) -> int:
        """Return a step's printed place; the end comes after the last."""
        return self.count if step == END else self.job.by_id[step].index

    def walk(self) -> Iterable[Breach]:
        """Walk every combination of answers that touches this thing, and return what was found, once each."""
        questions = {one for place in self.program for one in self.job.steps[place].data.when}
        questions |= set(self.variable.when)
        combinations = list(islice(self.job.combinations(questions), MOST_ANSWERS + 1))
        self.too_many_answers = len(combinations) > MOST_ANSWERS
        found: dict[int, list[dict[str, str]]] = defaultdict(list)
        walked = [
            answers for answers in combinations[:MOST_ANSWERS] if holds(dict(self.variable.when), answers)
        ]
        for answers in walked:
            before = self.breaches
            self.breaches = {}
            self.explore(self.job.selected(answers))
            for key in self.breaches:
                found[key].append(answers)
            self.breaches |= {
                key: breach for key, breach in before.items() if key not in self.breaches or breach.printed
            }
        for key, breach in self.breaches.items():
            shared = () if len(found[key]) == len(walked) else narrowed(found[key])
            yield Breach(
                breach.variable, breach.at, breach.state, breach.since, shared, breach.printed, breach.run
            )

    def explore(self, selected: int) -> None:
        """Walk all orders under one combination of answers, the printed one first."""
        own = [place for place in sorted(self.program) if selected >> place & 1]
        everything = sum(1 << place for place in own)
        before, behind = self.job.before, self.job.behind
        self.follow(own, selected)
        chained = all(before[later] >> earlier & 1 for earlier, later in pairwise(own))
        free = any(
            mask & ~behind[place] & ~before[place] & ~(1 << place)
            for place in own
            for _, mask, _ in self.looks
        )
        if chained and not free:
            return
        start = (0, self.variable.start)
        runs: dict[tuple[int, State], tuple[int, ...]] = {start: ()}
        since: dict[tuple[int, State], Move | None] = {start: None}
        queue = [start]
        for node in queue:
            done, state = node
            self.look(done, everything & ~done, state, since[node], runs[node], selected, printed=False)
            if len(queue) > MOST_PLACES:
                self.too_free = True
                return
            for place in own:
                bit = 1 << place
                if done & bit or before[place] & everything & ~done:
                    continue
                new, last = self.run(place, state, since[node], runs[node], printed=False)
                following = (done | bit, new)
                if following not in runs:
                    runs[following] = (*runs[node], place)
                    since[following] = last
                    queue.append(following)

    def follow(self, own: list[int], selected: int) -> None:
        """Walk the printed order."""
        state: State = self.variable.start
        last: Move | None = None
        for number in range(len(own) + 1):
            start = own[number - 1] + 1 if number else 0
            stop = own[number] if number < len(own) else self.count + 1
            between = ((1 << stop) - 1) & ~((1 << start) - 1)
            self.report(
                between & (selected | 1 << self.count), state, last, tuple(own[:number]), printed=True
            )
            if number < len(own):
                state, last = self.run(own[number], state, last, tuple(own[:number]), printed=True)

    def run(
        self, place: int, state: State, last: Move | None, run: tuple[int, ...], *, printed: bool
    ) -> tuple[State, Move | None]:
        """Do one step on the thing, and return its new state and the move that brought it."""
        for part in self.program[place]:
            if isinstance(part, Need):
                if state not in part.allowed:
                    self.breach(part, place, state, last, run, printed=printed)
                continue
            new, possible = self.variable.moved(state, part)
            if not possible:
                self.breach(part, place, state, last, run, printed=printed)
            if new != state or isinstance(part.to, int):
                last = part
            state = new
        return state, last

    def look(
        self,
        done: int,
        left: int,
        state: State,
        last: Move | None,
        run: tuple[int, ...],
        selected: int,
        *,
        printed: bool,
    ) -> None:
        """Look at the needs of the steps that can come now: after what is done, before what is left."""
        if all(state in allowed for allowed, _, _ in self.looks):
            return
        possible = selected | 1 << self.count
        for place in bits(left):
            possible &= ~self.job.behind[place]
        for place in bits(done):
            possible &= ~self.job.before[place]
        self.report(possible, state, last, run, printed=printed)

    def report(
        self, possible: int, state: State, last: Move | None, run: tuple[int, ...], *, printed: bool
    ) -> None:
        """Report every need of these steps that the state does not meet."""
        for allowed, mask, needs in self.looks:
            if state in allowed or not mask & possible:
                continue
            for need in needs:
                place = self.place(need.step)
                if possible >> place & 1:
                    self.breach(need, place, state, last, run, printed=printed)

    def breach(
        self,
        at: Need | Move,
        place: int,
        state: State,
        last: Move | None,
        run: tuple[int, ...],
        *,
        printed: bool,
    ) -> None:
        """Keep the first breach of a need or move; one that the printed order has wins."""
        key = id(at)
        if key in self.breaches:
            return
        steps = tuple(self.job.steps[one].id for one in (*run, place) if one < self.count)
        self.breaches[key] = Breach(self.variable, at, state, last, (), printed, steps)


def bits(mask: int) -> Iterable[int]:
    """Yield the places of the bits of a number."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def narrowed(combinations: list[dict[str, str]]) -> tuple[tuple[str, str], ...]:
    """Return the answers that all these combinations share."""
    shared = set(combinations[0].items()).intersection(*(set(one.items()) for one in combinations[1:]))
    return tuple(sorted(shared)) or tuple(sorted(combinations[0].items()))
