"""The pages: one blueprint for each thing a person does, its templates beside it."""

from __future__ import annotations

from pathlib import Path

from flask import Flask, Response, request
from flask_compress import Compress
from htmx_flask import Htmx
from jinja2 import StrictUndefined

from webapp import places

from . import assets, authors, bench, calendar, errors, headers, job, pack, pictures, shelf, words
from .packs import Shelf


def create_app(packs: Path = places.CONTENT, address: str = "") -> Flask:
    """Make the program for a folder of packs. It keeps no session and sets no cookie.

    address: where people reach it (`https://bay.example:8443`), for what is printed; without one no sheet
    names an address. What a request says of its host is never believed.
    """
    app = Flask(__name__, static_folder=None)
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.config.from_mapping(
        ADDRESS=address.rstrip("/"),
        COMPRESS_ALGORITHM=["br", "gzip"],  # zstd is quicker, but its output for pages is larger
        COMPRESS_BR_LEVEL=5,
    )
    app.extensions["shelf"] = Shelf(packs)
    # What runs after a request runs in reverse: headers, then compression, then “nothing changed since”.
    app.after_request(not_changed)
    Compress(app)
    headers.init_app(app)
    Htmx(app)
    for part in (assets, errors, words):
        part.init_app(app)
    for part in (shelf, pack, job, bench, authors, calendar, pictures):
        app.register_blueprint(part.bp)
    return app


def not_changed(response: Response) -> Response:
    """Answer “not changed” when the browser has these very bytes."""
    if response.status_code == 200 and response.get_etag()[0]:
        response.make_conditional(request)
    return response
