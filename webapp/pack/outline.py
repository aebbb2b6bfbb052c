"""Markdown → phases and steps. Headings, step blocks and prose are told apart; nothing is typed yet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token

from .fields import ID
from .findings import INVISIBLE, Finding, Place, did_you_mean, nearest

MOST_STEPS = 2_000

_RAW_HTML = re.compile(r"</?[A-Za-z][A-Za-z0-9-]*(?:\s[^<>]*)?/?>|<!--|<![A-Z]|<\?")


def note_html(state: StateCore) -> None:
    """Note the raw HTML of each paragraph, while a tag can still be told from one whose < is escaped."""
    for token in state.tokens:
        texts = [child.content for child in token.children or () if child.type == "text"]
        tags = [found[0] for text in texts if "<" in text for found in _RAW_HTML.finditer(text)]
        if tags:
            token.meta["html"] = tags


MARKDOWN = MarkdownIt("commonmark", {"html": False})
MARKDOWN.validateLink = lambda url: True  # type: ignore[method-assign]  # what leads astray has a finding
MARKDOWN.core.ruler.before("text_join", "note_html", note_html)


@dataclass(slots=True)
class Block:
    """The ```step block of a step: its YAML text and the line on which that text begins."""

    text: str
    line: int


@dataclass(slots=True)
class StepOutline:
    """A step as it stands in the Markdown."""

    id: str
    title: Token  # the inline token of its heading
    place: Place
    block: Block | None = None
    prose: list[Token] = field(default_factory=list)


@dataclass(slots=True)
class PhaseOutline:
    """A phase as it stands in the Markdown."""

    id: str
    title: Token
    place: Place
    prose: list[Token] = field(default_factory=list)
    steps: list[StepOutline] = field(default_factory=list)


@dataclass(slots=True)
class Outline:
    """The phases of a pack in order."""

    phases: list[PhaseOutline]
    whole: bool  # false: what follows some place could not be told apart

    def steps(self) -> list[StepOutline]:
        """Return all steps in printed order."""
        return [step for phase in self.phases for step in phase.steps]

    def words(self) -> Iterator[Token]:
        """Yield the inline token of every heading and paragraph in printed order."""
        for phase in self.phases:
            owners: list[PhaseOutline | StepOutline] = [phase, *phase.steps]
            for owner in owners:
                yield from (token for token in (owner.title, *owner.prose) if token.type == "inline")


def read_outline(lines: list[str], file: str, first_line: int) -> tuple[Outline, list[Finding]]:
    """Return the phases and steps of a pack's Markdown and what is wrong with their shape.

    lines: the whole pack. first_line: the one on which the Markdown begins, from 1.
    """
    reader = _Reader(file, lines, first_line - 1)
    reader.read(MARKDOWN.parse("\n".join(lines[first_line - 1 :])))
    return Outline(reader.phases, reader.whole), reader.findings


class _Reader:
    def __init__(self, file: str, lines: list[str], above: int) -> None:
        self.file, self.lines, self.above = file, lines, above
        self.phases: list[PhaseOutline] = []
        self.findings: list[Finding] = []
        self.ids: dict[str, Place] = {}
        self.steps = 0
        self.whole = True

    def report(
        self, code: str, place: Place, what: str, why: str, write: str, also: Place | None = None
    ) -> None:
        self.findings.append(Finding(code, "error", place, what, why, write, also=also))

    def place(self, token: Token) -> Place:
        """Return the place of a block token: its first line, from the first character that is not a space."""
        line = self.above + (token.map[0] if token.map else 0)
        shown = self.lines[line] if line < len(self.lines) else ""
        return Place(self.file, line + 1, len(shown) - len(shown.lstrip()) + 1, max(1, len(shown.strip())))

    def read(self, tokens: list[Token]) -> None:
        here: PhaseOutline | StepOutline | None = None
        at = 0
        while at < len(tokens) and self.whole:
            token = tokens[at]
            if token.type == "heading_open" and token.level == 0 and token.tag in ("h1", "h2"):
                here = self.heading(token, tokens[at + 1], here)
                at += 3
                continue
            self.check_words(token)
            if token.type == "fence" and token.info.strip():
                self.fence(token, here)
            elif here is not None:
                here.prose.append(token)
            elif token.level == 0 and token.nesting >= 0:
                self.report(
                    "prose-misplaced",
                    self.place(token),
                    "text stands before the first phase",
                    "it belongs to no step, so nobody would see it",
                    "a heading “# Make safe” above it, or move it to `summary` in the front matter",
                )
            at += 1
        if self.whole:
            self.check_shape()

    def heading(
        self, token: Token, inline: Token, here: PhaseOutline | StepOutline | None
    ) -> PhaseOutline | StepOutline | None:
        place = self.place(token)
        self.check_words(inline)
        written = self.take_id(inline)
        title = "".join(
            child.content for child in inline.children or [] if child.type in ("text", "code_inline")
        )
        if not title.strip():
            self.report(
                "title-missing",
                place,
                "this heading has no words",
                "the heading is what is read at arm's length",
                "## Tighten the pump {#pump-tight}",
            )
        if token.tag == "h1":
            phase = PhaseOutline(self.claim(written, title, "phase", place, prefix="phase-"), inline, place)
            self.phases.append(phase)
            return phase
        self.steps += 1
        if self.steps > MOST_STEPS:
            self.report(
                "too-many-steps",
                place,
                f"more than {MOST_STEPS} steps",
                "a phone could not hold them and nobody could follow them",
                "split the job into several packs",
            )
            self.whole = False
            return here
        step = StepOutline(self.claim(written, title, "step", place), inline, place)
        if not self.phases:
            self.report(
                "step-misplaced",
                place,
                "this step stands before the first phase",
                "phases are how a person finds the way in a long job",
                "a heading “# Make safe” above it",
            )
            self.phases.append(PhaseOutline("phase-1", inline, place))
        self.phases[-1].steps.append(step)
        return step

    def take_id(self, inline: Token) -> str | None:
        """Take `{#id}` off the end of a heading and return the id, or None when there is none."""
        children = inline.children or []
        if not children or children[-1].type != "text":
            return None
        words, brace, written = children[-1].content.rstrip().rpartition("{#")
        if not brace or written.find("}") != len(written) - 1:
            return None
        children[-1].content = words.rstrip()
        return written[:-1]

    def claim(self, written: str | None, title: str, noun: str, place: Place, prefix: str = "") -> str:
        """Return a free id for a heading and report one that is wrong or taken."""
        if written is not None and not (re.match(ID, written) and len(written) <= 60):
            self.report(
                "id-wrong",
                place,
                f"“{written[:60]}” cannot be an id",
                "ids are used in addresses, data and messages",
                "small letters, digits and hyphens, beginning with a letter: {#pump-tight}",
            )
            written = None
        made = written or prefix + re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:50].strip("-")
        if not re.match(ID, made):
            made = f"{noun}-{len(self.ids) + 1}"
        if made in self.ids:
            self.report(
                "id-twice",
                place,
                f"the {noun} id “{made}” is used twice",
                "a tick, a `needs` or a link could mean either of them",
                f"give one of the two an id of its own: {{#{made}-2}}",
                also=self.ids[made],
            )
            number = 2
            while f"{made}-{number}" in self.ids:
                number += 1
            made = f"{made}-{number}"
        self.ids[made] = place
        return made

    def fence(self, token: Token, here: PhaseOutline | StepOutline | None) -> None:
        place = self.place(token)
        name = token.info.strip()
        if name != "step":
            self.report(
                "block-unknown",
                place,
                f"a block of “{name[:40]}” stands here{did_you_mean(name, ['step'])}",
                "the only block with a name is a step's data",
                "```step",
            )
            if not nearest(name, ["step"]):
                return
        if not isinstance(here, StepOutline) or token.level:
            self.report(
                "step-data-misplaced",
                place,
                "this step data stands inside a list or a quotation"
                if token.level
                else "this step data belongs to no step",
                "data without a step would be lost",
                "put it under its heading “## …”, at the beginning of the line",
            )
        elif here.block is not None:
            self.report(
                "step-data-twice",
                place,
                "this step has two blocks of data",
                "one of the two would be lost without a word",
                "put everything into the first block, or make two steps of it",
                also=here.place,
            )
        else:
            here.block = self.block(token, place)

    def block(self, token: Token, place: Place) -> Block:
        """Return the lines of a block as they stand in the file; report one that never ends."""
        first, last = (self.above + line for line in token.map or (0, 0))
        end = self.lines[last - 1].strip() if last > first + 1 else ""
        inside = [at for at in range(first + 1, last - 1) if self.lines[at].startswith("```")]
        if inside or not end.startswith(token.markup) or end.strip(token.markup[0]):
            self.whole = False
            self.report(
                "step-data-unclosed",
                place,
                "this block of step data has no end",
                "everything below would be read as data",
                f"{token.markup} on a line of its own after the last entry",
                also=Place(self.file, inside[0] + 1, 1, 3) if inside else None,
            )
        return Block("\n".join(self.lines[first + 1 : last - 1]) + "\n", first + 2)

    def check_words(self, token: Token) -> None:
        """Report raw HTML, and signs that an entity such as &#x202E; has smuggled in."""
        words = "".join(
            part.content for child in token.children or () for part in (child, *(child.children or ()))
        )
        hidden = INVISIBLE.search(words)
        if hidden:
            self.report(
                "not-text",
                self.place(token),
                f"the invisible character U+{ord(hidden[0]):04X} is written in this paragraph",
                "it cannot be seen, and can change what is read",
                "remove it",
            )
        place: Place | None = None
        for tag in token.meta.get("html", ()):
            place = find_in_lines(self.lines, self.above, token, tag, self.file, place)
            self.report(
                "html-off",
                place,
                f"raw HTML “{tag[:40]}” stands in the prose",
                "packs are Markdown alone, so that nothing in them can act on a phone",
                "**bold**, *italic*, lists and pictures in Markdown; \\< where the sign itself is meant",
            )

    def check_shape(self) -> None:
        if not self.steps:
            self.report(
                "no-steps",
                self.phases[0].place if self.phases else Place(self.file, self.above),
                "the pack has no step",
                "a job is followed step by step",
                "## Disconnect the battery {#battery-off}",
            )
        for phase in self.phases:
            if not phase.steps and self.steps:
                self.report(
                    "phase-empty",
                    phase.place,
                    "this phase has no step",
                    "a phase is a group of steps; text alone cannot be ticked",
                    "a step “## …” under it, or remove the heading",
                )
            for step in phase.steps:
                if step.block is None:
                    self.report(
                        "step-data-missing",
                        step.place,
                        "this step has no data",
                        "without data there is no time, no figure and no check",
                        "```step\nhands-on: 3 min\n```".replace("\n", " ⏎ "),
                    )


def find_in_lines(
    lines: list[str], above: int, token: Token, text: str, file: str, after: Place | None = None
) -> Place:
    """Return the place of a text inside a block token, or of the block's first line when it is not found so.

    lines: the whole pack. above: how many of them stand above the Markdown.
    after: where the text before it in the same block was found.
    """
    first, last = (above + line for line in token.map or (0, 1))
    words = text.split("\n")[0]  # a text broken across two lines: the place is its beginning
    for line in range(max(first, after.line - 1 if after else 0), min(last, len(lines))):
        start = after.column - 1 + after.length if after and after.line == line + 1 else 0
        column = lines[line].find(words, start)
        if column >= 0:
            return Place(file, line + 1, column + 1, len(words))
    shown = lines[first] if first < len(lines) else ""
    return Place(file, first + 1, 1, max(1, len(shown)))
