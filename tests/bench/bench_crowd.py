"""A thousand phones that find the signal at once: each hands in ten facts, until all are taken.

Through the server as the demo runs it (gunicorn, 2 processes of 4 threads). The reference is one
phone that hands the same facts in one after the other, to the same server. A phone that is told
503 waits as long as Retry-After says, as the app does. Nothing may be lost or taken twice.

Run it with: python tests/bench/bench_crowd.py
(on PostgreSQL: python .ci/scripts/with_servers.py postgres -- python tests/bench/bench_crowd.py)
"""

from __future__ import annotations

import http.client
import json
import os
import socket
import subprocess
import sys
import tempfile
import threading
import uuid
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
FOLDER = tempfile.mkdtemp(prefix="drawbag-bench-")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
os.environ["VAR_DIR"] = FOLDER

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402

from matches.models import Fact  # noqa: E402

PHONES, EACH, AT_ONCE, ALONE = 1_000, 10, 200, 50
PATIENCE_S = 300
NEVER = threading.Event()


def main() -> int:
    call_command("migrate", verbosity=0)
    from tests.conftest import make_world

    world = make_world()
    cookie = _session(world.weigher)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [
            *(sys.executable, "-m", "gunicorn", "web.wsgi", "--workers", "2", "--threads", "4"),
            *("--bind", f"127.0.0.1:{port}", "--backlog", "2048", "--log-level", "error"),
        ],
        cwd=ROOT,
    )
    try:
        _wait(port)
        alone = [_hand_in(port, cookie, world.match.pk)[0] for _ in range(ALONE)]
        began = perf_counter()
        with ThreadPoolExecutor(AT_ONCE) as crowd:
            jobs = [crowd.submit(_hand_in, port, cookie, world.match.pk) for _ in range(PHONES)]
            found = [job.result() for job in jobs]
        took = perf_counter() - began
    finally:
        server.terminate()
        server.wait(20)
    stored = Fact.objects.count()
    expected = (PHONES + ALONE) * EACH
    waits, again = [seconds for seconds, _ in found], sum(tries for _, tries in found)
    print(
        f"{connection.vendor:>10}: {PHONES} phones, {PHONES * EACH} facts in {took:.1f} s,"
        f" {took / PHONES / median(alone):.2f} x one phone after the other"
        f" ({median(alone) * 1000:.0f} ms each); a phone waited {median(waits):.1f} s (median),"
        f" {quantiles(waits, n=20)[-1]:.1f} s (p95); {again} asked to come again;"
        f" {stored} of {expected} stored"
    )
    return 0 if stored == expected else 1


def _session(person: Any) -> str:
    client = Client()
    client.force_login(person)
    return client.cookies[settings.SESSION_COOKIE_NAME].value


def _wait(port: int) -> None:
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            NEVER.wait(0.1)
        else:
            return
    raise SystemExit("the server did not start")


def _hand_in(port: int, cookie: str, match: int) -> tuple[float, int]:
    """One phone's queue until all is taken: seconds, and how often it was asked to come again."""
    device = str(uuid.uuid4())
    facts = [
        {
            "id": str(uuid.uuid4()),
            "device": device,
            "seq": n,
            "kind": "feed_note",
            "match": str(match),
            "peg": "4",
            "recorded_at": "2026-06-20T13:05:11.250Z",
            "body": {"bait": "caster", "amount": "0.25", "unit": "pint"},
        }
        for n in range(1, EACH + 1)
    ]
    body = json.dumps({"protocol": 1, "device": device, "app": "bench", "facts": facts})
    token = "c" * 32
    headers = {
        "Content-Type": "application/json",
        "Cookie": f"{settings.SESSION_COOKIE_NAME}={cookie}; {settings.CSRF_COOKIE_NAME}={token}",
        "X-CSRFToken": token,
    }
    began, tries = perf_counter(), 0
    while perf_counter() - began < PATIENCE_S:
        status, said, after = _push(port, body, headers)
        if status == 200 and all(o["outcome"] in ("accepted", "duplicate") for o in said):
            return perf_counter() - began, tries
        if status not in (0, 200, 503):
            raise SystemExit(f"a phone was told {status}")
        tries += 1
        NEVER.wait(after)
    raise SystemExit("a phone lost patience")


def _push(port: int, body: str, headers: dict[str, str]) -> tuple[int, list[Any], float]:
    """Status (0: no answer), outcomes, and seconds to wait."""
    connection_ = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection_.request("POST", "/api/v1/sync/facts", body, headers)
        answer = connection_.getresponse()
        text = answer.read()
        if answer.status == 200:
            return 200, json.loads(text)["outcomes"], 0.0
        return answer.status, [], float(answer.headers.get("Retry-After") or 1)
    except OSError:
        return 0, [], 1.0
    finally:
        connection_.close()


if __name__ == "__main__":
    sys.exit(main())
