"""The words of a step beside its data: actions that only the words say, and sentences hard to follow.

Only what is certain is said: imperatives at the start of a sentence or after “and” or “then”, of things that
the pack declares or that every workshop has. Conditions, prohibitions and what is said of another day are let
pass. Each is a warning that a pack can `silence`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from markdown_it.token import Token

from webapp.pack import schema
from webapp.pack.draft import Draft
from webapp.pack.findings import Place
from webapp.pack.prose import joined

MOST_WORDS = 20
"""Words in a sentence of an instruction. Source: ASD-STE100, rule on the length of procedural sentences, from
memory."""


@dataclass(frozen=True, slots=True)
class Family:
    """Words that say one kind of action.

    said: what a clause begins with, its object in the group “what”. typed: the verbs of the data of
    which one says it too. write: the action to write. nouns: what the object must be; empty: any thing that
    the pack declares or that stands in `COMMON`.
    """

    said: re.Pattern[str]
    typed: frozenset[str]
    write: str
    nouns: frozenset[str] = frozenset()


class Sentence(NamedTuple):
    """A sentence and where it begins in the words of its block."""

    text: str
    start: int


WHAT = r"(?P<what>(?:[\w'’#/.-]+ ){0,5}?[\w'’-]+)"
"""The object: up to six words, as few as are needed."""

STOP = (
    r"(?= (?:from|with|to|into|onto|on|in|at|by|off|out|of|over|under|through|again|up|down|home|for"
    r"|crosswise|slowly|gently|firmly|evenly|fully|completely|carefully|first|now|too|together)\b|\W*$)"
)
"""Where an object ends."""

OFF = (
    "remove move-aside disconnect undo uncover take-out open scrap loosen leave-off relieve isolate hand-over"
)
OUT = "- remove:, - take-out: or - uncover: its id"


def family(said: str, typed: str, write: str, nouns: str = "") -> Family:
    """Return a family from words parted by spaces. WHAT and STOP stand for their patterns."""
    pattern = said.replace("WHAT", WHAT).replace("STOP", STOP)
    return Family(re.compile(pattern, re.I), frozenset(typed.split()), write, frozenset(nouns.split()))


FAMILIES = (
    family(r"(?:reconnect|connect) WHATSTOP", "connect restore refit fit join place", "- connect: its id"),
    family(r"plug in WHATSTOP", "connect restore cover place", "- connect: its id",
           "plug connector sensor lead"),
    family(r"plug WHAT (?:back )?in\b(?! the)", "connect restore cover place", "- connect: its id",
           "plug connector sensor lead it them"),
    family(r"push WHAT (?:back )?(?:on|home)\b", "connect refit fit join", "- connect: its id",
           "plug connector hose line pipe"),
    family(r"(?:disconnect|unplug|detach) WHATSTOP", "disconnect isolate remove move-aside undo",
           "- disconnect: its id"),
    family(r"(?:re-?tighten|tighten|torque) (?:up |down )?WHATSTOP",
           "tighten turn connect shut refit fit tension join place cover start-by-hand",
           "- tighten: the group's id"),
    family(r"(?:loosen|slacken|undo|unbolt|unscrew) WHATSTOP",
           "loosen undo disconnect remove open tension take-out move-aside relieve uncover release drain",
           "- loosen: or - undo: the group's id"),
    family(r"remove WHATSTOP", OFF, OUT),
    family(r"(?:take|pull|lift|draw) (?:out|off) WHATSTOP", OFF, OUT),
    family(r"(?:take|pull|lift|draw) WHAT (?:out|off)\b", OFF, OUT),
    family(r"(?:refit|reinstall|install) WHATSTOP",
           "fit refit connect join place cover start-by-hand shut tighten apply",
           "- refit: or - fit: its id"),
    family(r"drain (?:off |out )?WHATSTOP", "drain open rinse", "- drain: the fluid's id",
           "coolant oil fuel fluid radiator system engine sump gearbox block tank circuit"),
    family(r"(?:refill|fill|top up) WHATSTOP", "fill rinse", "- fill: the fluid's id",
           "coolant oil fluid radiator system engine gearbox reservoir circuit"),
    family(r"bleed WHATSTOP", "bleed open relieve crank", "- bleed: the fluid's id",
           "coolant brake clutch system circuit fuel caliper"),
    family(r"(?:start|crank) WHATSTOP", "start crank", "- start: engine", "engine motor"),
    family(r"(?:stop|switch off) WHATSTOP", "stop key", "- stop: engine", "engine motor"),
    family(r"start WHAT by (?:hand|finger)", "start-by-hand", "- start-by-hand: the group's id",
           "bolt nut screw stud fastener thread all both each them it"),
    family(r"(?:shut|close) WHATSTOP", "shut connect join tighten", "- shut: its id",
           "drain cock screw cap filler valve bleed plug"),
    family(r"open WHATSTOP", "open relieve drain remove place bleed", "- open: its id",
           "drain cock screw cap filler bleed"),
    family(r"(?:jack up|raise) WHATSTOP", "raise", "- raise: stands", "car vehicle truck van front rear"),
    family(r"lower WHATSTOP", "lower raise", "- lower: vehicle", "car vehicle truck van"),
    family(r"(?:lay|apply|run) WHAT of sealant", "apply", "- apply: the sealant's id", "bead"),
    family(r"(?:drill|tap) WHATSTOP", "drill tap", "- drill: or - tap: the cut's id", "hole thread"),
)  # fmt: skip

FLUIDS = frozenset({"drain", "fill", "bleed"})
"""Verbs whose object may also be a fluid, by the name that the pack gives it."""

COMMON = frozenset(
    {
        "rag", "cloth", "foil", "plug", "cap", "stud", "pin", "hose", "connector", "bolt", "nut", "screw",
        "belt", "gasket", "seal", "o-ring", "filter", "sensor", "bracket", "pump", "thermostat", "lead",
        "strap", "harness", "union", "pulley",
    }
)  # fmt: skip
"""Things that a clause may speak of although the pack declares none."""

LITTLE = frozenset(
    {
        "the", "a", "an", "its", "your", "this", "that", "these", "those", "each", "both", "all", "every",
        "old", "new",
    }
)  # fmt: skip

FIRST = re.compile(
    r"(?:(?:then|now|next|first|finally|again|also|carefully|slowly|gently|only then)\b,? *)+", re.I
)
LEADING = re.compile(r"(?:when|once|after|as soon as|while|before|with)\b[^,]*, *", re.I)
CONDITION = re.compile(r"\b(?:if|unless|in case|should|only when|otherwise)\b", re.I)
ANOTHER_DAY = re.compile(
    r"\b(?:later|tomorrow|tonight|yesterday|afterwards|already|next step|last step)\b", re.I
)
SUBORDINATE = re.compile(
    r"\b(?:until|so that|because|since|which|that|who|when|where|while|before|after|as long as|than)\b", re.I
)
JOINT = re.compile(r",? and then |,? then |,? and |, |; |: ")
BOUNDARY = re.compile(r"(?<=[.!?])[\"”’)*_]*(?=\s|$)")
ABBREVIATION = re.compile(r"\b(?:e\.g|i\.e|approx|fig|max|vs)\.$", re.I)
WORD = re.compile(r"\S*\w\S*")
LETTERS = re.compile(r"[\w-]+")

IMPERATIVES = frozenset(
    LETTERS.findall(
        "connect reconnect plug push disconnect unplug detach tighten retighten re-tighten torque loosen "
        "slacken undo unbolt unscrew remove take pull lift draw refit install reinstall drain fill refill "
        "top bleed start crank stop switch shut close open jack raise lower lay apply run drill tap"
    )
)
"""The first words of all families: most sentences and clauses have none of them, and cost one look."""
BRACKETS = re.compile(r"\([^()]*\)")

OBJECT = "\ufffc"
"""Stands for a figure or a piece of code: one word, and not to be read."""


def check_prose(draft: Draft, front: schema.FrontMatter) -> None:
    """Report what only the words of a step say, and what is hard to follow."""
    silent = set(front.silence)
    if draft.outline is None:
        return
    things = things_of(front)
    data = {step.id: step.data for step in draft.steps}
    for step in draft.outline.steps():
        typed = data[step.id]
        if typed is None:
            continue
        verbs = {action.verb() for action in typed.actions}
        for token in step.prose:
            if token.type != "inline":
                continue
            text = plain(token)
            for sentence in sentences(text):
                done = said(sentence.text, things)
                loose = [one for one in done if not one.family.typed & verbs]
                place = partial(place_of, draft, token, text, sentence)
                if loose and "prose-untyped" not in silent:
                    draft.report("prose-untyped", place(), *untyped(loose[0]), severity="warning")
                if (count := words_in(sentence.text)) > MOST_WORDS and "prose-long" not in silent:
                    draft.report("prose-long", place(), *too_long(count), severity="warning")
                if len(done) > 1 and "prose-two-actions" not in silent:
                    draft.report("prose-two-actions", place(), *two_actions(done), severity="warning")


class Said(NamedTuple):
    """An action that a clause says: its words, and what would say it in the data."""

    words: str
    family: Family


Words = tuple[str, str, str]
"""What, why, and what to write."""


def untyped(one: Said) -> Words:
    """Return what is to be said of an action of the words that is in no action of the data."""
    return (
        f"“{one.words}” says an action, and the step's data has none of its kind",
        "what is only prose is not checked, not counted, and not on the list of what is open",
        f"“{one.family.write}” among the step's `actions`",
    )


def words_in(text: str) -> int:
    """Return how many words a sentence has. What stands in brackets counts by itself."""
    if "(" not in text:
        return len(WORD.findall(text))
    inner = [bracket[1:-1] for bracket in BRACKETS.findall(text)]
    return max(len(WORD.findall(part)) for part in (BRACKETS.sub("", text), *inner))


def too_long(count: int) -> Words:
    """Return what is to be said of too many words."""
    return (
        f"this sentence has {count} words",
        f"with dirty hands and a lamp between the teeth, more than {MOST_WORDS} words are read twice",
        "two sentences",
    )


def two_actions(done: list[Said]) -> Words:
    """Return what is to be said of a sentence with more than one action."""
    return (
        f"“{done[0].words}” and “{done[1].words}” stand in one sentence",
        "the second of two actions in one sentence is the one that is forgotten",
        "a sentence for each",
    )


# --- Words


def plain(token: Token) -> str:
    """Return the words of a block as they are read; a figure or a piece of code is one word of no meaning."""
    found = []
    for child in joined(token.children or []):
        if child.type == "text":
            found.append(child.content)
        elif child.type in ("softbreak", "hardbreak"):
            found.append("\n")
        elif child.type in ("quantity", "code_inline"):
            found.append(OBJECT + "0")
    return "".join(found)


def sentences(text: str) -> Iterator[Sentence]:
    """Yield the sentences of a block."""
    start = 0
    ends = [match.end() for match in BOUNDARY.finditer(text)]
    for end in (*ends, len(text)):
        piece = text[start:end]
        if end < len(text) and ABBREVIATION.search(piece[-8:]):
            continue
        if piece.strip():
            yield Sentence(" ".join(piece.split()), start + len(piece) - len(piece.lstrip()))
        start = end


def place_of(draft: Draft, token: Token, text: str, sentence: Sentence) -> Place:
    """Return where a sentence begins."""
    first = draft.body_line - 1 + (token.map or (0, 1))[0]
    line = min(first + text.count("\n", 0, sentence.start), len(draft.lines) - 1)
    word = re.match(r"[\w'’-]*", sentence.text)
    shown = draft.lines[line]
    before = text[text.rfind("\n", 0, sentence.start) + 1 : sentence.start]
    column = shown.find(word[0], min(len(before), len(shown))) if word and word[0] else -1
    if column < 0:
        column = max(shown.find(word[0]) if word and word[0] else 0, 0)
    return Place(draft.file, line + 1, column + 1, max(1, min(len(sentence.text), len(shown) - column)))


def words_of(name: str) -> set[str]:
    """Return the words of a name, in the singular."""
    return {singular(word) for word in re.findall(r"[\w-]+", name.lower())}


def singular(word: str) -> str:
    """Return a word without the s of its plural."""
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def head(phrase: str) -> str:
    """Return the last word of a noun, in the singular: of “old drain plugs of the sump” it is “plug”."""
    before = re.split(r"\b(?:of|with|over|in|on|at|from|to|for)\b|\(", phrase.lower())[0]
    words = re.findall(r"[\w-]+", before)
    return singular(words[-1]) if words else ""


class Things(NamedTuple):
    """What the pack calls things: items, groups and fluids by the last word of each, tools by all words."""

    declared: frozenset[str]
    fluids: frozenset[str]
    tools: tuple[set[str], ...]


def things_of(front: schema.FrontMatter) -> Things:
    """Return what a pack calls its things. What is used up is as little of the vehicle as a tool is."""
    declared = [head(one.name) for one in front.items.values()]
    declared += [head(one.name) for one in front.fasteners.values()]
    used = [one.name for one in front.tools.values()] + [one.name for one in front.consumables.values()]
    fluids = frozenset(head(one.name) for one in front.fluids.values())
    return Things(frozenset(declared), fluids, tuple(words_of(name) for name in used))


# --- Clauses


def said(sentence: str, things: Things) -> list[Said]:
    """Return the actions that a sentence tells the reader to do."""
    if IMPERATIVES.isdisjoint(LETTERS.findall(sentence.lower())):
        return []
    if CONDITION.search(sentence) or ANOTHER_DAY.search(sentence):
        return []
    found: list[Said] = []
    for clause in clauses(sentence):
        if IMPERATIVES.isdisjoint(LETTERS.findall(clause.lower())[:1]):
            continue
        for one in FAMILIES:
            match = one.said.match(clause)
            if match and (is_thing(match, one, things) or (found and is_pronoun(match))):
                found.append(Said(match[0].strip(), one))
                break
    return found


def clauses(sentence: str) -> Iterator[str]:
    """Yield the parts of a sentence that can be imperative, up to what depends on one of them."""
    rest = LEADING.sub("", sentence.lstrip("“\"'*_( "), count=1)
    for part in JOINT.split(rest):
        clause = FIRST.sub("", part.strip(), count=1)
        subordinate = SUBORDINATE.search(clause)
        yield clause[: subordinate.start()].strip() if subordinate else clause
        if subordinate or part is rest:
            return


def is_pronoun(match: re.Match[str]) -> bool:
    """Return whether the object of a clause is what the clause before spoke of."""
    return match["what"].lower() in ("it", "them", "each", "both", "all")


def is_thing(match: re.Match[str], one: Family, things: Things) -> bool:
    """Return whether the object of a clause is a thing of this job and none of its tools."""
    name = head(match["what"])
    if one.nouns:
        return name in one.nouns or bool(one.typed & FLUIDS and name in things.fluids)
    said = words_of(match["what"]) - LITTLE
    tool = any(said <= words for words in things.tools) and not (said == {name} and name in things.declared)
    return name in things.declared | COMMON and not tool
