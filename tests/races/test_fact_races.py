"""Facts handed in by many at once, on a database that threads share."""

from __future__ import annotations

import json
import threading
import uuid
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from django.db import connection, transaction
from django.test import Client

from matches.models import Club, Disagreement, Fact, Match, Membership, WeighIn
from matches.writes.facts.counter import counter_lock
from tests.clients import served
from tests.signing_phone import SigningPhone

pytestmark = pytest.mark.django_db(transaction=True)

URL = "/api/v1/sync/facts"


def notes(world: Any, *, device: int, start: int, count: int) -> list[dict[str, Any]]:
    return [
        {
            "id": str(uuid.UUID(int=(device << 64) + n)),
            "device": str(uuid.UUID(int=device)),
            "seq": n,
            "kind": "peg_note",
            "match": str(world.match.pk),
            "peg": "1",
            "recorded_at": "2026-06-20T13:05:11.250Z",
            "body": {"note": f"{device} {n}"},
        }
        for n in range(start, start + count)
    ]


def weigh_in(world: Any, *, device: int, seq: int, peg: str, weight: int) -> dict[str, Any]:
    (made,) = notes(world, device=device, start=seq, count=1)
    body = {"net": 1, "weight": weight, "unit": "g"}
    return made | {"kind": "weigh_in", "peg": peg, "body": body}


def push(client: Client, facts: list[dict[str, Any]]) -> Any:
    body = {"protocol": 1, "device": facts[0]["device"], "app": "b1", "facts": facts}
    return client.post(URL, json.dumps(body), content_type="application/json")


