"""A whole team's order against the plain model of its first stage in HiGHS, and against CP-SAT.

20 members, 30 baits, 200 packs, 10 shops; usual price lists, ordinary ones (prices nearer together
and in steps of five pence: many ties) and hard ones (nearer still, more breaks, a delivery fee
everywhere). The reference is the whole mixed-integer programme for the least total alone: no
tie-breaks, nobody alone. Each run stops after `LIMIT` seconds.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from statistics import median
from time import perf_counter

from bait.reckon.order import Demand, OrderRequest, Pack, PriceBreak, Stock, Supplier
from bait.reckon.order.milp import least_total
from bait.reckon.order.model import Problem, counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.work import order_work_out
from tests.bench.parts import part, run
from tests.bench.rows import FEWEST_ROUNDS, QUICK, Row, Turns, in_turn, p95, tell

MEMBERS, BAITS, PACKS, SHOPS = 20, 30, 200, 10
SMALL = {"members": 6, "baits": 6, "packs": 20, "shops": 2}
LIMIT, CP_SAT_LIMIT = 10.0, 2.0 if QUICK else 5.0
INSTANCES, WITHIN = (3, 10.0) if QUICK else (20, 45.0)
PLAIN = "HiGHS, plain first stage"


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


def price_list(
    rng: random.Random, *, kind: Kind, baits: int = BAITS, packs: int = PACKS, shops: int = SHOPS
) -> tuple[Pack, ...]:
    found = []
    base = [rng.randint(150, 500) for _ in range(baits)]
    for n in range(packs):
        bait = n % baits
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
        shop = f"s{rng.randrange(shops)}"
        size = Fraction(amount, 2)
        found.append(Pack(f"p{n:03}", shop, f"b{bait}", size, "pint", price, tuple(breaks), most))
    return tuple(found)


def big_order(
    seed: int,
    *,
    kind: Kind,
    members: int = MEMBERS,
    baits: int = BAITS,
    packs: int = PACKS,
    shops: int = SHOPS,
) -> OrderRequest:
    rng = random.Random(seed)
    listed = price_list(rng, kind=kind, baits=baits, packs=packs, shops=shops)
    suppliers = tuple(
        Supplier(
            f"s{n}",
            fee=rng.choice(kind.fees),
            minimum=rng.choice(kind.minimums),
            free_from=rng.choice(kind.free_from),
        )
        for n in range(shops)
    )
    demands = tuple(
        Demand(f"m{m:02}", f"b{b}", Fraction(rng.randint(1, 12), 4), "pint")
        for m in range(members)
        for b in range(baits)
        if rng.random() < 0.4
    )
    stock = tuple(
        Stock(f"b{rng.randrange(baits)}", Fraction(rng.randint(1, 8), 4), "pint", member)
        for member in (None, None, None, "m03", "m11")
    )
    return OrderRequest(demands, suppliers, listed, stock)


@dataclass(slots=True)
class Times:
    """Seconds of each instance: the plain model, the whole order without and with everyone reckoned
    alone; how many of the last were not proved in time."""

    plain: list[float] = field(default_factory=list)
    alone_off: list[float] = field(default_factory=list)
    whole: list[float] = field(default_factory=list)
    open_ends: int = 0


def team_problem(request: OrderRequest) -> Problem:
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return problem_prepare(request, needs=needs, scales=scales).problem


def plain_seconds(request: OrderRequest) -> tuple[float, int, bool]:
    """Seconds taken, the bound, and whether that is the least total."""
    started = perf_counter()
    problem = team_problem(request)
    solved = least_total(problem, seconds=LIMIT)
    seconds = perf_counter() - started
    verdict = None if solved.counts is None else counts_judge(problem, solved.counts)
    return seconds, solved.bound, verdict is not None and verdict.total == solved.bound


def timed(kind: Kind) -> Times:
    """Raises SystemExit where a total and a proved bound disagree."""
    times, began = Times(), perf_counter()
    for seed in range(INSTANCES):
        if seed >= FEWEST_ROUNDS and perf_counter() - began > WITHIN:
            break
        request = big_order(seed, kind=kind)
        seconds, bound, proved = plain_seconds(request)
        times.plain.append(seconds)
        answers = []
        for given, kept in (
            (replace(request, compare_alone=False), times.alone_off),
            (request, times.whole),
        ):
            started = perf_counter()
            answers.append(order_work_out(given, time_limit_s=LIMIT))
            kept.append(perf_counter() - started)
        times.open_ends += answers[-1].status == "best_found"
        for answer in answers:
            exact = proved and answer.total == answer.lower_bound
            if answer.total < bound or (exact and answer.total != bound):
                raise SystemExit(f"order: seed {seed} {kind.name}: {answer.total}, bound {bound}")
    return times


def main() -> None:
    for kind in (USUAL, ORDINARY, HARD):
        with part(f"orders, {kind.name} lists"):
            measured(kind)
    with part("orders beside CP-SAT"):
        beside_cp_sat()


def measured(kind: Kind) -> None:
    times = timed(kind)
    size = f"{kind.name} lists, {len(times.plain)} instances"
    left = f"{times.open_ends} not proved in {LIMIT:.0f} s" if times.open_ends else "all proved"
    for what, ours, aims in (
        ("order", times.alone_off, ("order-plain", "order-structure")),
        ("order and each member alone", times.whole, ("order-whole",)),
    ):
        turns = Turns(ours, times.plain)
        row = turns.row(what, size, reference=PLAIN, unit="s", aims=aims, said=left)
        # Of medians, not of each instance: what is asked is how long a captain waits.
        tell(replace(row, ratio=median(ours) / median(times.plain)))
    tell(
        Row(
            "order and each member alone, 95 of 100",
            size,
            ours=p95(times.whole),
            unit="s",
            reference=PLAIN,
            theirs=p95(times.plain),
            ratio=p95(times.whole) / p95(times.plain),
            aims=("order-p95",),
        )
    )


def beside_cp_sat() -> None:
    """What another solver takes for the same problem, where it proves its answer at all."""
    try:
        from tests.cp_sat import cp_sat_solved
    except ImportError:
        tell(Row("order", "beside CP-SAT", said="not measured: `ortools` is not installed"))
        return
    for words, wanted in (("small: 6 baits, 20 packs, 2 shops", SMALL), ("usual lists", {})):
        request = replace(big_order(0, kind=USUAL, **wanted), compare_alone=False)
        problem, proved = team_problem(request), []

        def theirs(problem: Problem = problem, proved: list[bool] = proved) -> None:
            proved.append(cp_sat_solved(problem, seconds=CP_SAT_LIMIT).proved)

        turns = in_turn(
            partial(order_work_out, request, time_limit_s=LIMIT), theirs, rounds=3, within=1
        )
        said = "proved" if all(proved) else f"not proved by it in {CP_SAT_LIMIT:.0f} s"
        tell(turns.row("order", words, reference="CP-SAT, one thread", unit="s", said=said))


if __name__ == "__main__":
    run(main)
