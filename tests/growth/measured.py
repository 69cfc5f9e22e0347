"""How long each kind of request and an order take here, and what a fact leaves on the disk.

Asked of the whole site in this process, one after the other, of the invented club's database.
"""

from __future__ import annotations

import datetime as dt
import json
import time
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final
from unittest.mock import patch

from django.db import connection
from django.test import Client

from bait.models import StageFeed
from bait.writes.orders import order_ask, order_version_make
from matches.models import Person, SectionPeg
from tests.web.phone import URL, Phone
from web.demo import Demo, demo_load
from web.sync import views

ROUNDS: Final = 40
ORDERS: Final = 5
NOTES: Final = 60


@dataclass
class Spent:
    """Seconds of each try, by the clock and of this process's processor."""

    wall: list[float] = field(default_factory=list)
    processor: list[float] = field(default_factory=list)

    def of(self, act: Callable[[], Any]) -> Any:
        clock, own = time.perf_counter(), time.process_time()
        answer = act()
        self.wall.append(time.perf_counter() - clock)
        self.processor.append(time.process_time() - own)
        return answer


@dataclass
class Measured:
    """`kinds` by the names of `saturday.asked`; `locked` is how long a push of a weigh-in holds its
    club's counter at most; bytes are of one fact: what it leaves, and what it writes to the log."""

    kinds: dict[str, Spent]
    order: Spent
    locked: Spent
    fact_bytes: float
    log_bytes: float | None


def measure() -> Measured:
    """Load the invented club into the empty database in use, and time it."""
    demo = demo_load(today=dt.date(2026, 6, 20))
    phone = Phone(Person.objects.get(username="tamsin"), demo.today)
    reader, captain = Client(), Client()
    captain.force_login(demo.captain)
    kinds = {name: Spent() for name in ("push of 6 notes", "push of a weigh-in", "pull")}
    kinds |= {name: Spent() for name in ("push of 60 notes", "board page", "desk page")}
    locked = Spent()
    pegs = _pegs(demo)
    before = _stored()
    for n in range(ROUNDS):
        kinds["push of 6 notes"].of(lambda: _push(phone, *(_note(phone, "1") for _ in range(6))))
        with _storing(locked):
            fact = phone.keep("weigh_in", pegs[n % len(pegs)], _weighed(n // len(pegs) + 3))
            kinds["push of a weigh-in"].of(lambda fact=fact: _push(phone, fact))
    for _ in range(ROUNDS // 4):
        kinds["push of 60 notes"].of(lambda: _push(phone, *(_note(phone, "1") for _ in range(60))))
    after = _stored()
    facts = ROUNDS * 7 + ROUNDS // 4 * 60
    while phone.pull():
        pass
    board = f"/board/{demo.club.slug}/{demo.finished.slug}/"
    for _ in range(ROUNDS):
        _push(phone, *(_note(phone, "1") for _ in range(6)))
        kinds["pull"].of(phone.pull)
        kinds["board page"].of(lambda: _ok(reader.get(board)))
        kinds["desk page"].of(lambda: _ok(captain.get("/desk/")))
    log = (after[1] - before[1]) / facts if connection.vendor == "postgresql" else None
    return Measured(kinds, _orders(demo), locked, (after[0] - before[0]) / facts, log)


def _pegs(demo: Demo) -> list[str]:
    found = SectionPeg.objects.filter(section__match=demo.today)
    return sorted(found.values_list("peg__number", flat=True))


def _note(phone: Phone, peg: str) -> dict[str, Any]:
    feed = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "long", "stage": 0}
    return phone.keep("feed_note", peg, feed)


def _weighed(net: int) -> dict[str, Any]:
    return {"net": net, "weight": 1000, "unit": "g"}


def _push(phone: Phone, *facts: dict[str, Any]) -> None:
    body = {"protocol": 1, "device": phone.device, "app": "growth", "facts": list(facts)}
    answer = phone.client.post(URL, json.dumps(body), content_type="application/json")
    told = {one["outcome"] for one in answer.json()["outcomes"]}
    assert told <= {"accepted", "disagrees"}, answer.content
    for fact in facts:
        phone.sent[fact["id"]] = phone.outbox.pop(fact["id"])


@contextmanager
def _storing(spent: Spent) -> Any:
    store = views.facts_store
    timed = lambda *given, **named: spent.of(lambda: store(*given, **named))  # noqa: E731
    with patch.object(views, "facts_store", timed):
        yield


def _ok(answer: Any) -> None:
    assert answer.status_code in (200, 302), answer.status_code


def _orders(demo: Demo) -> Spent:
    spent = Spent()
    feed = StageFeed.objects.filter(stage__plan__entry__match=demo.saturday).order_by("pk")[0]
    for n in range(ORDERS):
        feed.amount += Decimal("0.25") if n else 0
        feed.save(update_fields=["amount"])
        _order, work = order_ask(demo.captain, team=demo.team, match=demo.saturday)
        assert spent.of(lambda work=work: order_version_make(work.pk)) is not None
    return spent


def _stored() -> tuple[int, int]:
    """Bytes of the database, and the place its write-ahead log has come to (0 without one)."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_database_size(current_database())")
            size = cursor.fetchone()[0]
            cursor.execute("SELECT pg_current_wal_insert_lsn() - '0/0'::pg_lsn")
            return size, int(cursor.fetchone()[0])
        cursor.execute("SELECT page_count * page_size FROM pragma_page_count, pragma_page_size")
        return cursor.fetchone()[0], 0
