"""Workers killed in the middle, messages lost, brokers down: each order is worked out once.

Real `celery worker` processes on the filesystem broker with a SQLite file, in a folder of their
own. What is asked goes through the API; nothing but the process ids is known to the tests.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 90
KILLS = 3

# Their folder starts from the tests' own database, which is made only for who is marked so.
pytestmark = [pytest.mark.slow, pytest.mark.django_db]

# A team large enough that a worker is caught at it: 20 members, 30 baits, 200 packs, 10 shops.
SET_UP = """
import django; django.setup()
from tests.big_order import big_order_make
print(big_order_make())
"""
ASK = """
import django; django.setup()
import json, sys, time
import web.urls
from django.test import Client
from matches.models import Person
client = Client(SERVER_NAME="localhost")
client.force_login(Person.objects.get(username="maud"))
began = time.monotonic()
answer = client.post(sys.argv[1])
print(json.dumps([answer.status_code, time.monotonic() - began]))
"""


class Place:
    """A folder with its own database, broker and workers."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / "drawbag.sqlite3"
        self.workers: list[subprocess.Popen[bytes]] = []
        self.env = {
            **{k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "BROKER_URL")},
            "DJANGO_SETTINGS_MODULE": "web.settings",
            "PYTHONPATH": str(ROOT),
            "VAR_DIR": str(folder),
            "WORK_LEASE_SECONDS": "2",
        }

    def set_up(self, migrated: Path) -> None:
        shutil.copy(migrated, self.file)
        (self.folder / "order-url").write_text(self.run("-c", SET_UP).strip())

    @property
    def order_url(self) -> str:
        return (self.folder / "order-url").read_text()

    def run(self, *words: str, **env: str) -> str:
        done = subprocess.run(
            [sys.executable, *words],
            env={**self.env, **env},
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def ask(self, **env: str) -> tuple[int, float]:
        """Ask for the order over HTTP: the status, and how long it took in seconds.

        What the site imports is there before: every worker of a server has it when one asks.
        """
        status, seconds = json.loads(self.run("-c", ASK, f"{self.order_url}/work", **env))
        return status, seconds

    def sweep(self) -> str:
        # Unchecked: the checks refuse a lease this short, and the tests would wait a minute.
        return self.run("-m", "django", "work_sweep", "--skip-checks")

    def worker_start(self) -> subprocess.Popen[bytes]:
        words = ["-A", "web", "worker", "--pool", "solo", "--loglevel", "WARNING"]
        plain = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
        worker = subprocess.Popen(
            [sys.executable, "-m", "celery", *words, *plain],
            env=self.env,
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self.workers.append(worker)
        return worker

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        with sqlite3.connect(f"file:{self.file}?mode=ro", uri=True, timeout=20) as db:
            return db.execute(query).fetchall()

    def works(self) -> list[tuple[Any, ...]]:
        return self.rows("select state, attempts from matches_workrequest order by asked_at")

    def wait_for(self, true: Callable[[], bool], *, each_s: float = 0.01) -> None:
        """Watch the database until it is so; the processes are others', there is no event."""
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, self.works()
            time.sleep(each_s)

    def kill_all(self) -> None:
        for worker in self.workers:
            if worker.poll() is None:
                worker.send_signal(signal.SIGKILL)
                worker.wait(timeout=10)


@pytest.fixture(scope="module")
def place_set_up(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Path:
    """A folder filled once and copied for each test."""
    folder = tmp_path_factory.mktemp("place")
    Place(folder).set_up(migrated_file)
    return folder


@pytest.fixture
def place(tmp_path: Path, place_set_up: Path) -> Iterator[Place]:
    here = Place(Path(shutil.copytree(place_set_up, tmp_path / "var")))
    yield here
    here.kill_all()


@pytest.mark.fault("worker killed mid-order")
def test_a_worker_killed_in_the_middle_delays_the_order_and_loses_nothing(place: Place) -> None:
    assert place.ask()[0] == 202
    for kill in range(1, KILLS + 1):
        worker = place.worker_start()
        # Its sweep at the start finds what was asked, or what the last one left.
        place.wait_for(lambda n=kill: place.works() == [("running", n)])  # type: ignore[misc]
        worker.send_signal(signal.SIGKILL)
        worker.wait(timeout=10)
        assert place.works() == [("running", kill)]
        assert place.rows("select count(*) from bait_orderversion") == [(0,)]
        ended = "select count(*) from matches_workrequest where lease_until < datetime('now')"
        place.wait_for(lambda q=ended: place.rows(q) == [(1,)], each_s=0.1)  # type: ignore[misc]
    place.worker_start()
    place.wait_for(lambda: place.works() == [("done", KILLS + 1)], each_s=0.1)
    assert place.rows("select number, count(*) from bait_orderversion") == [(1, 1)]
    assert place.rows("select count(distinct version_id), count(*) > 0 from bait_orderline") == [
        (1, 1)
    ]
    total, shared = place.rows(
        "select total_pence, (select sum(due_pence) from bait_share) from bait_orderversion"
    )[0]
    assert total == shared > 0


def test_a_message_lost_while_no_worker_ran_is_found_by_the_sweeper(place: Place) -> None:
    assert place.ask()[0] == 202
    for message in (place.folder / "broker").glob("*.msg"):
        message.unlink()
    worker = place.worker_start()
    place.wait_for(lambda: place.works() == [("done", 1)], each_s=0.1)
    assert worker.poll() is None


@pytest.mark.fault("broker down at commit")
def test_a_broker_that_is_down_never_fails_the_request_and_the_order_still_comes(
    place: Place,
) -> None:
    status, seconds = place.ask(BROKER_URL="amqp://127.0.0.1:1//")
    assert status == 202
    assert seconds < 5
    assert place.works() == [("waiting", 0)]
    assert place.sweep() == "Work: 1 woken, 0 given up.\n"
    place.worker_start()
    place.wait_for(lambda: place.works() == [("done", 1)], each_s=0.1)
    assert place.rows("select count(*) from bait_orderversion") == [(1,)]


def test_a_row_that_kills_every_worker_is_given_up_and_says_so(place: Place) -> None:
    assert place.ask()[0] == 202
    with sqlite3.connect(place.file) as db:
        db.execute(
            "update matches_workrequest set state = 'running', attempts = 5, "
            "lease = '018f0000000070008000000000000000', lease_until = '2026-01-01 00:00:00'"
        )
    assert place.sweep() == "Work: 0 woken, 1 given up.\n"
    assert place.rows("select state, problem from matches_workrequest") == [
        ("failed", "A worker stopped at this every time. Tell whoever runs the site.")
    ]
