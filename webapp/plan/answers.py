"""Which answers count: those that the pack asks for and offers."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.pack.compiled import CompiledPack, holds
from webapp.pack.findings import listed


class AnswerError(Exception):
    """The pack has no such question or answer. what, offered: a sentence each, for the person who gave it."""

    def __init__(self, what: str, offered: str) -> None:
        super().__init__(f"{what} {offered}")
        self.what, self.offered = what, offered


def answered(pack: CompiledPack, given: Mapping[str, str]) -> dict[str, str]:
    """Return the answers that count, in the pack's order: what the others leave unasked is passed over.

    given: question → answer; a question without one stays open. Raises AnswerError for a question or an
    answer that the pack does not know: what was meant by it would go missing without a word.
    """
    questions = pack.front.questions
    for name, answer in given.items():
        if name not in questions:
            asks = listed(f"{one}={'|'.join(asked.answers)}" for one, asked in questions.items())
            raise AnswerError(f"This pack does not ask “{name[:60]}”.", f"It asks: {asks or 'nothing'}.")
        if answer not in questions[name].answers:
            offered = listed(questions[name].answers)
            raise AnswerError(
                f"“{answer[:60]}” is no answer to “{name}”.", f"It is answered by one of: {offered}."
            )
    answers: dict[str, str] = {}
    for name, question in questions.items():
        if name in given and holds(question.when, answers):
            answers[name] = given[name]
    return answers
