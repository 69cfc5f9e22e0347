"""The site as the demo serves it: gunicorn, two processes of four threads, on loopback."""

from __future__ import annotations

import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from .migrated import ROOT

TRIES: Final = 600
NEVER: Final = threading.Event()


@contextmanager
def gunicorn() -> Iterator[int]:
    """Its port."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = int(free.getsockname()[1])
    words = ["--workers", "2", "--threads", "4", "--backlog", "2048", "--log-level", "error"]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "web.wsgi", "--bind", f"127.0.0.1:{port}", *words],
        cwd=ROOT,
        stderr=subprocess.DEVNULL,  # a line for each phone that is told to come again
    )
    try:
        _wait(port)
        yield port
    finally:
        server.terminate()
        try:
            server.wait(20)
        except subprocess.TimeoutExpired:
            server.kill()


def _wait(port: int) -> None:
    for _ in range(TRIES):
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            NEVER.wait(0.1)
        else:
            return
    raise SystemExit("the server did not start within a minute")


def session_of(person: Any) -> str:
    """The cookie of somebody who is signed in."""
    from django.conf import settings

    from tests.bench.site import client_of

    return str(client_of(person).cookies[settings.SESSION_COOKIE_NAME].value)