@pytest.mark.fault("same batch twenty times at once")
def test_the_same_batch_twenty_times_at_once_is_one_row_each(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    batch = [
        *notes(world, device=7, start=1, count=10),
        weigh_in(world, device=7, seq=11, peg="1", weight=4250),
        weigh_in(world, device=7, seq=12, peg="2", weight=0),
    ]
    clients = [served(world.weigher) for _ in range(20)]
    answers = together([partial(push, client, batch) for client in clients])
    assert [a.status_code for a in answers] == [200] * 20
    words = [[o["outcome"] for o in a.json()["outcomes"]] for a in answers]
    assert sorted(words) == [["accepted"] * 12] + [["duplicate"] * 12] * 19
    assert list(Fact.objects.order_by("cseq").values_list("cseq", flat=True)) == [*range(1, 13)]
    assert WeighIn.objects.count() == 2
    assert Club.objects.get(pk=world.club.pk).fact_counter == 12


def test_two_phones_weighing_one_net_at_once_disagree_once(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    people = [world.weigher, world.rival, world.member, world.captain]
    works = [
        partial(
            push,
            served(person),
            [weigh_in(world, device=n, seq=1, peg="1", weight=1000 * n)],
        )
        for n, person in enumerate(people, 1)
    ]
    words = [a.json()["outcomes"][0]["outcome"] for a in together(works)]
    assert sorted(words) == ["accepted", "disagrees", "disagrees", "disagrees"]
    assert WeighIn.objects.filter(stands=True).count() == 1
    first = WeighIn.objects.get(stands=True)
    assert first.fact.cseq == 1
    assert Disagreement.objects.get().facts.count() == 4


@pytest.mark.fault("correction before its original")
def test_a_correction_and_its_original_at_once_end_in_the_correction(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    works = []
    for n in range(1, 9):
        first = weigh_in(world, device=n, seq=1, peg="12345"[n % 5], weight=10)
        second = weigh_in(world, device=n, seq=2, peg="12345"[n % 5], weight=500)
        second["supersedes"] = first["id"]
        for fact in (second, first):
            works.append(partial(push, served(world.weigher), [fact]))
    assert {a.status_code for a in together(works)} == {200}
    assert set(WeighIn.objects.values_list("weight", flat=True)) == {500}
    assert WeighIn.objects.count() == 8
    assert WeighIn.objects.filter(stands=True).count() == 5


@pytest.mark.fault("reading while others commit")
def test_eight_writers_against_a_reader_miss_nothing(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    """Reading by `cseq > cursor` sees every fact, because nobody commits out of turn."""
    world = shared_world
    writers, batches, size = 8, 6, 5
    left = threading.Semaphore(0)
    seen: list[int] = []

    clients = {device: served(world.weigher) for device in range(1, writers + 1)}
    reader = served(world.member)

    def write(device: int) -> None:
        for n in range(batches):
            answer = push(
                clients[device], notes(world, device=device, start=n * size + 1, count=size)
            )
            assert answer.status_code == 200, answer.content
        left.release()

    def read() -> None:
        after, done = "", 0
        while True:
            done += left.acquire(blocking=False)
            page = reader.get(URL, {"match": world.match.pk, "after": after, "limit": 20}).json()
            seen.extend(f["cseq"] for f in page["facts"])
            after = page["next"]
            if done == writers and not page["more"] and not page["facts"]:
                return

    together([*(partial(write, device) for device in range(1, writers + 1)), read])
    assert seen == [*range(1, writers * batches * size + 1)]


@pytest.mark.fault("server's database locked")
def test_a_locked_database_is_a_503_with_retry_after_and_stores_nothing(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    held, tried = threading.Event(), threading.Event()

    def hold() -> None:
        with transaction.atomic():
            counter_lock(world.club.pk)
            held.set()
            assert tried.wait(timeout=60)

    client = served(world.weigher)

    def send() -> Any:
        assert held.wait(timeout=60)
        try:
            _give_up_after_100_ms()
            return push(client, notes(world, device=1, start=1, count=2))
        finally:
            tried.set()

    _, answer = together([hold, send])
    assert (answer.status_code, answer.json()["type"]) == (503, "/problems/busy")
    assert int(answer["Retry-After"]) >= 1
    assert answer["Content-Type"] == "application/problem+json"
    assert not Fact.objects.exists()


def _give_up_after_100_ms() -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA busy_timeout = 100")
        else:
            cursor.execute("SET lock_timeout = '100ms'")


@pytest.mark.postgres
def test_one_club_busy_does_not_hold_up_the_facts_of_another(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    """SQLite has one writer at a time: there it is the whole batch that comes again."""
    if connection.vendor != "postgresql":
        pytest.skip("needs locks on single rows")
    world = shared_world
    away = Match.objects.get(pk=world.match.pk)
    away.pk, away.club, away.slug = None, world.other_club, "away"
    away.save()
    Membership.objects.create(club=world.other_club, person=world.weigher, role="member")
    here, there = notes(world, device=1, start=1, count=2)
    there["match"] = str(away.pk)
    client = served(world.weigher)
    held, tried = threading.Event(), threading.Event()

    def hold() -> None:
        with transaction.atomic():
            counter_lock(world.other_club.pk)
            held.set()
            assert tried.wait(timeout=60)

    def send() -> Any:
        assert held.wait(timeout=60)
        try:
            _give_up_after_100_ms()
            return push(client, [here, there])
        finally:
            tried.set()

    _, answer = together([hold, send])
    first, second = answer.json()["outcomes"]
    assert (first["outcome"], first["cseq"]) == ("accepted", 1)
    assert second == {"id": there["id"], "outcome": "later", "after": 2}
    again = push(client, [here, there]).json()["outcomes"]
    assert [o["outcome"] for o in again] == ["duplicate", "accepted"]


@pytest.mark.fault("same id with other content")
@pytest.mark.postgres
def test_one_id_in_two_clubs_at_once_is_stored_in_one_of_them(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    """Two clubs have two counters: here only the primary key decides."""
    world = shared_world
    away = Match.objects.get(pk=world.match.pk)
    away.pk, away.club, away.slug = None, world.other_club, "away"
    away.save()
    (here,) = notes(world, device=1, start=1, count=1)
    clients = [served(world.weigher), served(world.outsider)] * 4
    batches = [[here], [here | {"match": str(away.pk)}]] * 4
    works = [partial(push, c, b) for c, b in zip(clients, batches, strict=True)]
    words = sorted(a.json()["outcomes"][0]["outcome"] for a in together(works))
    assert words == ["accepted"] + ["clash"] * 4 + ["duplicate"] * 3
    assert Fact.objects.count() == 1


def test_author_and_mates_hand_the_same_facts_in_at_once_and_each_is_stored_once_as_the_authors(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    phone = SigningPhone(world.member, world.match)
    phone.join()
    facts = [phone.fact(kind="peg_note", body={"note": str(n)}) for n in range(20)]
    signed = [phone.signed(fact) for fact in facts]
    clients = [(served(world.member), facts)] * 4
    clients += [(served(mate), signed) for mate in (world.rival, world.captain) for _ in range(4)]
    answers = together([partial(push, client, batch) for client, batch in clients])
    assert {answer.status_code for answer in answers} == {200}
    said = [o["outcome"] for answer in answers for o in answer.json()["outcomes"]]
    assert (said.count("accepted"), said.count("duplicate")) == (20, 220)
    assert Fact.objects.count() == 20
    assert {fact.author for fact in Fact.objects.all()} == {world.member}


def test_one_key_made_known_by_two_tabs_at_once_is_one_key(
    shared_world: Any, together: Callable[..., Any]
) -> None:
    world = shared_world
    phone = SigningPhone(world.member, world.match)
    keys = together([phone.join] * 8)
    assert len({key.pk for key in keys}) == 1
