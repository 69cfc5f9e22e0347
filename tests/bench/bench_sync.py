"""Facts taken in through the endpoint, 500 a batch, against Django's bulk_create of the same rows,
the driver's bare executemany, and a general library for replicated data (`pycrdt`, in memory).
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from time import perf_counter
from typing import Any

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, Turns, tell

BATCH, ROUNDS = 500, 5 if QUICK else 11
PEGS = 60
numbers = iter(range(1, 10**9))
Make = Callable[..., dict[str, Any]]


def main() -> None:
    from tests.conftest import make_world

    world = make_world()
    client = site.client_of(world.weigher)
    aims = ({"SQLite": "sync-sqlite", "PostgreSQL": "sync-postgres"}[site.database()],)
    for words, make in (("feed notes", feed_note), ("weigh-ins", weigh_in)):
        with part(words):
            turns, bare = Turns(), Turns()
            through_endpoint(client, batch_of(world, make))  # what it needs is read and kept
            for _ in range(ROUNDS):
                turns.ours.append(through_endpoint(client, batch_of(world, make)))
                turns.theirs.append(through_bulk_create(world, batch_of(world, make)))
                bare.ours.append(turns.ours[-1])
                bare.theirs.append(through_executemany(world, batch_of(world, make)))
            size = f"{BATCH} at a time, {site.database()}"
            said = f"{BATCH / sorted(turns.ours)[ROUNDS // 2]:,.0f} facts a second"
            tell(turns.row(words, size, reference="bulk_create", aims=aims, said=said))
            tell(bare.row(words, size, reference="executemany, facts alone"))
            tell(beside_pycrdt(words, world, make, turns))


def batch_of(world: Any, make: Make) -> list[dict[str, Any]]:
    """A batch of a match of its own with 60 pegs, each drawn by nobody or somebody alike."""
    n = next(numbers)
    from matches.models import Match, SectionPeg

    match = Match.objects.get(pk=world.match.pk)
    match.pk, match.slug = None, f"bench-{n}"
    match.save()
    section = match.sections.create(label="A", position=1)
    SectionPeg.objects.bulk_create(
        SectionPeg(match=match, section=section, peg=peg) for peg in _pegs(world)
    )
    _draw(world, match)
    return [make(match, at) for at in range(BATCH)]


def _pegs(world: Any) -> list[Any]:
    from matches.models import Peg

    for n in range(Peg.objects.filter(venue=world.venue).count() + 1, PEGS + 1):
        Peg.objects.create(venue=world.venue, number=str(n), position=n)
    return list(Peg.objects.filter(venue=world.venue))


def _draw(world: Any, match: Any) -> None:
    from matches.models import Angler, DrawnPeg, Entry, SectionPeg

    while Angler.objects.filter(club=world.club).count() < PEGS:
        Angler.objects.create(club=world.club, name=f"Angler {next(numbers)}")
    anglers = Angler.objects.filter(club=world.club)[:PEGS]
    entries = Entry.objects.bulk_create(Entry(match=match, angler=a) for a in anglers)
    DrawnPeg.objects.bulk_create(
        DrawnPeg(match=match, entry=entry, section_peg=sp)
        for entry, sp in zip(entries, SectionPeg.objects.filter(match=match), strict=True)
    )


def _fact(match: Any, at: int, **given: Any) -> dict[str, Any]:
    n = next(numbers)
    return {
        "id": str(uuid.UUID(int=n)),
        "device": str(uuid.UUID(int=1)),
        "seq": n,
        "match": str(match.pk),
        "peg": str(at % PEGS + 1),
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "clock_offset_ms": -850,
        "supersedes": None,
    } | given


def feed_note(match: Any, at: int) -> dict[str, Any]:
    body = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "long", "stage": 0}
    return _fact(match, at, kind="feed_note", body=body)


def weigh_in(match: Any, at: int) -> dict[str, Any]:
    body = {"net": at // PEGS + 1, "weight": 1000 + at, "unit": "g", "witness": None}
    return _fact(match, at, kind="weigh_in", body=body)


def through_endpoint(client: Any, facts: list[dict[str, Any]]) -> float:
    body = json.dumps(
        {"protocol": 1, "device": str(uuid.UUID(int=1)), "app": "bench", "facts": facts},
        separators=(",", ":"),
    )
    start = perf_counter()
    response = client.post("/api/v1/sync/facts", body, content_type="application/json")
    spent = perf_counter() - start
    assert [o["outcome"] for o in response.json()["outcomes"]] == ["accepted"] * len(facts)
    return spent


def through_bulk_create(world: Any, facts: list[dict[str, Any]]) -> float:
    """The reference: the same rows from the same dictionaries, nothing checked or answered."""
    from django.db import transaction

    from matches.models import Fact, SectionPeg, WeighIn

    world.club.refresh_from_db()
    first = world.club.fact_counter + 1
    where = {
        sp.peg.number: sp
        for sp in SectionPeg.objects.filter(match=facts[0]["match"]).select_related("peg")
    }
    start = perf_counter()
    with transaction.atomic():
        Fact.objects.bulk_create(
            Fact(
                **{k: v for k, v in f.items() if k != "match"},
                match_id=int(f["match"]),
                club_id=world.club.pk,
                author_id=world.weigher.pk,
                digest="0" * 64,
                cseq=cseq,
            )
            for cseq, f in enumerate(facts, first)
        )
        if facts[0]["kind"] == "weigh_in":
            WeighIn.objects.bulk_create(
                WeighIn(
                    match_id=int(f["match"]),
                    section_peg=where[f["peg"]],
                    net=f["body"]["net"],
                    weight=f["body"]["weight"],
                    fact_id=f["id"],
                )
                for f in facts
            )
    spent = perf_counter() - start
    world.club.fact_counter = first + len(facts) - 1
    world.club.save(update_fields=["fact_counter"])
    return spent


def through_executemany(world: Any, facts: list[dict[str, Any]]) -> float:
    """The driver alone: the same cells of the facts, ready beforehand, in one transaction."""
    from django.db import connection, transaction

    from matches.models import Fact

    world.club.refresh_from_db()
    first = world.club.fact_counter + 1
    fields = [f for f in Fact._meta.concrete_fields if not f.generated]
    rows = [_cells(world, fields, fact, cseq) for cseq, fact in enumerate(facts, first)]
    quoted = ", ".join(connection.ops.quote_name(field.column) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    table = connection.ops.quote_name(Fact._meta.db_table)
    start = perf_counter()
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {table} ({quoted}) VALUES ({marks})", rows)
    spent = perf_counter() - start
    world.club.fact_counter = first + len(facts) - 1
    world.club.save(update_fields=["fact_counter"])
    return spent


def _cells(world: Any, fields: list[Any], fact: dict[str, Any], cseq: int) -> list[Any]:
    from django.db import connection

    from matches.models import Fact

    row = Fact(
        **{k: v for k, v in fact.items() if k != "match"},
        match_id=int(fact["match"]),
        club_id=world.club.pk,
        author_id=world.weigher.pk,
        digest="0" * 64,
        cseq=cseq,
    )
    return [field.get_db_prep_save(field.pre_save(row, True), connection) for field in fields]


def beside_pycrdt(words: str, world: Any, make: Make, ours: Turns) -> Row:
    """The reference: the same facts merged into a document of a library for replicated data,
    nothing checked, nothing on the disk. A round of it for each of ours."""
    size = f"{BATCH} at a time, {site.database()}"
    try:
        import pycrdt
    except ImportError:
        return Row(words, size, said="not measured beside it: `pycrdt` is not installed")
    turns = Turns(ours=ours.ours)
    for _ in ours.ours:
        phone: Any = pycrdt.Doc()
        kept = phone.get("facts", type=pycrdt.Map)
        with phone.transaction():
            for fact in batch_of(world, make):
                kept[fact["id"]] = json.dumps(fact)
        update = phone.get_update()
        server: Any = pycrdt.Doc()
        start = perf_counter()
        server.apply_update(update)
        merged = len(server.get("facts", type=pycrdt.Map))
        turns.theirs.append(perf_counter() - start)
        assert merged == BATCH
    return turns.row(words, size, reference="pycrdt, in memory")


if __name__ == "__main__":
    run(main)
