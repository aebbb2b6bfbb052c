"""The table of verbs: each verb of the pack language has its function."""

from webapp.pack.actions import VERBS
from webapp.proof.verbs import DOES
from webapp.proof.verbs.said import BEHIND, HAND_WORK, HANDS_NEAR


def test_every_verb_says_what_it_does() -> None:
    assert set(DOES) == set(VERBS.values())


def test_hands_near_an_opening_are_no_hand_work() -> None:
    assert not HANDS_NEAR & HAND_WORK
    assert set(DOES) > BEHIND | HAND_WORK
