"""A sheet as an answer: made one at a time, and never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock

from flask import Response

from webapp.pack.compiled import CompiledPack
from webapp.sheet import SheetError

from .errors import Unable
from .headers import SHEET_POLICY

ONE_AT_A_TIME = Lock()
"""Sheets made side by side take as long as one after the other, and more memory."""


def printed(pack: CompiledPack, make: Callable[[], bytes]) -> Response:
    """Return the sheet of a pack as a response."""
    try:
        with ONE_AT_A_TIME:
            pdf = make()
    except SheetError as error:
        raise Unable(f"{error.what[0].upper()}{error.what[1:]}.", f"{error.write}.") from error
    response = Response(pdf, mimetype="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{pack.slug}.pdf"'
    response.headers["Content-Security-Policy"] = SHEET_POLICY
    return response
