"""A sheet is made from the pack alone, and a system that cannot print says what it lacks."""

import builtins
import http.server
import threading

import pytest

from webapp.sheet import SheetError
from webapp.sheet.pdf import NOWHERE, load, print_html


@pytest.fixture
def listener():
    """Return a server on this machine and the requests it has heard."""
    heard = []

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            heard.append(self.path)
            self.send_error(404)

        def log_message(self, *_):
            pass

    server = http.server.HTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", heard
    server.shutdown()
    thread.join()
    server.server_close()


def page(body):
    return f'<!DOCTYPE html><html lang="en"><title>t</title><body>{body}</body></html>'


def test_a_picture_of_the_pack_is_printed(pack):
    (picture,) = pack.pictures
    assert print_html(page(f'<img alt="a" src="/pictures/{picture.file}">'), pack.pictures).startswith(
        b"%PDF-1.7"
    )


@pytest.mark.parametrize(
    "markup",
    [
        '<img alt="a" src="{}/x.png">',
        '<img alt="a" src="file:///etc/hostname">',
        '<img alt="a" src="/pictures/not-of-this-pack.svg">',
        f'<img alt="a" src="{NOWHERE}x.png">',
        '<img alt="a" src="data:image/png;base64,AAAA">',
        '<link rel="stylesheet" href="{}/x.css">',
        "<style>@import url('{}/x.css')</style>",
        "<style>p {{ background: url('file:///etc/hostname') }}</style><p>a",
        "<style>@font-face {{ font-family: x; src: url('{}/x.ttf') }}</style><p style='font-family: x'>a",
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><image href="{}/x.png"/></svg>',
    ],
)
def test_nothing_from_outside_the_pack_is_fetched(pack, listener, markup):
    address, heard = listener
    with pytest.raises(SheetError, match="not the pack's own"):
        print_html(page(markup.format(address)), pack.pictures)
    assert heard == []


def test_a_system_without_pango_says_so_in_a_sentence(monkeypatch):
    real = builtins.__import__

    def without_pango(name, *rest):
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without_pango)
    with pytest.raises(SheetError, match=r"PDF needs the library Pango.*Install libpango-1\.0-0") as refused:
        load()
    assert refused.value.write
