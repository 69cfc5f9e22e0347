"""The bank app in three engines. `phone("tamsin")` gives a phone of the engine under test whose
person has signed in; `wire.cut()` makes the server dead to it, `wire.mend()` brings it back.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings

from tests.engines.engines import ENGINES, Engine
from tests.engines.phone import Phone
from tests.engines.processes import Processes, wait_for
from tests.engines.watched import page_watch
from tests.engines.wire import Wire

MEMORY = Path("/dev/shm")
MEMORY_WANTED = 1024**3
PhoneOf = Callable[..., Phone]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.engine)


def folder_made() -> Path:
    """Short, for sockets are made in it and their names may not be long. In memory where there is
    room: on a slow disk under load an engine's storage takes longer than the app waits for it."""
    roomy = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free >= MEMORY_WANTED
    usable = roomy and os.access(MEMORY, os.W_OK)
    return Path(tempfile.mkdtemp(prefix="bank-", dir=MEMORY if usable else None))


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A screen that nobody sees, for the engine that needs one."""
    processes = Processes(folder_made())
    try:
        processes.start(["Xvfb", "-displayfd", "1", "-screen", "0", "800x900x24"])
        number = wait_for(lambda: re.search(r"^(\d+)$", processes.printed(), re.M), "a display")
        yield f":{number[1]}"
    finally:
        processes.kill()
        shutil.rmtree(processes.folder, ignore_errors=True)


@pytest.fixture(params=ENGINES, ids=lambda engine: engine.name)
def engine(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Engine:
    """One engine after the other. Missing, it fails: these tests are never skipped."""
    it: Engine = request.param
    if missing := it.missing():
        pytest.fail(f"No {missing[0]}: on Debian, apt-get install {it.packages}.", pytrace=False)
    if it.name == "webkit":
        monkeypatch.setenv("DISPLAY", request.getfixturevalue("display"))
    return it


@pytest.fixture
def wire(lasting_world: Any, live_server: Any) -> Iterator[Wire]:
    between = Wire(live_server.thread.port)
    yield between
    between.cut()


@pytest.fixture
def phone(
    engine: Engine, wire: Wire, settings: LazySettings, monkeypatch: pytest.MonkeyPatch
) -> Iterator[PhoneOf]:
    """A maker of phones, each on a folder of its own; all ended after the test.

    `private`: a window that is to leave nothing behind. `without`: what of WITHOUT it lacks.
    """
    made: list[Processes] = []

    def make(username: str, *, private: bool = False, without: str | None = None) -> Phone:
        processes = Processes(folder_made())
        (processes.folder / "downloads").mkdir()
        made.append(processes)
        page_watch(processes.folder, settings, monkeypatch, without)
        it = Phone(engine, processes, wire.url, private=private)
        it.sign_in(username)
        return it

    yield make
    for processes in made:
        processes.kill()
        shutil.rmtree(processes.folder, ignore_errors=True)
