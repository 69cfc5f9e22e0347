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

from tests.thorough import trials

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 90
KILLS = trials(1, in_full=3)
ORDERS = trials(3, in_full=20)  # one in each of the three places
WORKER = ["worker", "--pool", "solo", "--loglevel", "WARNING"]
WORKER += ["--without-gossip", "--without-mingle", "--without-heartbeat"]

# Their folder starts from the tests' own database, which is made only for who is marked so.
pytestmark = [pytest.mark.slow, pytest.mark.django_db]

# A team large enough that a worker is caught at it: an order of a second or two.
LARGE = '{"members": 16, "baits": 24, "packs": 160, "shops": 8}'
SMALL = '{"members": 1, "baits": 2, "packs": 4, "shops": 1}'
SET_UP = """
import django; django.setup()
import json, sys
from tests.big_order import big_order_make
sys.argv[1] = big_order_make(**json.loads(sys.argv[1])) + "/work"
"""
# And one small order in each of as many matches, all asked for.
MANY = """
import django; django.setup()
import sys
from bait.models import Plan
from bait.writes.orders import order_ask
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Match, Person, Team
from tests.big_order import big_order_make
where = big_order_make(members=1, baits=2, packs=4, shops=1)
match, captain = Match.objects.get(pk=where.split("/")[6]), Person.objects.get(username="maud")
team = Team.objects.get(pk=where.split("/")[4])
angler = Plan.objects.get(entry__match=match).entry.angler
feeds = [{"bait": "b00", "amount": "1.5", "unit": "L"}]
plan = {"version": 0, "spare_percent": 10,
        "stages": [{"kind": "feed", "end_minute": 300, "feeds": feeds}]}
for n in range(int(sys.argv[1])):
    match.pk, match.slug = None, f"round-{n}"
    match.save()
    entry = match.entries.create(angler=angler, team=team)
    plan_save(captain, entry=entry, content=plan_content_parse(plan))
    order_ask(captain, team=team, match=match)
"""
# A worker that kills itself once in each order: before it, with the answer in hand, and with the
# version written and not yet committed, in turn. The next is forked as soon as it is dead, and
# the last once every lease has ended.
TRAPPED = """
import django; django.setup()
import os, signal, sys, time
from pathlib import Path
from django.db import connections
from django.utils import timezone
from bait.writes import orders
from matches.models import WorkRequest
from web.celery import app

KILLED = Path(os.environ["VAR_DIR"]) / "killed"

def die(order, at):
    if order.pk % 3 == at and not (KILLED / str(order.pk)).exists():
        (KILLED / str(order.pk)).touch()
        os.kill(os.getpid(), signal.SIGKILL)

def inputs(order, real=orders.order_inputs):
    die(order, 0)
    return real(order)

def keep(claim, real=orders._version_keep, **given):
    die(given["order"], 1)
    return real(claim, **given)

def create(claim, real=orders._version_create, **given):
    made = real(claim, **given)
    die(given["order"], 2)
    return made

orders.order_inputs, orders._version_keep, orders._version_create = inputs, keep, create
def work():
    connections.close_all()
    pid = os.fork()
    if not pid:
        app.worker_main(sys.argv[2:])
    os.waitpid(pid, 0)

while len(list(KILLED.iterdir())) < int(sys.argv[1]):
    work()
while WorkRequest.objects.filter(lease_until__gt=timezone.now()).exists():
    time.sleep(0.1)
work()
"""
ASK = """
import django; django.setup()
import json, sys, time, uuid
import web.urls
from django.test import Client
from matches.models import Person
client = Client(SERVER_NAME="localhost")
client.force_login(Person.objects.get(username="maud"))
began = time.monotonic()
answer = client.post(sys.argv[1])
seconds = time.monotonic() - began
note = {"id": str(uuid.uuid4()), "device": str(uuid.uuid4()), "seq": 1, "kind": "peg_note",
        "match": sys.argv[1].split("/")[6], "peg": "1", "recorded_at": "2026-06-20T13:05:11Z",
        "body": {"note": "weed"}}
push = {"protocol": 1, "device": note["device"], "facts": [note]}
pushed = client.post("/api/v1/sync/facts", json.dumps(push), content_type="application/json")
outcome = pushed.json()["outcomes"][0]["outcome"]
print(json.dumps([answer.status_code, seconds, [pushed.status_code, outcome]]))
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

    def ask(self, migrated: Path, size: str, **env: str) -> tuple[int, float, list[Any]]:
        """Fill the database and ask for the order over HTTP: the status, how long it took in
        seconds, and the status and outcome of a fact that a phone pushes afterwards.

        What the site imports is there before: every worker of a server has it when one asks.
        """
        shutil.copy(migrated, self.file)
        status, seconds, pushed = json.loads(self.run("-c", SET_UP + ASK, size, **env))
        return status, seconds, pushed

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

    def sweep(self) -> str:
        # Unchecked: the checks refuse a lease this short, and the tests would wait a minute.
        return self.run("-m", "django", "work_sweep", "--skip-checks")

    def worker_start(self, *by: str) -> subprocess.Popen[bytes]:
        """`by`: what of Python's starts it, Celery's own command by itself."""
        worker = subprocess.Popen(
            [sys.executable, *(by or ("-m", "celery", "-A", "web")), *WORKER],
            env=self.env,
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        self.workers.append(worker)
        return worker

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        with sqlite3.connect(f"file:{self.file}?mode=ro", uri=True, timeout=20) as db:
            return db.execute(query).fetchall()

    def works(self) -> list[tuple[Any, ...]]:
        return self.rows("select state, attempts from matches_workrequest order by asked_at")

    def wait_for(
        self, true: Callable[[], bool], *, each_s: float = 0.01, patience_s: float = PATIENCE_S
    ) -> None:
        """Watch the database until it is so; the processes are others', there is no event."""
        end = time.monotonic() + patience_s
        while not true():
            assert time.monotonic() < end, self.works()
            time.sleep(each_s)

    def kill_all(self) -> None:
        for worker in self.workers:
            if worker.poll() is None:
                os.killpg(worker.pid, signal.SIGKILL)
                worker.wait(timeout=10)


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    (tmp_path / "var").mkdir()
    here = Place(tmp_path / "var")
    yield here
    here.kill_all()


