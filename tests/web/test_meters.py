"""What is counted, read back as a Prometheus server would, and who may read it."""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.db import OperationalError, connection
from django.test import Client
from django.utils import timezone
from prometheus_client.parser import text_string_to_metric_families

from bait.writes.orders import ORDER_WORK
from matches.models import Delivery, DeliveryState, Webhook, WorkRequest
from tests.web.phone import Phone
from web.running import meters
from web.running.database_errors import errors_watch
from web.running.meters_shared import meters_tidy
from web.settings import BASE_DIR

pytestmark = pytest.mark.django_db
Key = tuple[str, frozenset[tuple[str, str]]]


def read(text: str) -> dict[Key, float]:
    return {
        (sample.name, frozenset(sample.labels.items())): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def told() -> dict[Key, float]:
    answer = Client(HTTP_HOST="localhost").get("/metrics")
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/plain; version=")
    return read(answer.content.decode())


def risen(before: dict[Key, float], name: str, **labels: str) -> float:
    key = (name, frozenset(labels.items()))
    return told().get(key, 0) - before.get(key, 0)


def test_requests_are_told_by_route_and_never_by_path() -> None:
    before = told()
    client = Client(HTTP_HOST="localhost")
    for _ in range(3):
        client.get("/board/never-was/")
    client.get("/no-such-page-at-all")
    client.generic("BREW", "/healthz")
    requests = "drawbag_http_requests_total"
    assert risen(before, requests, route="board:club", method="GET", status="404") == 3
    assert risen(before, requests, route="none", method="GET", status="404") == 1
    assert risen(before, requests, route="health", method="other", status="200") == 1
    seconds = "drawbag_http_request_duration_seconds_count"
    assert risen(before, seconds, route="board:club", method="GET") == 3
    assert "never-was" not in str(told()) and "no-such-page" not in str(told())


def test_facts_of_a_push_are_told_by_what_became_of_them(world: Any) -> None:
    before = told()
    phone = Phone(world.weigher, world.match)
    fact = phone.weigh("1", 4250)
    phone.push([fact])
    phone.push([fact, fact | {"id": str(uuid.uuid4()), "kind": "nonsense"}])
    assert risen(before, "drawbag_facts_total", outcome="accepted") == 1
    assert risen(before, "drawbag_facts_total", outcome="duplicate") == 1
    assert risen(before, "drawbag_facts_total", outcome="refused") == 1
    assert risen(before, "drawbag_sync_push_facts_count", packing="plain") == 2
    assert risen(before, "drawbag_sync_push_facts_sum", packing="plain") == 3
    assert risen(before, "drawbag_sync_push_size_bytes_sum", packing="plain") > 200


def test_work_that_waits_is_told_with_its_age_and_none_as_nought(world: Any) -> None:
    kind = {"kind": ORDER_WORK}
    assert risen({}, "drawbag_work_rows", **kind, state="waiting") == 0
    assert ("drawbag_work_rows", frozenset({*kind.items(), ("state", "waiting")})) in told()
    work = WorkRequest.objects.create(club=world.club, kind=ORDER_WORK, key="1")
    WorkRequest.objects.update(asked_at=work.asked_at.replace(year=work.asked_at.year - 1))
    assert risen({}, "drawbag_work_rows", **kind, state="waiting") == 1
    assert risen({}, "drawbag_work_oldest_age_seconds", **kind) > 364 * 86_400


def test_messages_to_other_sites_are_told_while_they_wait(world: Any) -> None:
    assert risen({}, "drawbag_webhook_deliveries_waiting") == 0
    now = timezone.now()
    hook = Webhook.objects.create(club=world.club, address="https://other.example/")
    for state in (DeliveryState.WAITING, DeliveryState.SENT):
        made = now - dt.timedelta(hours=1)
        Delivery.objects.create(webhook=hook, event="x", made_at=made, due_at=now, state=state)
    assert risen({}, "drawbag_webhook_deliveries_waiting") == 1
    assert 3600 <= risen({}, "drawbag_webhook_oldest_age_seconds") < 3700


def test_statement_on_a_locked_database_is_told_as_busy() -> None:
    before = told()
    errors_watch(connection)

    def locked(*_: Any) -> None:
        raise OperationalError("database is locked")

    with connection.execute_wrapper(locked), pytest.raises(OperationalError):
        connection.cursor().execute("SELECT 1")
    assert risen(before, "drawbag_database_errors_total", kind="busy") == 1


@pytest.mark.parametrize(
    ("token", "behind", "asked", "status"),
    [
        ("", False, {}, 200),
        ("", False, {"REMOTE_ADDR": "203.0.113.9"}, 404),
        ("", False, {"HTTP_X_FORWARDED_FOR": "203.0.113.9"}, 404),
        ("", True, {}, 404),
        ("", False, {"REMOTE_ADDR": ""}, 404),
        ("s3cret", False, {}, 404),
        (
            "s3cret",
            True,
            {"HTTP_AUTHORIZATION": "Bearer s3cret", "REMOTE_ADDR": "203.0.113.9"},
            200,
        ),
        ("s3cret", True, {"HTTP_AUTHORIZATION": "Bearer wrong"}, 404),
        ("s3cret", True, {"HTTP_AUTHORIZATION": "Bearer \xe9"}, 404),
        ("", True, {"HTTP_AUTHORIZATION": "Bearer "}, 404),
    ],
)
def test_numbers_are_for_who_has_the_token_or_is_on_the_machine(
    settings: Any, token: str, behind: bool, asked: dict[str, str], status: int
) -> None:
    settings.METRICS_TOKEN, settings.BEHIND_PROXY = token, behind
    assert Client(HTTP_HOST="localhost").get("/metrics", **asked).status_code == status


def test_no_label_takes_what_a_stranger_can_choose() -> None:
    bounded = {"route", "method", "status", "outcome", "packing", "task", "result", "kind"}
    for metric in meters.OURS.collect():
        for sample in metric.samples:
            assert sample.labels.keys() <= bounded | {"le"}


COUNT = """
import os
from web.running.meters_shared import meters_share
from pathlib import Path
meters_share(Path(os.environ["VAR_DIR"]))
import django; django.setup()
from web.running import meters
from web.running.meters_told import meters_text
meters.FACTS.labels("accepted").inc(2)
print(meters_text().decode())
"""


def counted(folder: Path) -> dict[Key, float]:
    """Two facts counted by a process of its own, and what it then tells."""
    env = {**os.environ, "VAR_DIR": str(folder), "DATABASE_URL": ""}
    env.pop("PROMETHEUS_MULTIPROC_DIR", None)
    words = [sys.executable, "-c", COUNT]
    ended = subprocess.run(words, env=env, cwd=BASE_DIR, capture_output=True, text=True, check=True)
    return read(ended.stdout)


def test_processes_of_one_machine_count_together_until_the_dead_are_tidied_away(
    tmp_path: Path,
) -> None:
    accepted = ("drawbag_facts_total", frozenset({("outcome", "accepted")}))
    assert [counted(tmp_path)[accepted] for _ in range(2)] == [2, 4]
    own = tmp_path / "metrics" / f"counter_{os.getpid()}.db"
    own.touch()
    meters_tidy(tmp_path / "metrics")
    assert list((tmp_path / "metrics").iterdir()) == [own]
