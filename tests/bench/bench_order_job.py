"""How long an order takes from the request to the saved version, inputs and storing included.

`python tests/bench/bench_order_job.py [runs] [small]`: 20 members × 30 baits × 200 packs × 10 shops
(small: 6 × 6 × 20 × 2), each run with one plan changed so that nothing is remembered; the database
in memory. Processor time is shown too: it means something on a machine that does other work.
"""

from __future__ import annotations

import os
import sys
import time

os.environ["DATABASE_URL"] = "sqlite://:memory:"
os.environ["BROKER_URL"] = "memory://"
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
sys.path.insert(0, os.getcwd())  # noqa: PTH109


def main() -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from bait.models import StageFeed
    from bait.reads.orders import order_inputs
    from bait.writes.orders import order_ask, order_version_make
    from matches.models import Match, Person, Team
    from tests.big_order import big_order_make

    call_command("migrate", verbosity=0)
    small = {"members": 6, "baits": 6, "packs": 20, "shops": 2}
    big_order_make(**(small if "small" in sys.argv else {}))
    captain = Person.objects.get(username="maud")
    team, match = Team.objects.get(name="Otterbeck Alders"), Match.objects.get()
    feed = StageFeed.objects.order_by("pk").first()
    assert feed is not None
    whole, reading, processor, states = [], [], [], []
    for n in range(int(sys.argv[1]) if len(sys.argv) > 1 else 20):
        StageFeed.objects.filter(pk=feed.pk).update(amount=feed.amount + n)
        began, spent = time.perf_counter(), time.process_time()
        order, work = order_ask(captain, team=team, match=match)
        version = order_version_make(work.pk)
        whole.append(time.perf_counter() - began)
        processor.append(time.process_time() - spent)
        assert version is not None
        states.append(version.status)
        began = time.perf_counter()
        order_inputs(order)
        reading.append(time.perf_counter() - began)
    whole.sort()
    reading.sort()
    processor.sort()
    p95 = whole[-(-95 * len(whole) // 100) - 1]
    print(f"request to version: median {whole[len(whole) // 2]:.2f} s, p95 {p95:.2f} s")
    print(f"processor: median {processor[len(processor) // 2]:.2f} s, most {processor[-1]:.2f} s")
    print(f"of it inputs: median {reading[len(reading) // 2]:.3f} s")
    print(f"answers: { {state: states.count(state) for state in set(states)} }")


main()
