"""Pages for what went wrong: what, and what to do now. Never a traceback."""

from __future__ import annotations

from flask import Flask, render_template
from werkzeug.exceptions import HTTPException, InternalServerError

GO_ON = "Go back to the shelf and start from there. Jobs on this phone are kept: they are on the shelf too."
PLAIN = {
    404: ("There is no such page", GO_ON),
    405: ("This address does not take that", GO_ON),
    500: (
        "The server made a mistake",
        "Nothing you have ticked is lost: it is kept on the phone. Try once more; if it happens again, "
        "start the server again.",
    ),
}


class Gone(HTTPException):
    """Something that is asked for by name and is not there. what: one sentence; todo: what to do now."""

    code = 404

    def __init__(self, what: str, todo: str = GO_ON) -> None:
        super().__init__(todo)
        self.what = what


class Unclear(Gone):
    """A request that cannot be understood as it is."""

    code = 400


class Unable(Gone):
    """Something that this machine lacks a part for."""

    code = 503


def init_app(app: Flask) -> None:
    """Show every error as a page of ours."""
    app.register_error_handler(HTTPException, page)


def page(error: HTTPException) -> tuple[str, int]:
    """Return the page for an error. Flask turns whatever was not foreseen into a 500 and logs it."""
    code = error.code or InternalServerError.code
    if isinstance(error, Gone):
        what, todo = error.what, str(error.description)
    else:
        what, todo = PLAIN.get(code, ("This did not work", GO_ON))
    return render_template("error.html", what=what, todo=todo), code
