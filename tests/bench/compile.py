"""What compiling costs as packs grow, and beside bare Markdown rendering: `python -m tests.bench.compile`.

Packs of 100 and 1,000 steps are compiled, and their text is rendered by markdown-it-py alone, in turns in one
process, after one turn that is not counted. Compared are medians of processor time, which other work on the
machine disturbs less than the clock on the wall. Before each compilation all amounts and threads that were
read are forgotten, because a pack that comes in is compiled once.

Exits 1 when a promise is broken: 1,000 steps cost at most 12 times what 100 do, and a pack costs at most 6
times what its Markdown alone does.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from statistics import median
from time import process_time

from markdown_it import MarkdownIt

from tests.bench._packs import pack_of
from webapp.compile import compile_bytes
from webapp.pack import amounts
from webapp.places import CONTENT
from webapp.proof.rules import figures
from webapp.trade import threads

RUNS = 9
GROWTH, BESIDE_MARKDOWN = 12.0, 6.0


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time that a piece of work takes, with what it leaves behind collected before."""
    gc.collect()
    start = process_time()
    work()
    return process_time() - start


def compiling(content: bytes, pictures: dict[str, bytes]) -> float:
    """Return the seconds that one compilation takes; the pack must compile."""
    for read in (amounts.read, amounts.read_any, threads.read_thread, figures.usual_for):
        read.cache_clear()
    found = []
    taken = seconds(lambda: found.append(compile_bytes(content, "pack.md", pictures)))
    if found[0].pack is None:
        sys.exit("\n\n".join(finding.text() for finding in found[0].findings[:5]))
    return taken


def rendering(content: bytes) -> float:
    """Return the seconds that markdown-it-py alone takes to render the same text."""
    text = content.decode()
    return seconds(lambda: MarkdownIt("commonmark").render(text))


def promised(what: str, ratio: float, most: float) -> bool:
    """Print a ratio and whether it keeps its promise."""
    kept = ratio <= most
    print(f"{'PASS' if kept else 'FAIL'}  {what}: {ratio:.2f} (promise: at most {most:g})")
    return kept


def main() -> None:
    """Print every ratio; exit 1 when a promise is broken."""
    packs: dict[str, tuple[bytes, dict[str, bytes]]] = {
        "100 steps": (pack_of(100), {}),
        "1,000 steps": (pack_of(1_000), {}),
    }
    for path in sorted(CONTENT.glob("*/pack.md")):
        pictures = {beside.name: beside.read_bytes() for beside in path.parent.glob("*.svg")}
        packs[path.parent.name] = (path.read_bytes(), pictures)
    turns = [
        {name: (compiling(*pack), rendering(pack[0])) for name, pack in packs.items()}
        for _ in range(RUNS + 1)
    ][1:]
    medians = {name: tuple(median(turn[name][at] for turn in turns) for at in (0, 1)) for name in packs}
    for name, (ours, bare) in medians.items():
        print(f"{name}: {len(packs[name][0]) / 1000:.0f} kB, compiled in {ours * 1000:.0f} ms, "
              f"Markdown alone {bare * 1000:.0f} ms")  # fmt: skip
    kept = [promised("1,000 steps against 100", medians["1,000 steps"][0] / medians["100 steps"][0], GROWTH)]
    for name, (ours, bare) in medians.items():
        kept.append(promised(f"{name} against Markdown alone", ours / bare, BESIDE_MARKDOWN))
    sys.exit(0 if all(kept) else 1)


if __name__ == "__main__":
    main()
