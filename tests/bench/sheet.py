"""What a sheet costs beside WeasyPrint printing the same HTML untagged: `python -m tests.bench.sheet`.

Both are run in turns in one process, after one run each that is not counted, and compared by the medians of
their processor time, which other work on the machine disturbs less. The promise is at most 1.3 times.
"""

from __future__ import annotations

from statistics import median
from time import process_time

from webapp.compile import compile_folder
from webapp.pack.compiled import CompiledPack
from webapp.places import CONTENT
from webapp.sheet import make_sheet, sheet_html
from webapp.sheet.pdf import NOWHERE, load, own_pictures

LINK = "https://bay.test:8443/jobs/0123456789abcdef"
RUNS = 5
PROMISE = 1.3


def ours(pack: CompiledPack) -> float:
    """Return the seconds that our sheet takes."""
    start = process_time()
    make_sheet(pack, {}, "us", "a4", LINK)
    return process_time() - start


def bare(pack: CompiledPack, html: str) -> float:
    """Return the seconds that WeasyPrint takes for the same HTML and pictures, with nothing asked of it."""
    start = process_time()
    load().HTML(string=html, base_url=NOWHERE, url_fetcher=own_pictures(pack.pictures)).write_pdf()
    return process_time() - start


def main() -> None:
    """Print the ratio for each pack that ships."""
    for folder in sorted(path.parent for path in CONTENT.glob("*/pack.md")):
        pack = compile_folder(folder).pack
        if pack is None:
            print(f"{folder.name}: does not compile")
            continue
        html = sheet_html(pack, {}, "us", "a4", LINK)
        turns = [(bare(pack, html), ours(pack)) for _ in range(RUNS + 1)][1:]
        floor, sheet = (median(times) for times in zip(*turns, strict=True))
        print(
            f"{folder.name}: sheet {sheet:.2f} s, bare WeasyPrint {floor:.2f} s, "
            f"ratio {sheet / floor:.2f} (promise: at most {PROMISE})"
        )


if __name__ == "__main__":
    main()
