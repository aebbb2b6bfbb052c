"""What photos and drawings show, told by their words: names are held against captions, loosely."""

from __future__ import annotations

import re

from .job import Job, JobStep

SMALL = frozenset(
    (
        "the",
        "and",
        "for",
        "with",
        "its",
        "all",
        "how",
        "one",
        "two",
        "each",
        "from",
        "before",
        "after",
        "old",
        "new",
    )
)
"""Words that tell nothing about what is shown."""


def stems(words: str) -> frozenset[str]:
    """Return the words of three letters and more, without the s of many.

    >>> sorted(stems("The hoses, and how each clamp faces"))
    ['clamp', 'face', 'hose']
    """
    found = (re.sub(r"(?<=[^s])s$", "", word) for word in re.findall(r"\w{3,}", words.lower()))
    return frozenset(found) - SMALL


def speaks_of(names: frozenset[str], words: str) -> bool:
    """Return whether a caption has one of these stems."""
    return not names.isdisjoint(stems(words))


def is_drawn(job: Job, names: frozenset[str]) -> bool:
    """Return whether a drawing of the pack shows one of these: it is there whenever it is looked for."""
    return any(speaks_of(names, words) for step in job.steps for words in step.shown)


def is_photographed(job: Job, step: JobStep, names: frozenset[str]) -> bool:
    """Return whether a photo is taken of one of these in a step, or in one that always comes before it.

    A photo of the step itself is taken to show what the step does.
    """
    return bool(step.data.photo) or any(
        speaks_of(names, words)
        for one in job.steps
        if one.data.photo and job.must_precede(one.id, step.id)
        for words in one.data.photo
    )
