"""What an author accepts with a reason is not asked again of the person at the vehicle."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from webapp.pack import schema
from webapp.pack.danger import DANGER
from webapp.pack.model import END, Model, Need

from .walk import Breach


def without_accepted(
    model: Model, breaches: Sequence[Breach], accepts: Iterable[schema.Accept], last: str
) -> Model:
    """Return the model without the needs that an acceptance covers. last: the step that the end is told at.

    An acceptance covers what its finding stood for: everything of one thing that the same action caused, in
    the printed order. What could hurt someone stays.
    """
    codes = {(accept.code, accept.at) for accept in accepts if accept.code not in DANGER}
    if not codes:
        return model
    printed = [breach for breach in breaches if breach.printed]
    covered = {
        cause(breach)
        for breach in printed
        if any((breach.at.rule, at) in codes for at in places(breach, last))
    }
    gone = {
        id(breach.at)
        for breach in printed
        if cause(breach) in covered and isinstance(breach.at, Need) and breach.at.rule not in DANGER
    }
    variables = (
        replace(variable, needs=tuple(need for need in variable.needs if id(need) not in gone))
        for variable in model.variables
    )
    return replace(model, variables=tuple(variables))


def places(breach: Breach, last: str) -> set[str]:
    """Return the steps and the declaration that a finding of this breach is written at."""
    step = last if breach.at.step == END else breach.at.step
    return {step, breach.variable.object, *([breach.since.step] if breach.since else [])}


def cause(breach: Breach) -> tuple[str, str, int]:
    """Return the thing and the action that brought it where it is."""
    since = breach.since
    return (breach.variable.id, since.step, since.at) if since else (breach.variable.id, "", 0)
