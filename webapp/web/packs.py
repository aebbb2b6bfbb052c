"""The shelf: a folder of packs, each compiled when its files change, found by slug or by hash."""

from __future__ import annotations

import os
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from flask import current_app

from webapp.compile import Result, compile_folder
from webapp.pack.compiled import CompiledPack, Picture
from webapp.pack.findings import Finding

KEPT = 32
"""So many compiled packs stay within reach by hash: a pack edited during a job does not lose the job."""


@dataclass(frozen=True, slots=True)
class Shelved:
    """One pack of the shelf as it compiles now."""

    slug: str
    folder: Path
    result: Result

    @property
    def pack(self) -> CompiledPack | None:
        """Return the compiled pack, or None when it has errors."""
        return self.result.pack

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Return what the compiler says about it."""
        return self.result.findings

    @property
    def errors(self) -> int:
        """Return how many findings keep it from compiling."""
        return sum(finding.severity == "error" for finding in self.findings)


class Shelf:
    """The packs of one folder. Safe to use from several threads."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._now: dict[str, tuple[tuple[object, ...], Shelved]] = {}
        self._by_hash: OrderedDict[str, CompiledPack] = OrderedDict()
        self._lock = Lock()

    def every(self) -> list[Shelved]:
        """Return every pack of the folder, compiled or not, by slug."""
        found = (self.by_slug(slug) for slug in sorted(self._slugs()))
        return [shelved for shelved in found if shelved]

    def by_slug(self, slug: str) -> Shelved | None:
        """Return the pack in the folder of this name, compiled anew if a file in it changed since."""
        if slug not in self._slugs():
            return None
        folder = self.folder / slug
        with self._lock:
            stamp = stamp_of(folder)
            known = self._now.get(slug)
            if known and known[0] == stamp:
                return known[1]
            shelved = Shelved(slug, folder, compile_folder(folder))
            self._now[slug] = stamp, shelved
            if shelved.pack:
                self._by_hash[shelved.pack.hash] = shelved.pack
                self._by_hash.move_to_end(shelved.pack.hash)
                while len(self._by_hash) > max(KEPT, 2 * len(self._now)):
                    self._by_hash.popitem(last=False)
            return shelved

    def by_hash(self, name: str) -> CompiledPack | None:
        """Return the pack of this hash: one that is there, or was there since the server started."""
        if name not in self._by_hash:
            self.every()
        return self._by_hash.get(name)

    def picture(self, file: str) -> Picture | None:
        """Return a picture by the file name it is served by."""
        for attempt in ("what is known", "all"):
            if attempt == "all":
                self.every()
            for pack in list(self._by_hash.values()):
                for picture in pack.pictures:
                    if picture.file == file:
                        return picture
        return None

    def _slugs(self) -> set[str]:
        try:
            return {entry.name for entry in os.scandir(self.folder) if (Path(entry) / "pack.md").is_file()}
        except OSError:
            return set()


def stamp_of(folder: Path) -> tuple[object, ...]:
    """Return what changes when a file of the folder does: names, sizes and times."""
    try:
        found = [(entry.name, entry.stat()) for entry in os.scandir(folder)]
    except OSError:
        return ()
    return tuple(sorted((name, stat.st_size, stat.st_mtime_ns) for name, stat in found))


def the_shelf() -> Shelf:
    """Return the shelf that the running program serves."""
    return current_app.extensions["shelf"]
