"""The program with one page more, /bare: the words of the largest job, written by hand as it were."""

from __future__ import annotations

import re
import sys
from html import escape
from html.parser import HTMLParser
from typing import Any

from granian import Granian
from granian.constants import Interfaces

from webapp.compile import compile_folder
from webapp.pack.compiled import CompiledPack
from webapp.places import CONTENT
from webapp.web import create_app
from webapp.web.headers import allow_style

STYLE = "body{font:18px/1.5 system-ui;margin:12px}section{margin:0 0 24px}"
BLOCKS = {"h1", "h2", "h3", "p", "li", "dt", "dd", "legend", "label", "button", "summary"}


class Words(HTMLParser):
    """The words of a job page, block by block."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.blocks: list[str] = [""]
        self.silent = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.silent += tag in ("style", "script", "title")
        if tag in BLOCKS:
            self.blocks.append("")

    def handle_endtag(self, tag: str) -> None:
        self.silent -= tag in ("style", "script", "title")

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.blocks[-1] += data


def bare_page(job: str, title: str) -> str:
    """Return a page as one would write it by hand: these words, one small style, nothing else."""
    blocks = (re.sub(r"\s+", " ", block).strip() for block in Words(job).blocks)
    text = "\n".join(f"<p>{escape(block)}</p>" for block in blocks if block)
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><style>{STYLE}</style></head><body><h1>{escape(title)}</h1>{text}</body></html>"
    )


def load(_target: str) -> Any:
    """Make the program with one page more: /bare."""
    pack = largest()
    job = create_app(CONTENT).test_client().get(f"/jobs/{pack.hash}").text
    page = bare_page(job, pack.front.title)
    app = create_app(CONTENT)

    @app.get("/bare")
    def bare() -> str:
        allow_style(STYLE)
        return page

    return app


def serve(port: int) -> None:
    """Serve as `droplight serve` does."""
    Granian(
        "webapp.web",
        address="127.0.0.1",
        port=port,
        interface=Interfaces.WSGI,
        blocking_threads=4,
        log_enabled=False,
    ).serve(target_loader=load)


def largest() -> CompiledPack:
    """Return the pack that ships with the most steps."""
    packs = [compile_folder(path.parent).pack for path in CONTENT.glob("*/pack.md")]
    return max((pack for pack in packs if pack), key=lambda pack: (len(pack.steps), pack.slug))


if __name__ == "__main__":
    serve(int(sys.argv[1]))
