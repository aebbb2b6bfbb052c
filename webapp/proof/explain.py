"""Every code that a finding can have, explained for the author who meets it: rules, and the rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from webapp.pack.accept import may_waive
from webapp.pack.codes import CODES

from . import examples
from .rules import RULES

NEVER = "never"
WITH_REASON = "with a reason"
WARNING_ONLY = "as a warning, with a reason; as an error never"


@dataclass(frozen=True, slots=True)
class Explanation:
    """One code. severity and checks are empty for what is no rule. accept: whether its findings may stand."""

    code: str
    title: str
    why: str
    accept: str
    wrong: str
    right: str
    severity: str = ""
    checks: str = ""

    def text(self) -> str:
        """Return the explanation as a person reads it in a terminal."""
        told = [f"{self.code}: {self.title}", ""]
        for word, text in (
            ("severity", self.severity),
            ("checks", self.checks),
            ("why", self.why),
            ("accepted", self.accept),
        ):
            if text:
                told.append(f"{word:9} {text}")
        for word, text in (("wrong", self.wrong), ("right", self.right)):
            told += ["", word, *(f"    {line}".rstrip() for line in text.strip("\n").splitlines())]
        return "\n".join(told)


def rules() -> Iterator[Explanation]:
    """Yield the rules of the trade, in their order."""
    for rule in RULES.values():
        yield Explanation(
            rule.code,
            rule.title,
            rule.why,
            WITH_REASON if may_waive(rule.code) else NEVER,
            examples.own(rule.code, "wrong"),
            examples.own(rule.code, "right"),
            rule.severity,
            rule.checks,
        )


def others() -> Iterator[Explanation]:
    """Yield what the compiler can say besides the rules."""
    for code, known in CODES.items():
        yield Explanation(code, known.title, known.why, WARNING_ONLY, known.wrong, known.right)


@cache
def explanations() -> dict[str, Explanation]:
    """Return every explanation by its code."""
    return {one.code: one for one in (*rules(), *others())}
