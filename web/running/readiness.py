"""Whether this process can serve: what `/readyz` says, part by part, in words without detail.

Strangers may ask, so an answer names parts and states only; what exactly is wrong goes to the log.
"""

from __future__ import annotations

import logging
import shutil
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from kombu.connection import Connection
from kombu.exceptions import KombuError

KEPT_SECONDS: Final = 1.0
BROKER_SECONDS: Final = 1.0
LOOK_SECONDS: Final = 3.0
ROOM_LEAST: Final = 64 * 1024 * 1024
OK, WRONG, AWAY = "ok", "wrong", "away"
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Readiness:
    """`ready` is whether to send people here; `parts` is a state for each part's name.

    A broker that is away does not make a process unready: work is a row before the broker hears
    of it, beat wakes the workers seconds later, and phones must go on sending.
    """

    ready: bool
    parts: dict[str, str]


#: What is told while somebody else's look takes too long, so that a database that hangs does not
#: take every thread there is.
SLOW: Final = Readiness(False, {"look": WRONG})


class _Kept:
    """The last answer, and until when it is given again: however many ask, one looks."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.clock = time.monotonic
        self.answer: Readiness | None = None
        self.until = 0.0

    def get(self, work_out: Callable[[], Readiness]) -> Readiness:
        if not self.lock.acquire(timeout=LOOK_SECONDS):
            return SLOW
        try:
            if self.answer is None or self.clock() >= self.until:
                self.answer = work_out()
                self.until = self.clock() + KEPT_SECONDS
            return self.answer
        finally:
            self.lock.release()

    def forget(self) -> None:
        self.until = 0.0


kept = _Kept()


def readiness() -> Readiness:
    """The state of every part, at most a second old."""
    return kept.get(readiness_now)


def readiness_now() -> Readiness:
    """The state of every part, looked at now."""
    parts = {
        **_database(),
        "bank app": _asked("bank app", _bank_app),
        "disk": _asked("disk", _disk),
        "broker": _asked("broker", _broker),
    }
    return Readiness(WRONG not in parts.values(), parts)


def _database() -> dict[str, str]:
    try:
        missing = _migrations_written() - MigrationRecorder(connection).applied_migrations().keys()
    except DatabaseError as error:
        log.warning("Not ready: database: %s", error)
        return {"database": WRONG, "tables": WRONG}
    if missing:
        log.warning("Not ready: tables: %d migrations are not applied", len(missing))
    # Tables newer than the code are fine: they come first when a new version is rolled out.
    return {"database": OK, "tables": WRONG if missing else OK}


@cache
def _migrations_written() -> frozenset[tuple[str, str]]:
    """Those of this code, which does not change while it runs."""
    return frozenset(MigrationLoader(None).graph.nodes)


def _asked(name: str, ask: Callable[[], str]) -> str:
    try:
        state = ask()
    except OSError as error:
        log.warning("Not ready: %s: %s", name, error)
        return WRONG
    if state is WRONG:
        log.warning("Not ready: %s", name)
    return state


def _bank_app() -> str:
    worker, shell = Path(settings.PWA_SERVICE_WORKER_PATH), Path(settings.BANK_BUILT)
    return OK if worker.is_file() and any(shell.iterdir()) else WRONG


def _disk() -> str:
    return OK if shutil.disk_usage(settings.VAR_DIR).free >= ROOM_LEAST else WRONG


def _broker() -> str:
    bounds = {"socket_connect_timeout": BROKER_SECONDS, "socket_timeout": BROKER_SECONDS}
    options = {**settings.CELERY_BROKER_TRANSPORT_OPTIONS, **bounds}
    try:
        with Connection(  # type: ignore[no-untyped-call]
            settings.CELERY_BROKER_URL, connect_timeout=BROKER_SECONDS, transport_options=options
        ) as broker:
            broker.ensure_connection(max_retries=1, timeout=BROKER_SECONDS)
    except (KombuError, OSError) as error:
        log.warning("The broker is away, work is woken by beat: %s", error)
        return AWAY
    return OK
