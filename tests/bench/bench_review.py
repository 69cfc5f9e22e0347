"""Changes of a catch against astropy's Bayesian blocks; the review page with 2,000 notes against
the same page with 20."""

from __future__ import annotations

import datetime as dt
import random
import uuid
from functools import partial
from typing import Any

from bait.reckon.review import Fish, blocks_find
from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, in_turn, tell

EVENTS, ROUNDS, NOTES, FEW = 5_000, 3 if QUICK else 7, 2_000, 20
END = 18_000.0


def main() -> None:
    for measure in (changes, pages):
        with part(measure.__name__):
            measure()


def changes() -> None:
    """Ours and astropy's over the same moments, in turn."""
    chance = random.Random(1)
    moments = sorted({round(chance.uniform(0, END), 3) for _ in range(EVENTS)})
    fish = [Fish(moment) for moment in moments]
    ours = partial(blocks_find, fish, start=moments[0], end=moments[-1])
    try:
        from astropy.stats import bayesian_blocks
    except ImportError:
        tell(Row("changes of a catch", "", said="not measured: `astropy` is not installed"))
        return
    theirs = partial(bayesian_blocks, moments, fitness="events", p0=0.05)
    turns = in_turn(ours, theirs, rounds=ROUNDS, within=15)
    tell(
        turns.row(
            "changes of a catch",
            f"{EVENTS:,} fish",
            reference="astropy bayesian_blocks",
            unit="s",
            aims=("review-changes",),
        )
    )


def pages() -> None:
    """The review page of one angler's day with many notes and, in turn, of another's with few."""
    from tests.conftest import make_world

    world = make_world()
    log(world, world.captain, FEW)
    log(world, world.member, NOTES)
    address = f"/desk/plans/{world.match.pk}/review/"

    def page(client: Any) -> None:
        assert client.get(address).status_code == 200, "the review does not come"

    many, few = site.client_of(world.member), site.client_of(world.captain)
    page(many), page(few)
    turns = in_turn(partial(page, many), partial(page, few), rounds=2 * ROUNDS)
    tell(
        turns.row(
            "review of a day",
            f"{NOTES:,} notes",
            reference=f"the same of {FEW} notes",
            aims=("review-page",),
        )
    )


def log(world: Any, author: Any, many: int) -> None:
    """Fish and feeds over five hours."""
    from matches.models import Fact

    begun, chance = Fact.objects.count(), random.Random(2)
    fish = {"species": "Roach", "count": 1, "size": "small", "about": 40, "line": "long"}
    feed = {"bait": "caster", "amount": "0.1", "unit": "pint", "line": "long", "stage": None}
    Fact.objects.bulk_create(
        Fact(
            club=world.club,
            match=world.match,
            device=uuid.UUID(int=author.pk),
            seq=n,
            cseq=n,
            kind="feed_note" if n % 4 == 0 else "fish_note",
            peg="4",
            recorded_at=world.match.start_at + dt.timedelta(seconds=chance.uniform(0, END)),
            body=feed if n % 4 == 0 else fish,
            digest="",
            author=author,
        )
        for n in range(begun + 1, begun + many + 1)
    )


if __name__ == "__main__":
    run(main)
