"""What was passed at the vehicle with something open, as the phone hands it over to be printed."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from webapp.pack.compiled import CompiledPack

GATES = {
    "start": "engine start",
    "fill": "filling",
    "lower": "lowering",
    "move": "driving",
    "hand-over": "handing over",
}
"""Each permit, as it is said on paper."""


class Passed(BaseModel):
    """One permit that was passed regardless. when: the phone's own words for it."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    step: Annotated[str, Field(max_length=60)]
    gate: Annotated[str, Field(pattern=r"^[a-z][a-z-]{0,39}$")]
    rules: Annotated[tuple[Annotated[str, Field(pattern=r"^R\d\d$")], ...], Field(max_length=60)]
    reason: Annotated[str, Field(min_length=1, max_length=2_000)]
    when: Annotated[str, Field(max_length=60)]

    @property
    def words(self) -> str:
        """Return the gate as it is said on paper; what is none of the permits is the step itself."""
        return GATES.get(self.gate, "the step")


ENTRIES = TypeAdapter(Annotated[tuple[Passed, ...], Field(max_length=60)])


def read_passed(pack: CompiledPack, text: str) -> tuple[Passed, ...]:
    """Return what a phone says was passed: a JSON list of {step, gate, rules, reason, when}.

    Raises ValueError for anything else: nothing is printed of a step that this pack does not have.
    """
    found = ENTRIES.validate_json(text)
    if any(one.step not in pack.by_id for one in found):
        raise ValueError(f"{pack.slug} has no such step")
    return found
