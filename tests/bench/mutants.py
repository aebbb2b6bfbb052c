"""How many slips of an author the compiler finds in packs that are right: `python -m tests.bench.mutants`.

Each pack that ships is compiled again and again, each time with one slip in it (`_mutants.py`). A slip is
found when the pack no longer compiles, or warns of what it did not warn of before. Of what survives,
`survivors.toml` says why it is harmless, or owns up to it as a hole. Words in prose that contradict the data
count as found, but what the rules of the trade find is counted by itself, as if the prose said nothing.

Exits 1 when fewer than 97 % of the slips that matter are found, when a survivor is not in `survivors.toml`,
or when an entry there is of no survivor.

    python -m tests.bench.mutants [--pack coolant-pump] [--kind needs] [--all]

--pack, --kind: only these; --all lists the explained survivors too.
"""

from __future__ import annotations

import argparse
import sys
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator
from fnmatch import fnmatchcase
from multiprocessing import Pool
from pathlib import Path
from time import monotonic
from typing import Any, NamedTuple

from tests.bench._mutants import Mutant, Pack
from webapp.compile import PASSES, Folder, collector_at_rest
from webapp.pack.draft import Draft, Stop
from webapp.pack.findings import Finding
from webapp.places import CONTENT
from webapp.proof import prove

LEAST = 0.97
PROCESSES = 2
SURVIVORS = Path(__file__).with_name("survivors.toml")
PROSE = "prose-disagrees"

Said = frozenset[tuple[str, str, str]]


class Judged(NamedTuple):
    """A mutant and the codes that found it, of rules and of anything else."""

    pack: str
    kind: str
    step: str
    what: str
    rules: frozenset[str]
    others: frozenset[str]


class Survivor(NamedTuple):
    """An entry of survivors.toml. kind, pack, step and mutation may hold `*`."""

    kind: str
    pack: str
    step: str
    mutation: str
    reason: str
    harmless: bool

    def is_of(self, one: Judged) -> bool:
        """Return whether it speaks of this mutant."""
        pairs = (
            (one.kind, self.kind),
            (one.pack, self.pack),
            (one.step, self.step),
            (one.what, self.mutation),
        )
        return all(fnmatchcase(name, pattern) for name, pattern in pairs)


def findings(text: str, files: dict[str, bytes]) -> list[Finding]:
    """Return what the compiler finds, with the proof run also where only prose and data disagree."""
    draft = Draft("pack.md", text.encode(), files)
    with collector_at_rest():
        try:
            for run in PASSES:
                prose = [one for one in draft.findings if one.code == PROSE]
                if run is prove.prove:
                    draft.findings = [one for one in draft.findings if one.code != PROSE]
                    run(draft)
                    draft.findings += prose
                else:
                    run(draft)
        except Stop:
            pass
    return draft.findings


def said(found: list[Finding]) -> Said:
    """Return what findings say, without their places: those move when a line goes."""
    return frozenset((one.code, one.severity, one.what) for one in found)


def is_rule(code: str) -> bool:
    """Return whether a code is a rule of the trade."""
    return code[:1] == "R" and code[1:].isdigit()


class Worker:
    """What one process knows of the packs: their files, and what is found in them without a slip."""

    packs: dict[str, tuple[dict[str, bytes], Said]]

    @classmethod
    def start(cls, names: list[str]) -> None:
        """Read the packs once for each process."""
        cls.packs = {}
        for name in names:
            files = dict(Folder(CONTENT / name))
            cls.packs[name] = files, said(findings((CONTENT / name / "pack.md").read_text(), files))

    @classmethod
    def judge(cls, job: tuple[str, Mutant]) -> Judged:
        """Compile one mutant."""
        name, mutant = job
        files, before = cls.packs[name]
        codes = {code for code, _, _ in said(findings(mutant.text, files)) - before}
        rules = frozenset(code for code in codes if is_rule(code))
        return Judged(name, mutant.kind, mutant.step, mutant.what, rules, frozenset(codes - rules))


def survivors() -> list[Survivor]:
    """Read survivors.toml. An entry's `of` holds steps and mutations: “bead: “apply: rtv” twice”."""
    tables: dict[str, list[dict[str, Any]]] = tomllib.loads(SURVIVORS.read_text())
    return [
        Survivor(entry.get("kind", "*"), entry.get("pack", "*"), *of.split(": ", 1), entry["reason"],
                 table == "harmless")
        for table in ("hole", "harmless")  # a hole is one of a class that is harmless otherwise
        for entry in tables.get(table, [])
        for of in entry["of"]
    ]  # fmt: skip


