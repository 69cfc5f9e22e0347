"""A season of 100 matches and 40 anglers in a worker: reading it, and the model against numpy's
least squares of the same table.

Run it with: python tests/bench/bench_season.py
"""

from __future__ import annotations

import datetime as dt
import os
import random
import sys
import tempfile
import uuid
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

MATCHES, ANGLERS, BAITS, NOTES = 100, 40, 8, 15
AIM_S = 10.0


def season_make() -> Any:
    """The club's one large team, published matches, and notes of every member's whole day."""
    from bait.models import Bait
    from matches.models import Angler, Bulletin, Entry, Fact, Match, Person
    from tests.conftest import make_world

    world, chance = make_world(), random.Random(1)
    keys = [f"bait-{n}" for n in range(BAITS)]
    Bait.objects.bulk_create(
        Bait(club=world.club, key=key, name=key, kind="particle", unit="pint") for key in keys
    )
    people = Person.objects.bulk_create(Person(username=f"p{n}") for n in range(ANGLERS))
    anglers = Angler.objects.bulk_create(
        Angler(club=world.club, team=world.alders, person=person, name=person.username)
        for person in people
    )
    for n in range(MATCHES):
        start = world.match.start_at + dt.timedelta(days=n + 1)
        match = Match.objects.create(
            club=world.club,
            venue=world.venue,
            name=f"{n}",
            slug=f"m{n}",
            date=start.date(),
            start_at=start,
            end_at=start + dt.timedelta(hours=5),
        )
        entries = Entry.objects.bulk_create(
            Entry(match=match, angler=angler, team=world.alders) for angler in anglers
        )
        rows = [
            {"entry": e.pk, "status": "entered", "weight": round(chance.lognormvariate(7.5, 0.7))}
            for e in entries
        ]
        sections = [{"label": str(k), "entries": rows[k::5]} for k in range(5)]
        Bulletin.objects.create(
            match=match, number=1, body={"sections": sections}, published_by=world.secretary
        )
        Fact.objects.bulk_create(_notes(match, people, keys=keys, chance=chance))
    return world


def _notes(match: Any, people: Any, *, keys: list[str], chance: random.Random) -> Iterator[Any]:
    """A feed every 19 minutes by everybody, as their phones sent it."""
    from matches.models import Fact

    first = Fact.objects.count() + 1
    for n, (person, k) in enumerate(product(people, range(NOTES)), first):
        yield Fact(
            club_id=match.club_id,
            match=match,
            device=uuid.UUID(int=person.pk),
            seq=n,
            cseq=n,
            kind="feed_note",
            recorded_at=match.start_at + dt.timedelta(minutes=10 + 280 * k / NOTES),
            body=_feed(chance, keys),
            author=person,
        )


def _feed(chance: random.Random, keys: list[str]) -> dict[str, Any]:
    amount = str(chance.choice((0.1, 0.2, 0.25, 0.5)))
    return {"bait": chance.choice(keys), "amount": amount, "unit": "pint", "line": "long"}


def least_squares_s(days: Any) -> float:
    """numpy's, over the baits, anglers and matches of the days."""
    from bait.reckon.season import DayFed, day_fed
    from bait.reckon.season.answer import groups
    from bait.reckon.season.columns import table_of

    fed = [read for read in map(day_fed, days) if isinstance(read, DayFed)]
    table = table_of(fed)
    whole = np.hstack(
        [table.amounts, groups([d.angler for d in fed]), groups([d.match for d in fed])]
    )
    ratios = np.array([d.log_ratio for d in fed])
    began = perf_counter()
    np.linalg.lstsq(whole, ratios, rcond=None)
    return perf_counter() - began


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATABASE_URL"] = f"sqlite:///{folder}/bench.sqlite3"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
        import django
        from django.core.management import call_command

        django.setup()
        from web.celery import app

        app.conf.broker_url, app.conf.broker_transport_options = "memory://", {}
        call_command("migrate", verbosity=0)
        from bait.reads.season import season_inputs
        from bait.writes.season import season_answer_make, season_ask

        world = season_make()
        days = season_inputs(world.alders).days
        work = season_ask(world.captain, team_id=world.alders.pk)
        began = perf_counter()
        kept = season_answer_make(work.pk)
        whole = perf_counter() - began
    if kept is None or kept.answer["days"] != MATCHES * ANGLERS:
        raise SystemExit("the season was not worked out of every day")
    model, theirs = float(kept.seconds or 0), least_squares_s(days)
    print(f"season of {MATCHES} matches x {ANGLERS} anglers, {NOTES} notes a day: {whole:.1f} s")
    print(f"the model of it: {model:.2f} s, {model / theirs:.1f} x numpy's {theirs:.2f} s")
    print(f"aim: {AIM_S:g} s: {'met' if whole < AIM_S else 'not met'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
