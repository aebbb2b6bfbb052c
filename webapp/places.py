"""Where the files lie that are not code: in a wheel inside the package, in a checkout beside it."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_HOLDS_BOTH = _PACKAGE if (_PACKAGE / "static").is_dir() else _PACKAGE.parent

STATIC: Path = _HOLDS_BOTH / "static"
"""Style sheets, scripts and symbols, served as they stand."""

CONTENT: Path = _HOLDS_BOTH / "content"
"""The packs that ship: one folder for each, named by the pack's slug, with its `pack.md` and pictures."""
