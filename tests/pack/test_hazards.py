"""The built-in hazards speak as the standard asks, and danger and warning are answered with a fact.

Signal words: ANSI Z535.4/.6, from memory: DANGER will, WARNING could, CAUTION minor injury, NOTICE damage.
"""

import re

import pytest

from webapp.pack import hazards
from webapp.pack.hazards import BUILT_IN

WORDS = {
    "danger": {"exhaust-gas", "falling-vehicle", "fuel", "high-voltage", "back-feed"},
    "warning": {"scald", "battery", "moving-parts", "refrigerant", "brakes", "heavy", "sprung"},
    "caution": {"fumes", "compressed-air", "hot-metal", "sharp-edge"},
    "notice": {"waste", "static", "paint"},
}
EVERY = pytest.mark.parametrize("name", sorted(BUILT_IN))


def named(*words: str) -> pytest.MarkDecorator:
    """Return the hazards of these signal words, one test each."""
    return pytest.mark.parametrize("name", sorted(name for word in words for name in WORDS[word]))


def said(name: str) -> str:
    """Return all words that a hazard shows."""
    hazard = BUILT_IN[name]
    return ". ".join([hazard.what, hazard.happens, hazard.avoid, *hazard.protect, hazard.first_aid or ""])


@pytest.mark.parametrize("word", WORDS)
def test_every_hazard_of_the_trade_has_its_signal_word(word: str) -> None:
    """The table of hazards and the words that go with them, complete."""
    assert {name for name, hazard in BUILT_IN.items() if hazard.word == word} == WORDS[word]


@named("danger")
def test_a_danger_says_what_will_happen(name: str) -> None:
    """DANGER will kill or maim: no “could” and no “may” softens it."""
    assert re.search(r"\bwill\b", BUILT_IN[name].happens)
    assert not re.search(r"\b(could|may|might)\b", BUILT_IN[name].happens)


@named("warning", "caution")
def test_a_warning_and_a_caution_say_what_could_happen(name: str) -> None:
    """WARNING and CAUTION could: a “will” here would wear the word out."""
    assert re.search(r"\bcould\b", BUILT_IN[name].happens)
    assert not re.search(r"\bwill\b", BUILT_IN[name].happens)


@named("caution")
def test_a_caution_never_speaks_of_death(name: str) -> None:
    """Minor injury only; what could kill is a warning at least."""
    assert not re.search(r"\b(kill|death|die|maim|blind|bone)", BUILT_IN[name].happens)


@named("notice")
def test_a_notice_is_never_about_people(name: str) -> None:
    """NOTICE is for damage only: no body, no first aid, no protection to wear."""
    person = r"\b(you|your|hand|eye|skin|finger|face|burn|injur\w*|hurt\w*|poison\w*|kill\w*|person|people)\b"
    assert not re.search(person, said(name), re.IGNORECASE)
    assert BUILT_IN[name].first_aid is None


@named("danger", "warning")
def test_danger_and_warning_are_answered_with_a_fact(name: str) -> None:
    """A statement of what is so, or a value measured: not “OK”, “yes” or “I understand”."""
    fact = BUILT_IN[name].fact
    assert fact is not None
    assert (fact.statement is None) != (fact.range is None)
    if fact.statement:
        assert len(fact.statement.split()) >= 3
        assert not re.match(r"(ok|yes|understood|i (understand|agree))\b", fact.statement, re.IGNORECASE)


@named("caution", "notice")
def test_caution_and_notice_do_not_stop_the_step(name: str) -> None:
    """Too many stops and people no longer read them."""
    assert BUILT_IN[name].fact is None


@named("danger", "warning", "caution")
def test_first_aid_is_there_whenever_a_person_could_be_hurt(name: str) -> None:
    """One line, read in a hurry."""
    first_aid = BUILT_IN[name].first_aid
    assert first_aid
    assert len(first_aid) <= 140
    assert "\n" not in first_aid


@EVERY
def test_each_hazard_says_what_happens_and_how_to_avoid_it_in_short_sentences(name: str) -> None:
    """No sentence is longer than 20 words: it is read at arm's length."""
    for sentence in re.split(r"(?<=[.:])\s+", said(name)):
        assert len(sentence.split()) <= 20, sentence


def test_the_cooling_system_is_opened_at_50_degrees_or_less() -> None:
    """Common practice, no source."""
    fact = BUILT_IN["scald"].fact
    assert fact
    assert fact.range
    assert (fact.range.kind, fact.range.form, fact.range.high) == ("temperature", "at-most", 50)


def test_the_module_says_where_its_figures_come_from() -> None:
    """A figure without a source is a rumour: army manuals by number, practice and memory by name."""
    sources = hazards.__doc__ or ""
    for words in ("common practice, no source", "TM 5-2420-222-34", "TM 10-4320-307-24", "from memory"):
        assert words in sources


@pytest.mark.parametrize(
    "name, figures", [("heavy", "23 kg (50 lb)"), ("compressed-air", "below 30 psi (207 kPa)")]
)
def test_the_figures_are_those_of_the_manuals(name: str, figures: str) -> None:
    """23 kg: US Army TM 5-2420-222-34. 207 kPa (30 psi): US Army TM 10-4320-307-24."""
    assert figures in said(name)
