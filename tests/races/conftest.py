"""A database that threads share: PostgreSQL when it is the one in use, else SQLite in a file."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connection, connections

from matches.problems import Problem


@contextmanager
def _file_in_use(path: Path) -> Iterator[None]:
    """The default database is `path` meanwhile; the one in memory is kept for the other tests."""
    kept, kept_settings = connections["default"], connections.settings["default"]
    connections.settings["default"] = kept_settings | {"NAME": str(path)}
    connections["default"] = connections.create_connection("default")
    try:
        yield
    finally:
        connections["default"].close()
        connections.settings["default"] = kept_settings
        connections["default"] = kept


@pytest.fixture
def shared_database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[None]:
    """What a thread commits, every other sees; with the settings the server itself runs on.

    Its tests are marked `django_db(transaction=True)`.
    """
    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        file = tmp_path / "shared.sqlite3"
        shutil.copy(request.getfixturevalue("migrated_file"), file)
        blocker = request.getfixturevalue("django_db_blocker")
        with blocker.unblock(), _file_in_use(file):
            assert connection.settings_dict["OPTIONS"]["transaction_mode"] == "IMMEDIATE"
            yield
    else:
        yield


@pytest.fixture
def shared_world(world_again: Callable[[], Any], shared_database: None) -> Any:
    """The same invented people as everywhere, where threads see them."""
    return world_again()


Together = Callable[[Sequence[Callable[[], Any]]], list[Any]]


@pytest.fixture
def together() -> Together:
    """Run all of these at once, each in a thread of its own; their answers, in order."""

    def run(works: Sequence[Callable[[], Any]]) -> list[Any]:
        gate = threading.Barrier(len(works))
        answers: list[Any] = [None] * len(works)

        def one(at: int) -> None:
            try:
                gate.wait(timeout=60)
                answers[at] = works[at]()
            except Exception as error:  # noqa: BLE001 - handed to the test, which fails on it
                answers[at] = error
            finally:
                connections.close_all()

        threads = [threading.Thread(target=one, args=(at,)) for at in range(len(works))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=120)
        for answer in answers:
            if isinstance(answer, Exception):
                raise answer
        return answers

    return run


def answered(work: Callable[[], Any]) -> Callable[[], Any]:
    """The work's answer, or the code it was refused with."""

    def run() -> Any:
        try:
            return work()
        except Problem as problem:
            return problem.code

    return run
