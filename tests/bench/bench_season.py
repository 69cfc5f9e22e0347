"""A season of 100 matches and 40 anglers in a worker: reading it, and the model against numpy's
least squares of the same table."""

from __future__ import annotations

import datetime as dt
import random
import uuid
from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from time import perf_counter
from typing import Any

import numpy as np

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import run
from tests.bench.rows import QUICK, Row, in_turn, tell

MATCHES, ANGLERS, BAITS, NOTES = 20 if QUICK else 100, 40, 8, 15
ROUNDS = 3


def main() -> None:
    from bait.reads.season import season_inputs
    from bait.reckon.season import season_work_out
    from bait.writes.season import season_answer_make, season_ask

    world = season_make()
    work = season_ask(world.captain, team_id=world.alders.pk)
    began = perf_counter()
    kept = season_answer_make(work.pk)
    whole = perf_counter() - began
    if kept is None or kept.answer["days"] != MATCHES * ANGLERS:
        raise SystemExit("the season was not worked out of every day")
    days = season_inputs(world.alders).days
    size = f"{MATCHES} matches of {ANGLERS} anglers, {NOTES} notes a day, {site.database()}"
    turns = in_turn(partial(season_work_out, days), least_squares(days), rounds=ROUNDS)
    tell(Row("season read and worked out", size, ours=whole, unit="s", aims=("season-whole",)))
    tell(turns.row("of it, the model", size, reference="numpy lstsq", unit="s"))


def least_squares(days: Any) -> Callable[[], object]:
    """numpy's, over the baits, anglers and matches of the days: the table is made beforehand."""
    from bait.reckon.season import DayFed, day_fed
    from bait.reckon.season.answer import groups
    from bait.reckon.season.columns import table_of

    fed = [read for read in map(day_fed, days) if isinstance(read, DayFed)]
    table = table_of(fed)
    whole = np.hstack(
        [table.amounts, groups([d.angler for d in fed]), groups([d.match for d in fed])]
    )
    ratios = np.array([d.log_ratio for d in fed])
    return partial(np.linalg.lstsq, whole, ratios, rcond=None)


def season_make(matches: int = MATCHES) -> Any:
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
    for n in range(matches):
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


if __name__ == "__main__":
    run(main)
