"""The server: granian, on this machine only."""

from __future__ import annotations

import errno
import os
import signal
import socket
from functools import partial
from pathlib import Path
from typing import Any

from granian import Granian
from granian.constants import Interfaces

HOST = "127.0.0.1"


class PortTakenError(Exception):
    """The port cannot be had. Its text is for the person who starts the server."""


def load(packs: Path, port: int, _target: str) -> Any:
    """Make the program in the process that serves it.

    That process leaves the group that a Ctrl-C in the terminal goes to: its parent alone stops it. Told twice
    at once, it would wait for ever; stopped before its parent, it would count as crashed.
    """
    if hasattr(os, "setpgid"):  # not on Windows
        os.setpgid(0, 0)
    from webapp.web import create_app

    return create_app(packs, f"http://{HOST}:{port}")


def claim(port: int) -> None:
    """Raise PortTakenError when the port cannot be had."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as error:
            taken = error.errno == errno.EADDRINUSE
            why = "another program uses it" if taken else error.strerror or str(error)
            raise PortTakenError(
                f"Port {port} cannot be had: {why}. "
                f"Try another: droplight serve --port {other(port)}, or make run PORT={other(port)}."
            ) from error


def other(port: int) -> int:
    """Return a port worth trying instead."""
    return port + 1 if 1024 <= port < 65535 else 8322


def serve(port: int, packs: Path) -> None:
    """Serve a folder of packs until Ctrl-C, or until the terminal is closed."""
    server = Granian(
        "webapp.web",
        address=HOST,
        port=port,
        interface=Interfaces.WSGI,
        blocking_threads=4,
        log_enabled=False,
    )
    if hasattr(signal, "SIGHUP"):  # not on Windows; granian itself would load the program anew and stay
        server.on_startup(lambda: signal.signal(signal.SIGHUP, server.signal_handler_interrupt))
    server.serve(target_loader=partial(load, packs, port))
