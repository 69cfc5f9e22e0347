"""What `/readyz` says when a part is not as it should be, and that it says no more than that."""

from __future__ import annotations

import socket
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import OperationalError
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client

from web.running import readiness

pytestmark = pytest.mark.django_db
PARTS = {"database", "tables", "bank app", "disk", "broker"}


@pytest.fixture(autouse=True)
def built(settings: Any, tmp_path: Path) -> Iterator[None]:
    """A set-up with nothing wrong, looked at anew."""
    worker, shell = tmp_path / "serviceworker.js", tmp_path / "shell"
    worker.touch()
    shell.mkdir()
    (shell / "app.js").touch()
    settings.PWA_SERVICE_WORKER_PATH, settings.BANK_BUILT = str(worker), shell
    readiness.kept.forget()
    yield
    readiness.kept.forget()


def asked() -> tuple[int, dict[str, Any]]:
    answer = Client(HTTP_HOST="localhost").get("/readyz")
    return answer.status_code, answer.json()


def test_sound_set_up_is_ready_and_says_so_of_every_part() -> None:
    status, told = asked()
    assert (status, told["ready"]) == (200, True)
    assert told["parts"] == dict.fromkeys(PARTS, "ok")


def _unmigrated(patch: pytest.MonkeyPatch, settings: Any) -> None:
    patch.setattr(MigrationRecorder, "applied_migrations", lambda _self: {})


def _no_database(patch: pytest.MonkeyPatch, settings: Any) -> None:
    def refuse(_self: MigrationRecorder) -> None:
        raise OperationalError("connection to drawbag:hunter2 failed")

    patch.setattr(MigrationRecorder, "applied_migrations", refuse)


def _unbuilt(patch: pytest.MonkeyPatch, settings: Any) -> None:
    (settings.BANK_BUILT / "app.js").unlink()


def _no_worker_file(patch: pytest.MonkeyPatch, settings: Any) -> None:
    Path(settings.PWA_SERVICE_WORKER_PATH).unlink()


def _full(patch: pytest.MonkeyPatch, settings: Any) -> None:
    room = SimpleNamespace(free=readiness.ROOM_LEAST - 1)
    patch.setattr(readiness.shutil, "disk_usage", lambda _where: room)


@pytest.mark.parametrize(
    ("spoil", "wrong"),
    [
        (_unmigrated, {"tables"}),
        (_no_database, {"database", "tables"}),
        (_unbuilt, {"bank app"}),
        (_no_worker_file, {"bank app"}),
        (_full, {"disk"}),
    ],
)
def test_what_is_wrong_is_named_and_nothing_else_is_told(
    spoil: Callable[[pytest.MonkeyPatch, Any], None],
    wrong: set[str],
    monkeypatch: pytest.MonkeyPatch,
    settings: Any,
) -> None:
    spoil(monkeypatch, settings)
    status, told = asked()
    assert (status, told["ready"]) == (503, False)
    assert {part for part, state in told["parts"].items() if state == "wrong"} == wrong
    # Names and three words: no version, path, address or password can be among them.
    assert told.keys() == {"ready", "parts"} and told["parts"].keys() == PARTS
    assert set(told["parts"].values()) <= {"ok", "wrong", "away"}


@pytest.mark.parametrize("scheme", ["redis", "amqp"])
def test_broker_that_is_away_is_told_within_its_time_and_people_are_still_sent_here(
    settings: Any, scheme: str
) -> None:
    with socket.socket() as silent:  # it takes connections and never answers
        silent.bind(("127.0.0.1", 0))
        silent.listen()
        settings.CELERY_BROKER_URL = f"{scheme}://127.0.0.1:{silent.getsockname()[1]}//"
        began = time.monotonic()
        status, told = asked()
        assert time.monotonic() - began < 20 * readiness.BROKER_SECONDS
    assert (status, told["ready"], told["parts"]["broker"]) == (200, True, "away")


def test_many_who_ask_within_a_second_are_one_look(
    monkeypatch: pytest.MonkeyPatch, django_assert_num_queries: Any
) -> None:
    first = asked()
    monkeypatch.setattr(readiness.kept, "clock", lambda: readiness.kept.until - 0.001)
    with django_assert_num_queries(0):
        assert [asked() for _ in range(20)] == [first] * 20


def test_answer_is_looked_for_anew_after_a_second(
    monkeypatch: pytest.MonkeyPatch, settings: Any
) -> None:
    asked()
    _unbuilt(monkeypatch, settings)
    until = readiness.kept.until
    monkeypatch.setattr(readiness.kept, "clock", lambda: until)
    assert asked()[0] == 503


def test_look_that_hangs_is_told_to_the_next_who_ask_and_holds_no_more_threads(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(readiness, "LOOK_SECONDS", 0.01)
    with readiness.kept.lock:
        assert asked() == (503, {"ready": False, "parts": {"look": "wrong"}})
    assert asked()[0] == 200
