"""Answers count when the pack asks for them and offers them."""

from types import SimpleNamespace

import pytest

from webapp.plan.answers import AnswerError, answered


def question(*answers, **when):
    return SimpleNamespace(answers=dict.fromkeys(answers, ""), when=when)


PACK = SimpleNamespace(
    front=SimpleNamespace(
        questions={
            "fan": question("belt", "electric"),
            "plug": question("two-pin", "four-pin", fan=["electric"]),
            "seal": question("old", "new", plug=["two-pin"]),
        }
    )
)


@pytest.mark.parametrize(
    "given, counts",
    [
        ({}, {}),
        ({"fan": "belt"}, {"fan": "belt"}),
        ({"plug": "two-pin", "fan": "electric"}, {"fan": "electric", "plug": "two-pin"}),
        ({"plug": "two-pin"}, {"plug": "two-pin"}),  # while the fan is open, its plug may still be asked for
        ({"fan": "belt", "plug": "two-pin"}, {"fan": "belt"}),
        ({"plug": "four-pin", "seal": "old"}, {"plug": "four-pin"}),
    ],
)
def test_what_the_other_answers_leave_unasked_counts_for_nothing(given, counts):
    assert list(answered(PACK, given).items()) == list(counts.items())


@pytest.mark.parametrize(
    "given, said",
    [
        ({"fan": "zzz"}, "“zzz” is no answer to “fan”. It is answered by one of: belt, electric."),
        ({"fen": "belt"}, "This pack does not ask “fen”. It asks: fan=belt|electric, plug="),
        ({"fan": "belt", "plug": "zzz"}, "“zzz” is no answer to “plug”."),  # unasked or not, it is a mistake
    ],
)
def test_an_unknown_answer_is_refused_with_what_the_pack_offers(given, said):
    with pytest.raises(AnswerError) as refused:
        answered(PACK, given)
    assert said in str(refused.value)


def test_a_pack_without_questions_says_that_it_asks_nothing():
    with pytest.raises(AnswerError, match=r"It asks: nothing\."):
        answered(SimpleNamespace(front=SimpleNamespace(questions={})), {"fan": "belt"})
