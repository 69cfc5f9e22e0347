"""How long an order takes from the request to the saved version, inputs and storing included.

`python tests/bench/bench_order_job.py [runs] [small]`: 20 members × 30 baits × 200 packs × 10
shops, each run with one plan changed and a price list of its own, the usual ones of bench_order.py
(small: 6 × 6 × 20 × 2, one list). The database is in memory. Processor time is shown too: it means
something on a machine that does other work.
"""

from __future__ import annotations

import os
import sys
import time
from decimal import Decimal

os.environ["DATABASE_URL"] = "sqlite://:memory:"
os.environ["BROKER_URL"] = "memory://"
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
sys.path.insert(0, os.getcwd())  # noqa: PTH109


def prices_take(seed: int) -> None:
    """Write one of the usual price lists of bench_order.py over the big order's.

    A shop sells a bait in one size once: what would be twice goes to the next shop.
    """
    import random

    from bait.models import Pack, PackBreak, Shop
    from tests.bench.bench_order import USUAL, price_list

    rng = random.Random(seed)
    shops = {shop.key: shop for shop in Shop.objects.filter(key__regex=r"^s[0-9]$")}
    packs = {pack.key: pack for pack in Pack.objects.filter(key__regex=r"^p[0-9]+$")}
    taken: set[tuple[str, str, Decimal]] = set()
    PackBreak.objects.all().delete()
    for n, pack in enumerate(packs.values()):  # out of the way of the new sizes
        Pack.objects.filter(pk=pack.pk).update(amount=Decimal(1_000 + n))
    for line in price_list(rng, kind=USUAL):
        pack, amount, at = packs[line.id], Decimal(int(line.amount)), int(line.supplier[1:])
        while (f"s{at}", line.bait, amount) in taken:
            at = (at + 1) % len(shops)
        taken.add((f"s{at}", line.bait, amount))
        pack.shop, pack.amount, pack.unit = shops[f"s{at}"], amount, "pint"
        pack.price_pence, pack.max_packs = line.price, line.max_packs
        pack.save()
        for each in line.breaks:
            PackBreak.objects.create(pack=pack, from_packs=each.from_packs, price_pence=each.price)
    for shop in shops.values():
        shop.delivery_fee_pence = rng.choice(USUAL.fees)
        shop.minimum_spend_pence = rng.choice(USUAL.minimums)
        shop.free_delivery_from_pence = rng.choice(USUAL.free_from)
        shop.save()


def main() -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from bait.models import StageFeed
    from bait.reads.order_inputs import order_inputs
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
        if "small" not in sys.argv:
            prices_take(n)
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
