"""Facts taken in through the endpoint, 500 a batch, against Django's bulk_create of the same rows.

Run it with: python tests/bench/bench_sync.py
(on PostgreSQL: python .ci/scripts/with_servers.py postgres -- python tests/bench/bench_sync.py)
"""

from __future__ import annotations

import importlib.util
import json
import os
import sys
import tempfile
import uuid
from collections.abc import Callable
from pathlib import Path
from statistics import median
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
from django.db import connection, transaction  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import setup_test_environment  # noqa: E402

from matches.models import Fact, Match, Peg, SectionPeg, WeighIn  # noqa: E402

BATCH, ROUNDS, AIM = 500, 11, 0.5
PEGS = 60
numbers = iter(range(1, 10**9))


def main() -> int:
    setup_test_environment()
    # A file as in use, not memory: what is measured is a durable commit.
    connection.settings_dict["TEST"]["NAME"] = (
        f"{FOLDER}/bench.sqlite3" if connection.vendor == "sqlite" else None
    )
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
        world = _world()
        client = Client()
        client.force_login(world.weigher)
        reached = [
            _compare("feed notes", client, world, feed_note),
            _compare("weigh-ins", client, world, weigh_in),
        ]
    finally:
        connection.creation.destroy_test_db("", verbosity=0)
    return 0 if min(reached) >= AIM else 1


def _compare(words: str, client: Client, world: Any, make: Callable[..., dict[str, Any]]) -> float:
    ours, theirs = [], []
    for _ in range(ROUNDS):
        ours.append(_through_endpoint(client, _batch(world, make)))
        theirs.append(_through_bulk_create(world, _batch(world, make)))
    ratio = median(theirs) / median(ours)
    print(
        f"{connection.vendor:>10} {words:>10}: endpoint {BATCH / median(ours):7,.0f} rows/s,"
        f" bulk_create {BATCH / median(theirs):7,.0f} rows/s,"
        f" ratio {ratio:.2f} (aim {AIM})"
    )
    return ratio


def _batch(world: Any, make: Callable[..., dict[str, Any]]) -> list[dict[str, Any]]:
    """A batch of a match of its own with 60 pegs, each drawn by nobody or somebody alike."""
    n = next(numbers)
    match = Match.objects.get(pk=world.match.pk)
    match.pk, match.slug = None, f"bench-{n}"
    match.save()
    section = match.sections.create(label="A", position=1)
    SectionPeg.objects.bulk_create(
        SectionPeg(match=match, section=section, peg=peg) for peg in _pegs(world)
    )
    _draw(world, match)
    return [make(match, at) for at in range(BATCH)]


def _pegs(world: Any) -> list[Peg]:
    for n in range(Peg.objects.filter(venue=world.venue).count() + 1, PEGS + 1):
        Peg.objects.create(venue=world.venue, number=str(n), position=n)
    return list(Peg.objects.filter(venue=world.venue))


def _draw(world: Any, match: Match) -> None:
    from matches.models import Angler, DrawnPeg, Entry

    while Angler.objects.filter(club=world.club).count() < PEGS:
        Angler.objects.create(club=world.club, name=f"Angler {next(numbers)}")
    anglers = Angler.objects.filter(club=world.club)[:PEGS]
    entries = Entry.objects.bulk_create(Entry(match=match, angler=a) for a in anglers)
    DrawnPeg.objects.bulk_create(
        DrawnPeg(match=match, entry=entry, section_peg=sp)
        for entry, sp in zip(entries, SectionPeg.objects.filter(match=match), strict=True)
    )


def _fact(match: Match, at: int, **given: Any) -> dict[str, Any]:
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


def feed_note(match: Match, at: int) -> dict[str, Any]:
    body = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "long", "stage": 0}
    return _fact(match, at, kind="feed_note", body=body)


def weigh_in(match: Match, at: int) -> dict[str, Any]:
    body = {"net": at // PEGS + 1, "weight": 1000 + at, "unit": "g", "witness": None}
    return _fact(match, at, kind="weigh_in", body=body)


def _through_endpoint(client: Client, facts: list[dict[str, Any]]) -> float:
    body = json.dumps(
        {"protocol": 1, "device": str(uuid.UUID(int=1)), "app": "bench", "facts": facts},
        separators=(",", ":"),
    )
    start = perf_counter()
    response = client.post("/api/v1/sync/facts", body, content_type="application/json")
    spent = perf_counter() - start
    assert [o["outcome"] for o in response.json()["outcomes"]] == ["accepted"] * BATCH
    return spent


def _through_bulk_create(world: Any, facts: list[dict[str, Any]]) -> float:
    """The reference: the same rows from the same dictionaries, nothing checked or answered."""
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


def _world() -> Any:
    spec = importlib.util.spec_from_file_location("bench_world", ROOT / "tests" / "conftest.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["bench_world"] = module
    spec.loader.exec_module(module)
    return module.make_world()


if __name__ == "__main__":
    sys.exit(main())
