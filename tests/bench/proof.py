"""What the proof alone costs, beside bare Markdown rendering of the same pack: `python -m tests.bench.proof`.

Packs of 60 and 600 steps with six questions of two answers, each of which decides over whole joints, so that
what all joints share (the oil and its level) is walked under all 64 combinations. The proof of a checked
draft is timed against markdown-it-py rendering the same text, in turns in one process, after one turn that is
not counted. Compared are medians of processor time, which other work on the machine disturbs less than the
clock on the wall.

Exits 1 when a promise is broken: the proof of 60 steps costs less than 10 times what their Markdown does, and
that of 600 at most 12 times what that of 60 does.
"""

from __future__ import annotations

import sys
from statistics import median

from tests.bench._packs import pack_of
from tests.bench.compile import promised, rendering, seconds
from webapp.compile import LANGUAGE, collector_at_rest
from webapp.pack.draft import Draft
from webapp.proof import prove

RUNS = 7
QUESTIONS = 6
FEW, MANY = 60, 600
BESIDE_MARKDOWN, GROWTH = 10.0, 12.0


def checked(content: bytes) -> Draft:
    """Return a pack as the proof gets it: read, typed and checked."""
    draft = Draft("pack.md", content, {})
    for run in LANGUAGE:
        run(draft)
    return draft


def proving(content: bytes) -> float:
    """Return the seconds that one proof takes; it must be whole and find nothing."""
    draft = checked(content)
    with collector_at_rest():
        taken = seconds(lambda: prove.prove(draft))
    if not draft.model.variables or draft.findings:
        sys.exit("\n\n".join(finding.text() for finding in draft.with_lines()[:5]) or "nothing was proved")
    return taken


def main() -> None:
    """Print both ratios; exit 1 when a promise is broken."""
    packs = {steps: pack_of(steps, QUESTIONS) for steps in (FEW, MANY)}
    turns = [
        {steps: (proving(content), rendering(content)) for steps, content in packs.items()}
        for _ in range(RUNS + 1)
    ][1:]
    medians = {steps: tuple(median(turn[steps][at] for turn in turns) for at in (0, 1)) for steps in packs}
    for steps, (ours, bare) in medians.items():
        print(f"{steps} steps, {QUESTIONS} questions: proved in {ours * 1000:.0f} ms, "
              f"Markdown alone {bare * 1000:.0f} ms")  # fmt: skip
    ratio = medians[FEW][0] / medians[FEW][1]
    kept = [promised(f"the proof of {FEW} steps against Markdown alone", ratio, BESIDE_MARKDOWN)]
    growth = medians[MANY][0] / medians[FEW][0]
    kept.append(promised(f"the proof of {MANY} steps against {FEW}", growth, GROWTH))
    sys.exit(0 if all(kept) else 1)


if __name__ == "__main__":
    main()