@pytest.fixture(scope="module")
def folder_asked(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Path:
    """A folder in which a small order was asked for once, copied for each test."""
    folder = tmp_path_factory.mktemp("place")
    assert Place(folder).ask(migrated_file, SMALL)[0] == 202
    return folder


@pytest.fixture
def place_asked(place: Place, folder_asked: Path) -> Place:
    shutil.copytree(folder_asked, place.folder, dirs_exist_ok=True)
    return place


@pytest.mark.fault("worker killed mid-order")
def test_a_worker_killed_in_the_middle_delays_the_order_and_loses_nothing(
    place: Place, migrated_file: Path
) -> None:
    assert place.ask(migrated_file, LARGE)[0] == 202
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


@pytest.mark.fault("worker killed mid-order")
def test_orders_whose_workers_are_each_killed_in_the_middle_are_each_worked_out_once(
    tmp_path: Path, migrated_file: Path
) -> None:
    place = Place(tmp_path)
    shutil.copy(migrated_file, place.file)
    (tmp_path / "killed").mkdir()
    place.run("-c", MANY, str(ORDERS))
    try:
        place.worker_start("-c", TRAPPED, str(ORDERS))
        done = {"done"}
        place.wait_for(lambda: {s for s, _ in place.works()} == done, each_s=0.2, patience_s=300)
    finally:
        place.kill_all()
    assert len(list((tmp_path / "killed").iterdir())) == ORDERS
    assert all(attempts >= 2 for _, attempts in place.works())
    per_order = "select count(*) from bait_orderversion group by order_id"
    assert place.rows(per_order) == [(1,)] * ORDERS
    assert place.rows("select count(*) from bait_order where current_id is null") == [(0,)]


def test_a_message_lost_while_no_worker_ran_is_found_by_the_sweeper(place_asked: Place) -> None:
    place = place_asked
    for message in (place.folder / "broker").glob("*.msg"):
        message.unlink()
    worker = place.worker_start()
    place.wait_for(lambda: place.works() == [("done", 1)], each_s=0.1)
    assert worker.poll() is None


@pytest.mark.fault("broker down at commit")
def test_a_broker_that_is_down_never_fails_the_request_and_the_order_still_comes(
    place: Place, migrated_file: Path
) -> None:
    down = "amqp://127.0.0.1:1//"
    status, seconds, pushed = place.ask(migrated_file, SMALL, BROKER_URL=down)
    assert status == 202
    assert seconds < 5
    assert pushed == [200, "accepted"]
    assert place.works() == [("waiting", 0)]
    assert place.sweep() == "Work: 1 woken, 0 given up.\n"
    place.worker_start()
    place.wait_for(lambda: place.works() == [("done", 1)], each_s=0.1)
    assert place.rows("select count(*) from bait_orderversion") == [(1,)]


def test_a_row_that_kills_every_worker_is_given_up_and_says_so(place_asked: Place) -> None:
    place = place_asked
    with sqlite3.connect(place.file) as db:
        db.execute(
            "update matches_workrequest set state = 'running', attempts = 5, "
            "lease = '018f0000000070008000000000000000', lease_until = '2026-01-01 00:00:00'"
        )
    assert place.sweep() == "Work: 0 woken, 1 given up.\n"
    assert place.rows("select state, problem from matches_workrequest") == [
        ("failed", "A worker stopped at this every time. Tell whoever runs the site.")
    ]
