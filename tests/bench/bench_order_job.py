"""How long an order takes from the request to the saved version, inputs and storing included.

20 members × 30 baits × 200 packs × 10 shops, each run with one plan changed and a price list of its
own, the usual ones of bench_order.py. The reference is the plain model of its first stage.
"""

from __future__ import annotations

from decimal import Decimal
from time import perf_counter

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import run
from tests.bench.rows import QUICK, Row, Turns, p95, tell

RUNS, WITHIN = (3, 20.0) if QUICK else (20, 40.0)


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
    from bait.models import StageFeed
    from bait.reads.order_inputs import order_inputs
    from bait.reckon.order import order_parse
    from bait.writes.orders import order_ask, order_version_make
    from matches.models import Match, Person, Team
    from tests.bench.bench_order import PLAIN, plain_seconds
    from tests.big_order import big_order_make

    big_order_make()
    captain = Person.objects.get(username="maud")
    team, match = Team.objects.get(name="Otterbeck Alders"), Match.objects.get()
    feed = StageFeed.objects.order_by("pk").first()
    assert feed is not None
    turns, reading, began = Turns(), Turns(), perf_counter()
    for n in range(RUNS):
        if n >= 3 and perf_counter() - began > WITHIN:
            break
        prices_take(n)
        StageFeed.objects.filter(pk=feed.pk).update(amount=feed.amount + n)
        start = perf_counter()
        order, work = order_ask(captain, team=team, match=match)
        version = order_version_make(work.pk)
        turns.ours.append(perf_counter() - start)
        assert version is not None
        start = perf_counter()
        inputs = order_inputs(order)
        reading.ours.append(perf_counter() - start)
        turns.theirs.append(plain_seconds(order_parse(inputs.request))[0])
    reading.theirs = turns.theirs
    size = f"usual lists, {len(turns.ours)} runs, {site.database()}"
    tell(turns.row("order asked for and stored", size, reference=PLAIN, unit="s"))
    tell(reading.row("of it, what goes in is read", size, reference=PLAIN, unit="s"))
    tell(
        Row(
            "order asked for and stored, 95 of 100",
            size,
            ours=p95(turns.ours),
            unit="s",
            reference=PLAIN,
            theirs=p95(turns.theirs),
            ratio=p95(turns.ours) / p95(turns.theirs),
            aims=("order-job",),
        )
    )


if __name__ == "__main__":
    run(main)
