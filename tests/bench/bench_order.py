"""A whole team's order against the plain model of its first stage in HiGHS, in one run.

20 members, 30 baits, 200 packs, 10 shops; usual price lists, ordinary ones (prices nearer together
and in steps of five pence: many ties) and hard ones (nearer still, more breaks, a delivery fee
everywhere). The reference is the whole mixed-integer programme for the least total alone: no
tie-breaks, nobody alone. Each run stops after `LIMIT` seconds.

Run it with: python tests/bench/bench_order.py [instances of each kind]
"""

from __future__ import annotations

import random
import sys
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from time import monotonic, perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bait.reckon.order import Demand, OrderRequest, Pack, PriceBreak, Stock, Supplier
from bait.reckon.order.milp import least_total
from bait.reckon.order.model import counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.work import order_work_out

MEMBERS, BAITS, PACKS, SHOPS = 20, 30, 200, 10
LIMIT = 10.0


@dataclass(frozen=True)
class Kind:
    """How alike the prices of shops are: `spread` either way, `off` for each half pint more."""

    name: str
    amounts: tuple[int, ...]
    spread: float
    off: float
    breaks: float
    limited: float
    round_to: int
    fees: tuple[int, ...]
    minimums: tuple[int, ...]
    free_from: tuple[int | None, ...]


USUAL = Kind(
    name="usual",
    amounts=(2, 2, 4, 8, 10, 20),
    spread=0.3,
    off=0.005,
    breaks=0.3,
    limited=0.05,
    round_to=1,
    fees=(0, 0, 350, 495),
    minimums=(0, 0, 1000, 2000),
    free_from=(None, 4000, 6000),
)
ORDINARY = Kind(
    name="ordinary",
    amounts=(2, 2, 4, 8, 10, 20),
    spread=0.2,
    off=0.012,
    breaks=0.3,
    limited=0.1,
    round_to=5,
    fees=(0, 350, 495, 600, 795),
    minimums=(0, 0, 1000, 2000, 3000),
    free_from=(None, 4000, 6000, 10000),
)
HARD = Kind(
    name="hard",
    amounts=(1, 2, 4, 8, 10, 20),
    spread=0.15,
    off=0.01,
    breaks=0.4,
    limited=0.2,
    round_to=1,
    fees=(395, 495, 695, 895),
    minimums=(0, 500, 1500, 2500),
    free_from=(None, 6000, 10000),
)


def price_list(rng: random.Random, *, kind: Kind) -> tuple[Pack, ...]:
    packs = []
    base = [rng.randint(150, 500) for _ in range(BAITS)]
    for n in range(PACKS):
        bait = n % BAITS
        amount = rng.choice(kind.amounts)
        keen = rng.uniform(1 - kind.spread, 1 + kind.spread)
        price = max(5, round(base[bait] * amount / 2 * keen * (1 - kind.off * amount)))
        price = price // kind.round_to * kind.round_to
        breaks = []
        if rng.random() < kind.breaks:
            start = rng.choice([2, 3, 4, 5, 10])
            breaks.append(PriceBreak(start, price * rng.randint(90, 98) // 100))
            if rng.random() < 0.4:
                breaks.append(PriceBreak(start * 2, breaks[0].price * rng.randint(92, 98) // 100))
        most = rng.randint(3, 30) if rng.random() < kind.limited else None
        shop = f"s{rng.randrange(SHOPS)}"
        size = Fraction(amount, 2)
        packs.append(Pack(f"p{n:03}", shop, f"b{bait}", size, "pint", price, tuple(breaks), most))
    return tuple(packs)


def big_order(seed: int, *, kind: Kind) -> OrderRequest:
    rng = random.Random(seed)
    packs = price_list(rng, kind=kind)
    shops = tuple(
        Supplier(
            f"s{n}",
            fee=rng.choice(kind.fees),
            minimum=rng.choice(kind.minimums),
            free_from=rng.choice(kind.free_from),
        )
        for n in range(SHOPS)
    )
    demands = tuple(
        Demand(f"m{m:02}", f"b{b}", Fraction(rng.randint(1, 12), 4), "pint")
        for m in range(MEMBERS)
        for b in range(BAITS)
        if rng.random() < 0.4
    )
    stock = tuple(
        Stock(f"b{rng.randrange(BAITS)}", Fraction(rng.randint(1, 8), 4), "pint", member)
        for member in (None, None, None, "m03", "m11")
    )
    return OrderRequest(demands, shops, packs, stock)


def plain_seconds(request: OrderRequest) -> tuple[float, int, bool]:
    """Seconds taken, the bound, and whether that is the least total."""
    started = perf_counter()
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    problem = problem_prepare(request, needs=needs, scales=scales).problem
    solved = least_total(problem, seconds=LIMIT)
    seconds = perf_counter() - started
    verdict = None if solved.counts is None else counts_judge(problem, solved.counts)
    return seconds, solved.bound, verdict is not None and verdict.total == solved.bound


def row(name: str, seconds: list[float]) -> str:
    return f"{name:24} median {np.median(seconds):7.3f} s   p95 {np.percentile(seconds, 95):7.3f} s"


def main() -> int:
    instances = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    wrong = 0
    for kind in (USUAL, ORDINARY, HARD):
        plain, alone, full, open_ends = [], [], [], 0
        for seed in range(instances):
            request = big_order(seed, kind=kind)
            seconds, bound, proved = plain_seconds(request)
            plain.append(seconds)
            started = monotonic()
            answer = order_work_out(replace(request, compare_alone=False), time_limit_s=LIMIT)
            alone.append(monotonic() - started)
            started = monotonic()
            whole = order_work_out(request, time_limit_s=LIMIT)
            full.append(monotonic() - started)
            open_ends += whole.status == "best_found"
            both = (answer, whole)
            agrees = min(a.total for a in both) >= bound and all(
                a.total == bound for a in both if proved and a.total == a.lower_bound
            )
            wrong += not agrees
            if not agrees:
                print(f"order: seed {seed} {kind.name}: {answer.total} against bound {bound}")
            if "-v" in sys.argv:
                print(
                    seed,
                    *(f"{s[-1]:.3f}" for s in (plain, alone, full)),
                    answer.total,
                    answer.status,
                    whole.status,
                )
        print(row(f"{kind.name}: plain model", plain))
        print(row(f"{kind.name}: whole order", alone))
        print(row(f"{kind.name}: with everyone alone", full))
        print(f"{kind.name}: best found only   {open_ends} of {instances}")
        ratios = np.array(alone) / np.array(plain), np.array(full) / np.array(plain)
        print(
            f"{kind.name}: ratio of medians {np.median(alone) / np.median(plain):.2f} and "
            f"{np.median(full) / np.median(plain):.2f}; median ratio {np.median(ratios[0]):.2f} "
            f"and {np.median(ratios[1]):.2f}"
        )
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
