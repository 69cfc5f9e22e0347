"""How the cost of what is reckoned grows: orders, placings, placement, the draw, a league, a
season; each beside its reference."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import Any

import numpy as np
import pandas

from bait.reckon.order.milp import least_total
from bait.reckon.order.work import order_work_out
from bait.reckon.placement import placement_parse, placement_work_out
from bait.reckon.season import AnglerDay, Column, FeedGiven, season_work_out
from matches.reckon.draw import DrawAngler, DrawRequest, DrawSection, draw_work_out
from matches.reckon.league import LeagueRequest, Round, RoundEntry, league_work_out
from matches.reckon.placings import INTERNATIONAL
from matches.reckon.placings.places import places_doubled
from tests.bench.bench_order import (
    BAITS,
    LIMIT,
    PACKS,
    PLAIN,
    SHOPS,
    USUAL,
    big_order,
    team_problem,
)
from tests.bench.bench_placement import ASKED, solved_drift
from tests.bench.bench_placings import entries_of, lexsort_ranks
from tests.bench.bench_season import least_squares
from tests.bench.growing import Work, grown
from tests.bench.parts import part, run
from tests.bench.rows import tell

ROUNDS_HELD, MATCH_ANGLERS, NOTES, HOURS = 10, 20, 15, 5
SHARE_SOLVED = 1_000


def main() -> None:
    curves = (
        ("orders", "Orders", "packs on the lists", (20, 200, 2_000), orders, PLAIN),
        ("placings", "Placings", "entries", (5_000, 50_000, 500_000), placings, "numpy lexsort"),
        (
            *("placement", "Placement", "particles", (1_000, 10_000, 100_000)),
            *(placement, "solve_ivp, a thousandth of them"),
        ),
        ("draw", "The draw", "anglers", (100, 1_000, 10_000), draw, "random.shuffle of Python"),
        (
            *("league", "A league of ten rounds", "anglers", (20, 200, 2_000)),
            *(league, "pandas groupby and rank"),
        ),
        (
            *("season", "What went with weight in a season", "angler days"),
            *((100, 1_000, 10_000), season, "numpy lstsq"),
        ),
    )
    for key, title, of, sizes, make, reference in curves:
        with part(title):
            tell(grown(key, title, of, sizes, make, reference=reference))


def orders(packs: int) -> tuple[Work, Work]:
    """Baits grow with the packs, and shops up to ten; twenty members."""
    baits, shops = packs * BAITS // PACKS, min(SHOPS, packs // 10)
    asked = big_order(0, kind=USUAL, packs=packs, baits=baits, shops=shops)
    request = replace(asked, compare_alone=False)
    return (
        partial(order_work_out, request, time_limit_s=LIMIT),
        lambda: least_total(team_problem(request), seconds=LIMIT),
    )


def placings(entries: int) -> tuple[Work, Work]:
    section, weight, size = entries_of(entries)
    return (
        partial(places_doubled, section, weight=weight, size=size, scheme=INTERNATIONAL),
        partial(lexsort_ranks, section, weight=weight),
    )


def placement(particles: int) -> tuple[Work, Work]:
    asked = placement_parse({**ASKED, "particles": particles})
    solved = particles // SHARE_SOLVED
    return (
        partial(placement_work_out, asked),
        lambda: [solved_drift(0.03 + 0.03 * n / solved) for n in range(solved)],
    )


def draw(anglers: int) -> tuple[Work, Work]:
    names = [f"a{n}" for n in range(anglers)]
    request = DrawRequest(
        bytes(31) + b"\1",
        tuple(DrawAngler(name) for name in names),
        (DrawSection("A", tuple(map(str, range(anglers)))),),
        "open",
    )
    return partial(draw_work_out, request), lambda: random.Random(1).shuffle(list(names))


def league(anglers: int) -> tuple[Work, Work]:
    chance = random.Random(1)
    rows = [
        (r, f"a{n}", place, chance.randrange(9_000))
        for r in range(ROUNDS_HELD)
        for place, n in enumerate(chance.sample(range(anglers), anglers), 1)
    ]
    rounds = tuple(
        Round(
            str(r),
            tuple(
                RoundEntry(name, Fraction(place), weight, Fraction(place))
                for of, name, place, weight in rows
                if of == r
            ),
        )
        for r in range(ROUNDS_HELD)
    )
    frame = pandas.DataFrame(rows, columns=["round", "angler", "points", "weight"])

    def theirs() -> Any:
        return frame.groupby("angler")[["points", "weight"]].sum().rank(method="min")

    return partial(league_work_out, LeagueRequest(rounds)), theirs


def season(days: int) -> tuple[Work, Work]:
    made = season_days(days // MATCH_ANGLERS)
    return partial(season_work_out, made), least_squares(made)


def season_days(matches: int) -> tuple[AnglerDay, ...]:
    """Twenty anglers a match, a feed of one of eight baits every nineteen minutes."""
    chance = random.Random(1)
    columns = [Column("bait", f"bait-{n}", "pint") for n in range(8)]
    amounts = [Fraction(1, 10), Fraction(1, 5), Fraction(1, 4), Fraction(1, 2)]
    seconds = HOURS * 3_600
    moments = tuple(int(600 + 16_800 * k / NOTES) for k in range(NOTES))
    days = []
    for match in range(matches):
        weights = [round(chance.lognormvariate(7.5, 0.7)) for _ in range(MATCH_ANGLERS)]
        for n, own in enumerate(weights):
            feeds = tuple(
                FeedGiven(at, chance.choice(columns), chance.choice(amounts), False)
                for at in moments
            )
            others = tuple(weights[:n] + weights[n + 1 :])
            days.append(
                AnglerDay(f"m{match}", f"a{n}", seconds, own, others, feeds, moments, fish=0)
            )
    return tuple(days)


if __name__ == "__main__":
    np.seterr(all="ignore")
    run(main)