def jobs(packs: dict[str, Pack], kind: str | None) -> Iterator[tuple[str, Mutant]]:
    """Yield every mutant with its pack's name."""
    for name, pack in packs.items():
        for mutant in pack.mutants():
            if kind in (None, mutant.kind):
                yield name, mutant


def table(judged: list[Judged]) -> None:
    """Print the counts of each kind."""
    rows: dict[str, Counter[str]] = defaultdict(Counter)
    for one in judged:
        how = "rule" if one.rules else "otherwise" if one.others else "survivors"
        for row in (one.kind, "all"):
            rows[row].update(("mutants", how))
    heads = ("mutants", "rule", "otherwise", "survivors")
    print(f"{'kind':22}{'mutants':>10}{'by a rule':>12}{'otherwise':>12}{'survivors':>12}")
    for kind, counts in sorted(rows.items(), key=lambda row: (row[0] == "all", row[0])):
        widths = (10, 12, 12, 12)
        print(f"{kind:22}" + "".join(f"{counts[head]:>{w}}" for head, w in zip(heads, widths, strict=True)))


def main() -> None:
    """Judge all mutants; exit 1 when too few are found or a survivor is not explained."""
    reader = argparse.ArgumentParser()
    reader.add_argument("--pack")
    reader.add_argument("--kind")
    reader.add_argument("--all", action="store_true")
    asked = reader.parse_args()
    names = [asked.pack] if asked.pack else sorted(path.parent.name for path in CONTENT.glob("*/pack.md"))
    packs = {name: Pack((CONTENT / name / "pack.md").read_text()) for name in names}
    start = monotonic()
    with Pool(PROCESSES, Worker.start, (names,)) as pool:
        judged = list(pool.imap(Worker.judge, jobs(packs, asked.kind), chunksize=16))
    table(judged)
    equal = sum(pack.equal for pack in packs.values())
    print(f"\n{equal} dropped `needs` left every allowed order as it was, and were not counted.")
    print("found by rules: " + ", ".join(f"{code} {n}" for code, n in sorted(by_rule(judged).items())))
    print(f"{monotonic() - start:.0f} s\n")
    whole = not (asked.pack or asked.kind)
    sys.exit(0 if verdict(judged, whole=whole, every=asked.all) else 1)


def by_rule(judged: list[Judged]) -> Counter[str]:
    """Return how many mutants each rule found."""
    return Counter(code for one in judged for code in one.rules)


def verdict(judged: list[Judged], *, whole: bool, every: bool) -> bool:
    """Print survivors and the score; return whether all promises are kept.

    whole: all mutants were judged, so that an entry of no survivor is stale. every: print explained ones too.
    """
    left = [one for one in judged if not one.rules and not one.others]
    entries = survivors()
    used: set[Survivor] = set()
    harmless = unexplained = 0
    for one in left:
        entry = next((entry for entry in entries if entry.is_of(one)), None)
        if entry is None:
            unexplained += 1
            print(f"SURVIVOR  {one.pack} / {one.step}: {one.what}")
            continue
        used.add(entry)
        harmless += entry.harmless
        if every:
            print(f"{'harmless' if entry.harmless else 'HOLE':8}  {one.pack} / {one.step}: {one.what}")
            print(f"          {entry.reason}")
    stale = [entry for entry in entries if entry not in used] if whole else []
    for entry in stale:
        print(f"STALE     {entry.pack} / {entry.step}: {entry.mutation} is of no survivor")
    found = len(judged) - len(left)
    matter = len(judged) - harmless
    score = found / matter if matter else 1.0
    rules = sum(bool(one.rules) for one in judged)
    print(f"found: {found} of {len(judged)}, {share(found, len(judged))}; by a rule of the trade: {rules}")
    kept = score >= LEAST
    print(f"{'PASS' if kept else 'FAIL'}  found of those that matter: {share(found, matter)} "
          f"(promise: at least {LEAST:.0%}); harmless with a reason: {harmless}")  # fmt: skip
    print(f"{'FAIL' if unexplained else 'PASS'}  survivors without a reason: {unexplained}")
    print(f"{'FAIL' if stale else 'PASS'}  reasons of no survivor: {len(stale)}")
    return kept and not unexplained and not stale


def share(part: int, whole: int) -> str:
    """Return a share in words."""
    return f"{100 * part / whole:.1f} %" if whole else "none"


if __name__ == "__main__":
    main()
