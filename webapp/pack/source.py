"""Bytes → text → front matter and body. Everything that is not a readable pack is refused here."""

from __future__ import annotations

import re
from typing import NoReturn

from .draft import Draft, Stop
from .findings import INVISIBLE, Place
from .outline import read_outline
from .yamltree import Refused, read_yaml, words_of

LARGEST = 1_500_000
"""Bytes of one pack.md."""
MOST_LINES = 60_000
LONGEST_LINE = 4_000
LONGEST_PARAGRAPH = 8_000
"""Characters; a bound on what any one Markdown rule can be made to chew on."""

_KEY = re.compile(r"[a-z][a-z-]*:( |$)")


def read_text(draft: Draft) -> None:
    """Decode the pack: UTF-8, no control characters, bounded in size and in line length."""
    whole = Place(draft.file, 1)
    if len(draft.content) > LARGEST:
        draft.report(
            "pack-too-big",
            whole,
            f"the pack has {len(draft.content):,} bytes; at most {LARGEST:,} are read".replace(",", " "),
            "no job needs so much text, and a phone could not hold it",
            "split the job into several packs; pictures belong into files beside pack.md",
        )
        raise Stop
    try:
        text = draft.content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = draft.content.count(b"\n", 0, problem.start) + 1
        draft.lines = visible_lines(draft.content.decode(errors="replace"))
        draft.report(
            "not-utf8",
            Place(draft.file, line),
            f"byte {problem.start + 1} of the file is not UTF-8 text",
            "signs such as ° and · would be read as something else",
            "save the file as UTF-8",
        )
        raise Stop from None
    text = with_line_ends(text)
    bad = INVISIBLE.search(text)
    if bad:
        line = text.count("\n", 0, bad.start()) + 1
        column = bad.start() - (text.rfind("\n", 0, bad.start()) + 1) + 1
        draft.lines = visible_lines(text)
        draft.report(
            "not-text",
            Place(draft.file, line, column),
            f"the invisible character U+{ord(bad[0]):04X} stands here",
            "it cannot be seen, and can change what is read",
            "remove it; if the whole file looks like this, it is not a text file",
        )
        raise Stop
    draft.lines = text.split("\n")
    if len(draft.lines) > MOST_LINES:
        draft.report(
            "pack-too-big",
            Place(draft.file, MOST_LINES + 1),
            f"the pack has {len(draft.lines)} lines; at most {MOST_LINES} are read",
            "no job needs so much text, and a phone could not hold it",
            "split the job into several packs",
        )
        raise Stop
    for number, shown in enumerate(draft.lines, 1):
        if len(shown) > LONGEST_LINE:
            refuse_length(draft, number, f"a line of over {LONGEST_LINE} characters")


def with_line_ends(text: str) -> str:
    """Return a text with the line ends of every system as one sign."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def visible_lines(text: str) -> list[str]:
    """Return the lines of a text that cannot be read, fit to be shown."""
    return INVISIBLE.sub("\ufffd", with_line_ends(text)).split("\n")


def read_front_matter(draft: Draft) -> None:
    """Split the front matter off and read it as YAML with places."""
    lines = draft.lines
    if not lines or lines[0].rstrip() != "---":
        draft.report(
            "front-matter-missing",
            Place(draft.file, 1),
            "the pack does not begin with its front matter",
            "title, vehicle, items and fasteners are declared there",
            "--- on the first line, then `title: …`, and --- again before the first phase",
        )
        raise Stop
    ends = [at for at, line in enumerate(lines) if line.rstrip() == "---"][1:]
    if not ends:
        draft.report(
            "front-matter-unclosed",
            Place(draft.file, 1, 1, 3),
            "the front matter has no end",
            "everything below would be read as data",
            "--- on a line of its own after the last entry",
        )
        raise Stop
    end = ends[0]
    between = lines[end + 1 : ends[1]] if len(ends) > 1 else []
    if any(_KEY.match(line) for line in between) and not any(
        line.startswith(("#", "```")) for line in between
    ):
        draft.report(
            "yaml-wrong",
            Place(draft.file, end + 1, 1, 3),
            "the front matter ends here, but its data goes on below",
            "everything below would be read as prose, and every name in it would be unknown",
            "one --- before the data and one after it",
            also=Place(draft.file, ends[1] + 1, 1, 3),
        )
        raise Stop
    draft.body_line = end + 2
    text = "\n".join(lines[1:end]) + "\n"
    try:
        draft.front_tree, found = read_yaml(text, draft.file, 2)
    except Refused as refused:
        draft.add([refused.finding])
        draft.unread.update(words_of(text))
    else:
        draft.add(found)


def read_body(draft: Draft) -> None:
    """Read the Markdown after the front matter into phases and steps."""
    run = 0
    for number, shown in enumerate(draft.lines[draft.body_line - 1 :], draft.body_line):
        run = run + len(shown) if shown.strip() else 0
        if run > LONGEST_PARAGRAPH:
            refuse_length(draft, number, f"a paragraph of over {LONGEST_PARAGRAPH} characters")
    draft.outline, found = read_outline(draft.lines, draft.file, draft.body_line)
    draft.add(found)
    if not draft.outline.whole:
        raise Stop


def refuse_length(draft: Draft, number: int, what: str) -> NoReturn:
    """Refuse a line or a paragraph that is far too long."""
    draft.report(
        "line-too-long",
        Place(draft.file, number),
        f"here is {what}",
        "nobody reads that at arm's length",
        "shorter lines, with an empty line between paragraphs",
    )
    raise Stop
