"""The compiler: bytes in, a compiled pack or findings out. Never a traceback, whatever it is given."""

from __future__ import annotations

import gc
import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from .pack import accept, check, link, pictures, prose, resolve, source, typed
from .pack.compiled import CompiledPack
from .pack.draft import Draft, Stop
from .pack.fields import ID
from .pack.findings import INVISIBLE, Finding, Place
from .proof import prove

Passes = tuple[Callable[[Draft], None], ...]

LANGUAGE: Passes = (
    source.read_text,
    source.read_front_matter,
    source.read_body,
    typed.type_front_matter,
    typed.type_steps,
    link.check_names,
    link.check_order,
    link.check_links,
    check.check_questions,
    check.check_fasteners,
    check.check_actions,
    check.check_sealants,
    check.check_waits,
    check.check_readings,
    check.check_others,
    pictures.read_pictures,
    prose.mark_prose,
)
"""What makes a pack of a text, whatever job it tells."""

PASSES: Passes = (*LANGUAGE, prove.prove, accept.apply_accepts)
"""The whole compiler, in order. A pass raises Stop, after an error, when nothing after it could be read."""


@dataclass(frozen=True, slots=True)
class Result:
    """What a compilation gives: a pack when there is no error, and all findings in the order of the file."""

    pack: CompiledPack | None
    findings: tuple[Finding, ...]

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Return the findings that keep the pack from compiling."""
        return tuple(finding for finding in self.findings if finding.severity == "error")


def compile_bytes(
    content: bytes, file: str, files: Mapping[str, bytes], slug: str = "pack", passes: Passes = PASSES
) -> Result:
    """Compile the bytes of a pack.md.

    file: the name shown in findings. files: the pack's folder, name → content. slug: its name in addresses.
    """
    with collector_at_rest():
        return run_passes(Draft(file, content, files), slug, passes)


def run_passes(draft: Draft, slug: str, passes: Passes) -> Result:
    """Run passes over a draft, and return what is left of it."""
    try:
        for run in passes:
            run(draft)
    except Stop:
        pass
    findings = draft.with_lines()
    broken = any(finding.severity == "error" for finding in findings)
    return Result(None if broken else resolve.resolve(draft, slug), findings)


@contextmanager
def collector_at_rest() -> Iterator[None]:
    """Let Python's collector of reference cycles rest while a pack grows.

    It would walk the whole growing pack again and again and find nothing, because a draft has no cycles. That
    was a sixth of the time that 1,000 steps take.
    """
    worked = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if worked:
            gc.enable()


def compile_folder(folder: Path, passes: Passes = PASSES) -> Result:
    """Compile the pack in a folder: pack.md and the pictures beside it."""
    path = folder / "pack.md"
    try:
        slug = os.path.basename(os.path.realpath(folder))
        if not re.fullmatch(ID, slug) or len(slug) > 60:
            return refused(
                "folder-name",
                path,
                f"the folder “{visible(slug)[:60]}” cannot name a pack",
                "the folder's name is the pack's address",
                "small letters, digits and hyphens, beginning with a letter: coolant-pump",
            )
        content = read_file(path, source.LARGEST + 1)
        files = Folder(folder)
    except (OSError, ValueError) as problem:  # ValueError: a name that no file can have
        reason = getattr(problem, "strerror", None) or "no such file"
        return refused(
            "pack-missing",
            path,
            f"the pack cannot be opened: {reason}",
            "a pack is a folder that holds pack.md and its pictures",
            "the folder's name, for example content/coolant-pump",
        )
    return compile_bytes(content, visible(str(path)), files, slug, passes)


class Folder(Mapping[str, bytes]):
    """What lies beside a pack.md: name → content, read when it is asked for."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.names = sorted(one.name for one in folder.iterdir() if one.name != "pack.md")

    def __getitem__(self, name: str) -> bytes:
        """Return a file, cut where it is too large for a picture. Raises OSError if it is none."""
        if name not in self.names:
            raise KeyError(name)
        return read_file(self.folder / name, pictures.LARGEST + 1)

    def __iter__(self) -> Iterator[str]:
        """Yield the names."""
        return iter(self.names)

    def __len__(self) -> int:
        """Return how many files there are."""
        return len(self.names)


def read_file(path: Path, most: int) -> bytes:
    """Return at most so many bytes of a file. Raises OSError if it is none, or a link out of its folder."""
    if path.is_symlink() and os.path.dirname(os.path.realpath(path)) != os.path.realpath(path.parent):
        raise OSError(None, "it is a link to another folder")
    if path.exists() and not path.is_file():
        raise OSError(None, "it is not a file")
    with path.open("rb") as file:
        return file.read(most)


def refused(code: str, path: Path, what: str, why: str, write: str) -> Result:
    """Return the result of a pack that could not be opened."""
    return Result(None, (Finding(code, "error", Place(visible(str(path)), 1), what, why, write),))


def visible(name: str) -> str:
    """Return a name of the disk as it can be shown: it may hold bytes that are no text, or signs that act."""
    return INVISIBLE.sub("\ufffd", name.encode(errors="replace").decode())
