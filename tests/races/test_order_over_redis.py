"""An order worked out by a real worker process, woken over Redis, on the database in use."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from celery import current_app
from django.conf import settings
from django.db import connection
from kombu import pools

from bait.models import Order
from bait.writes.orders import order_ask
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import WorkRequest, WorkState

ROOT = Path(__file__).parents[2]
PATIENCE_S = 40
# A pool's process waits up to 30 s for its last result to be read; a worker told to stop in that
# moment no longer reads it.
STOP_S = 90

pytestmark = [pytest.mark.redis, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def empty_broker() -> Iterator[None]:
    """Redis as the settings name it, where other tests let messages end in memory."""
    assert settings.CELERY_BROKER_URL.startswith("redis://")
    conf = current_app.conf
    kept = conf.broker_url, conf.broker_transport_options
    conf.broker_url = settings.CELERY_BROKER_URL
    conf.broker_transport_options = settings.CELERY_BROKER_TRANSPORT_OPTIONS
    _pools_forget()
    current_app.control.purge()
    yield
    conf.broker_url, conf.broker_transport_options = kept
    _pools_forget()


def _pools_forget() -> None:
    """Connections are kept in pools that know the address they were made for."""
    current_app.pool.force_close_all()
    pools.reset()
    current_app._pool = None
    current_app.amqp._producer_pool = None


@pytest.fixture
def planned(lasting_world: Any, empty_broker: None) -> Any:
    """Wilmot plans nine pints of caster and a half, as in the worked example with its larder."""
    content = plan_content_parse(
        {
            "version": 0,
            "stages": [
                {
                    "kind": "opening",
                    "end_minute": 0,
                    "feeds": [{"bait": "caster", "amount": "8.5", "unit": "pint"}],
                }
            ],
        }
    )
    world = lasting_world
    plan_save(world.captain, entry=world.entries["Wilmot"], content=content)
    return world


@contextmanager
def worker() -> Iterator[Iterator[str]]:
    """A worker on the test's own database; gives the lines it logs."""
    at = connection.settings_dict
    database = f"postgres://{at['USER']}@{quote(at['HOST'], safe='')}/{at['NAME']}"
    words = ["-A", "web", "worker", "--concurrency", "1", "--loglevel", "INFO"]
    process = subprocess.Popen(
        [sys.executable, "-m", "celery", *words],
        cwd=ROOT,
        env={**os.environ, "DATABASE_URL": database},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    give_up = threading.Timer(PATIENCE_S, process.kill)
    give_up.start()
    try:
        assert process.stdout is not None
        yield iter(process.stdout)
    finally:
        give_up.cancel()
        process.terminate()
        try:
            process.communicate(timeout=STOP_S)
        finally:
            process.kill()


def lines_until(lines: Iterator[str], words: tuple[str, ...]) -> None:
    """Read the log up to a line that holds all of `words`."""
    read = []
    for line in lines:
        read.append(line)
        if all(word in line for word in words):
            return
    pytest.fail("The worker ended first:\n" + "".join(read[-30:]))


def until_done(lines: Iterator[str], work: WorkRequest) -> None:
    """Read the log until the row is done: a message may come twice, so one success is no proof."""
    while WorkRequest.objects.get(pk=work.pk).state != WorkState.DONE:
        lines_until(lines, ("order_work_out", "succeeded"))


def test_order_is_worked_out_by_a_worker_that_was_woken(planned: Any) -> None:
    with worker() as lines:
        lines_until(lines, ("ready.",))
        order, work = order_ask(planned.captain, team=planned.alders, match=planned.match)
        until_done(lines, work)
    version = Order.objects.get(pk=order.pk).current
    assert version is not None
    assert version.status == "optimal"
    # One shop without delivery: nine pints at 4.20.
    assert version.total_pence == 9 * 420


def test_order_whose_message_was_lost_is_found_by_the_next_worker(planned: Any) -> None:
    order, work = order_ask(planned.captain, team=planned.alders, match=planned.match)
    assert current_app.control.purge() == 1
    with worker() as lines:
        until_done(lines, work)
    assert Order.objects.get(pk=order.pk).versions.count() == 1


def test_order_asked_for_twice_is_one_version(planned: Any) -> None:
    with worker() as lines:
        lines_until(lines, ("ready.",))
        order, work = order_ask(planned.captain, team=planned.alders, match=planned.match)
        until_done(lines, work)
        order, again = order_ask(planned.captain, team=planned.alders, match=planned.match)
        until_done(lines, again)
    assert again.pk != work.pk
    assert Order.objects.get(pk=order.pk).versions.count() == 1
