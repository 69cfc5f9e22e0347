"""Changes of a catch against astropy's Bayesian blocks; the review page with 2,000 notes against
the same page with 20.

Run it with: python tests/bench/bench_review.py
"""

from __future__ import annotations

import datetime as dt
import os
import random
import sys
import tempfile
import uuid
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from astropy.stats import bayesian_blocks

from bait.reckon.review import Fish, blocks_find

EVENTS, ROUNDS, NOTES, FEW = 5_000, 5, 2_000, 20
AIM_CHANGES_S, AIM_PAGE_MS = 2.0, 300.0
END = 18_000.0


def timed(work: Any, rounds: int = ROUNDS) -> float:
    """Seconds, the median of some rounds."""
    took = []
    for _ in range(rounds):
        began = perf_counter()
        work()
        took.append(perf_counter() - began)
    return median(took)


def changes() -> tuple[float, float]:
    """Ours and astropy's over the same moments, in turn."""
    chance = random.Random(1)
    moments = sorted({round(chance.uniform(0, END), 3) for _ in range(EVENTS)})
    fish = [Fish(moment) for moment in moments]
    ours = timed(lambda: blocks_find(fish, start=moments[0], end=moments[-1]))
    theirs = timed(lambda: bayesian_blocks(moments, fitness="events", p0=0.05))
    return ours, theirs


def pages() -> tuple[float, float]:
    """The review page with many notes and with few, in seconds."""
    from django.test import Client
    from django.test.utils import setup_test_environment

    from tests.conftest import make_world

    setup_test_environment()
    world = make_world()
    client = Client()
    client.force_login(world.member)
    address = f"/desk/plans/{world.match.pk}/review/"

    def page() -> None:
        if client.get(address).status_code != 200:
            raise SystemExit("the review does not come")

    log(world, FEW)
    few = timed(page)
    log(world, NOTES - FEW)
    return timed(page), few


def log(world: Any, many: int) -> None:
    """Fish and feeds over five hours."""
    from matches.models import Fact

    begun, chance = Fact.objects.count(), random.Random(2)
    fish = {"species": "Roach", "count": 1, "size": "small", "about": 40, "line": "long"}
    feed = {"bait": "caster", "amount": "0.1", "unit": "pint", "line": "long", "stage": None}
    Fact.objects.bulk_create(
        Fact(
            club=world.club,
            match=world.match,
            device=uuid.UUID(int=1),
            seq=n,
            cseq=n,
            kind="feed_note" if n % 4 == 0 else "fish_note",
            peg="4",
            recorded_at=world.match.start_at + dt.timedelta(seconds=chance.uniform(0, END)),
            body=feed if n % 4 == 0 else fish,
            digest="",
            author=world.member,
        )
        for n in range(begun + 1, begun + many + 1)
    )


def main() -> int:
    ours, theirs = changes()
    print(f"changes of {EVENTS} fish: {ours:.2f} s, {ours / theirs:.2f} x astropy's {theirs:.2f} s")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATABASE_URL"] = f"sqlite:///{folder}/bench.sqlite3"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        many, few = pages()
    print(f"review of {NOTES} notes: {many * 1000:.0f} ms, {many / few:.1f} x that of {FEW} notes")
    met = ours < AIM_CHANGES_S and many * 1000 < AIM_PAGE_MS
    print(f"aims: {AIM_CHANGES_S:g} s, {AIM_PAGE_MS:g} ms: {'met' if met else 'not met'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
