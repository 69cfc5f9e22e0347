"""The database down or in a deadlock, matches that changed meanwhile, and many phones at once."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections, transaction

from matches.models import Club, Fact, Match, MatchState, WeighIn
from tests.clients import served
from tests.races.test_fact_races import notes, push, weigh_in
from tests.thorough import trials
from tests.web.phone import Phone

pytestmark = pytest.mark.django_db(transaction=True)
PHONES, EACH = trials(24, in_full=60), 2


def busy(answer: Any) -> bool:
    said = (answer.status_code, answer.json()["type"])
    return said == (503, "/problems/busy") and int(answer["Retry-After"]) >= 1


@contextmanager
def database_away(tmp_path: Path) -> Iterator[None]:
    """Nothing is where the settings say that the database is."""
    here, kept = connections["default"], connections.settings["default"]
    gone = {"NAME": str(tmp_path / "gone" / "gone.sqlite3")}
    if connection.vendor == "postgresql":
        gone = {"HOST": str(tmp_path)}
    connections.settings["default"] = kept | gone
    connections["default"] = connections.create_connection("default")
    try:
        yield
    finally:
        connections["default"].close()
        connections.settings["default"] = kept
        connections["default"] = here


@pytest.mark.fault("server's database down")
def test_a_database_that_is_down_is_a_503_and_the_batch_is_taken_when_it_is_back(
    shared_world: Any, tmp_path: Path
) -> None:
    world = shared_world
    client, batch = served(world.weigher), notes(world, device=1, start=1, count=3)
    with database_away(tmp_path):
        assert busy(push(client, batch))
        assert busy(client.get("/api/v1/sync/facts", {"match": world.match.pk}))
    assert not Fact.objects.exists()
    words = [one["outcome"] for one in push(client, batch).json()["outcomes"]]
    assert words == ["accepted"] * 3


@pytest.mark.postgres
@pytest.mark.fault("server's database in a deadlock")
def test_a_deadlock_is_a_503_that_stores_nothing_and_the_batch_is_taken_afterwards(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    """The push holds the club and waits for the match, another the match and waits for the club."""
    if connection.vendor != "postgresql":
        pytest.skip("SQLite has one lock, and so no deadlock")
    world = shared_world
    Match.objects.filter(pk=world.match.pk).update(state=MatchState.DRAWN)
    client, fact = served(world.weigher), weigh_in(world, device=1, seq=1, peg="1", weight=4250)
    held = threading.Event()

    def other() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            # Whose time is up first looks for a deadlock, and is the one to give way.
            cursor.execute("SET LOCAL deadlock_timeout = '1min'")
            Match.objects.filter(pk=world.match.pk).update(name="June Open, moved")
            held.set()
            while not somebody_waits_for_us(cursor):
                time.sleep(0.01)
            Club.objects.filter(pk=world.club.pk).update(name="Otterbeck Anglers")

    def send() -> Any:
        assert held.wait(timeout=60)
        return push(client, [fact])

    _, answer = together([other, send])
    assert busy(answer)
    assert not Fact.objects.exists()
    assert Club.objects.get(pk=world.club.pk).name == "Otterbeck Anglers"
    assert push(client, [fact]).json()["outcomes"][0]["outcome"] == "accepted"
    assert WeighIn.objects.get().weight == 4250


def somebody_waits_for_us(cursor: Any) -> bool:
    """Not for anybody else: other tests may be using the same server."""
    cursor.execute(
        "SELECT count(*) FROM pg_locks"
        " WHERE NOT granted AND pg_backend_pid() = ANY(pg_blocking_pids(pid))"
    )
    return bool(cursor.fetchone()[0])


@pytest.mark.fault("thousand phones at once")
def test_many_phones_at_once_each_get_all_of_theirs_in_once(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    """Two dozen stand for the thousand; a busy server is asked again, as phones do."""
    world = shared_world
    phones = [Phone(world.weigher, world.match) for _ in range(PHONES)]
    for n, phone in enumerate(phones):
        for at in range(EACH):
            phone.keep("peg_note", "1", {"note": f"{n} {at}"})
        phone.weigh(str(n % 6 + 1), 100 + n)
    together([partial(Phone.sync, phone) for phone in phones])
    expected = PHONES * (EACH + 1)
    assert list(Fact.objects.order_by("cseq").values_list("cseq", flat=True)) == [
        *range(1, expected + 1)
    ]
    assert WeighIn.objects.filter(stands=True).count() == 6
    for phone in phones[::20]:
        phone.sync()
        assert len(phone.pulled) == expected


@pytest.mark.fault("peg renumbered meanwhile")
def test_a_weight_for_a_peg_that_has_another_number_now_is_put_before_the_secretary(
    shared_world: Any,
) -> None:
    world, phone = shared_world, Phone(shared_world.weigher, shared_world.match)
    phone.weigh("1", 4250)
    peg = world.pegs["1"].peg
    peg.number = "1A"
    peg.save()
    (outcome,) = phone.push(list(phone.outbox.values()))
    assert outcome["outcome"] == "disagrees"
    raised = world.match.disagreements.get()
    assert (raised.kind, raised.peg) == ("undrawn_peg", "1")
    assert Fact.objects.get().peg == "1"
