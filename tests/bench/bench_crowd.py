"""A thousand phones that find the signal at once: each hands in ten facts, until all are taken.

Through the server as the demo runs it (gunicorn, 2 processes of 4 threads). The reference is one
phone that hands the same facts in one after the other, to the same server. A phone that is told
to come again waits as long as Retry-After says, as the app does. Nothing may be lost or taken
twice. `python -m tests.load` tries the same with two hundred facts a phone.
"""

from __future__ import annotations

import http.client
import json
import threading
import uuid
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from statistics import median
from time import perf_counter
from typing import Any

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import run
from tests.bench.rows import QUICK, Row, p95, tell
from tests.bench.served import gunicorn, session_of

PHONES, EACH, AT_ONCE, ALONE = 60 if QUICK else 1_000, 10, 200, 10 if QUICK else 50
PATIENCE_S = 150
AGAIN = (0, 429, 503)
NEVER = threading.Event()


@dataclass(slots=True)
class Handed:
    """Seconds until one phone's facts were in, those of each push, and whether it gave up."""

    seconds: float = 0.0
    pushes: list[float] = field(default_factory=list)
    gave_up: bool = False


def main() -> None:
    from matches.models import Fact
    from tests.conftest import make_world

    world = make_world()
    cookie = session_of(world.weigher)
    with gunicorn() as port:
        alone = [_hand_in(port, cookie, world.match.pk).seconds for _ in range(ALONE)]
        began = perf_counter()
        with ThreadPoolExecutor(AT_ONCE) as crowd:
            jobs = [crowd.submit(_hand_in, port, cookie, world.match.pk) for _ in range(PHONES)]
            found = [job.result() for job in jobs]
        took = perf_counter() - began
    size = f"{PHONES:,} phones of {EACH} facts, {site.database()}"
    pushes = [seconds for phone in found for seconds in phone.pushes]
    one = median(alone)
    one_by_one = "one phone after the other"
    tell(
        Row(
            "all facts in",
            size,
            ours=took,
            unit="s",
            reference=one_by_one,
            theirs=one * PHONES,
            ratio=took / PHONES / one,
            said=f"half of the phones were through after {median(p.seconds for p in found):.1f} s",
        )
    )
    tell(
        Row(
            "each push answered, 95 of 100",
            size,
            ours=p95(pushes),
            unit="s",
            reference="a phone alone",
            theirs=one,
            ratio=p95(pushes) / one,
            aims=("crowd-p95",),
            said=f"{len(pushes) - PHONES} told to come again",
        )
    )
    ids = Fact.objects.values("id").distinct().count()
    lost = abs((PHONES + ALONE) * EACH - ids) + abs(Fact.objects.count() - ids)
    gave_up = sum(phone.gave_up for phone in found)
    said = f"{gave_up} phones lost patience" if gave_up else ""
    tell(Row("facts lost or twice", size, ours=lost, unit="facts", aims=("crowd-once",), said=said))


def _hand_in(port: int, cookie: str, match: int) -> Handed:
    """One phone's queue until all is taken."""
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
    from django.conf import settings

    token = "c" * 32
    headers = {
        "Content-Type": "application/json",
        "Cookie": f"{settings.SESSION_COOKIE_NAME}={cookie}; {settings.CSRF_COOKIE_NAME}={token}",
        "X-CSRFToken": token,
    }
    handed, began = Handed(), perf_counter()
    while perf_counter() - began < PATIENCE_S:
        asked = perf_counter()
        status, said, after = _push(port, body, headers)
        handed.pushes.append(perf_counter() - asked)
        if status == 200 and all(o["outcome"] in ("accepted", "duplicate") for o in said):
            handed.seconds = perf_counter() - began
            return handed
        if status != 200 and status not in AGAIN:
            raise SystemExit(f"a phone was told {status}")
        NEVER.wait(after)
    handed.seconds, handed.gave_up = perf_counter() - began, True
    return handed


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
    run(main)
