"""How long a small read of the API takes, two hundred times each.

The reference is a view of Django's own with nothing in it but a line of text, through the same
server in the same run. Asked in this process, where the processor's own time is taken, and through
gunicorn (2 processes of 4 threads) over loopback, by the clock on the wall.

Run it with: python tests/bench/bench_api.py
(on PostgreSQL: python .ci/scripts/with_servers.py postgres -- python tests/bench/bench_api.py)
"""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
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

TIMES, WARM, AIM_MS = 200, 20, 15.0
NEVER = threading.Event()
Ask = Callable[[str], None]


def main() -> int:
    call_command("migrate", verbosity=0)
    from tests.conftest import make_world

    world = make_world()
    client = Client(HTTP_HOST="localhost")
    client.force_login(world.member)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    reads = {
        "who is signed in": "/api/v1/me",
        "a match": f"/api/v1/matches/{world.match.pk}",
        "a page of facts": f"/api/v1/sync/facts?match={world.match.pk}",
    }

    def in_process(address: str) -> None:
        assert client.get(address).status_code == 200, address

    worst = _compare("in this process", in_process, reads, process_time)
    with_server, server = _served(cookie)
    try:
        worst = max(worst, _compare("gunicorn", with_server, reads, perf_counter))
    finally:
        server.terminate()
        server.wait(20)
    return 0 if worst <= AIM_MS else 1


def _compare(through: str, ask: Ask, reads: dict[str, str], clock: Callable[[], float]) -> float:
    """The worst median in ms."""
    plain = _median_ms(ask, "/healthz", clock)
    found = {words: _median_ms(ask, address, clock) for words, address in reads.items()}
    for words, took in found.items():
        print(
            f"{connection.vendor:>10} {through:>15} {words:>28}: {took:5.1f} ms (median),"
            f" {took / plain:4.1f} x a bare view ({plain:.1f} ms); aim {AIM_MS:.0f} ms"
        )
    return max(found.values())


def _median_ms(ask: Ask, address: str, clock: Callable[[], float]) -> float:
    for _ in range(WARM):
        ask(address)
    took = []
    for _ in range(TIMES):
        began = clock()
        ask(address)
        took.append(clock() - began)
    return median(took) * 1000


def _served(cookie: str) -> tuple[Ask, Any]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ["--workers", "2", "--threads", "4", "--log-level", "error"]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "web.wsgi", "--bind", f"127.0.0.1:{port}", *words],
        cwd=ROOT,
    )
    headers = {"Cookie": f"{settings.SESSION_COOKIE_NAME}={cookie}"}

    def ask(address: str) -> None:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        line.request("GET", address, headers=headers)
        answer = line.getresponse()
        answer.read()
        line.close()
        assert answer.status == 200, (address, answer.status)

    for _ in range(200):
        try:
            ask("/healthz")
            break
        except OSError:
            NEVER.wait(0.1)
    return ask, server


if __name__ == "__main__":
    sys.exit(main())
