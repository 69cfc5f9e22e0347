"""What speed is aimed at, and which bench measures it. One line an aim; `test_bench.py` holds that
each is measured where it says, and that the last run told of each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from .rows import Row


@dataclass(frozen=True, slots=True)
class Aim:
    """Met by a row whose `of` is at most `limit`: the ratio to its reference, or its own figure."""

    key: str
    bench: str
    words: str
    of: Literal["ratio", "ours"]
    limit: float

    def met(self, row: Row) -> bool | None:
        """None: not measured."""
        found = row.ratio if self.of == "ratio" else row.ours
        return None if found is None else found <= self.limit


AIMS: Final = (
    Aim(
        "order-plain",
        "bench_order",
        "an order with all its ties broken, nobody reckoned alone: no slower than HiGHS "
        "on the plain model of its first stage",
        "ratio",
        1.0,
    ),
    Aim(
        "order-structure",
        "bench_order",
        "the same, by what is known of such problems: three times as fast as HiGHS",
        "ratio",
        1 / 3,
    ),
    Aim(
        "order-whole",
        "bench_order",
        "an order and what it costs each member alone: at most three times the plain model",
        "ratio",
        3.0,
    ),
    Aim(
        "order-p95",
        "bench_order",
        "a whole order: 95 of 100 within 2 s",
        "ours",
        2.0,
    ),
    Aim(
        "order-job",
        "bench_order_job",
        "from asking for an order to the stored version: 95 of 100 within 2 s",
        "ours",
        2.0,
    ),
    Aim(
        "placings-lexsort",
        "bench_placings",
        "placings: at most twice numpy's lexsort, and exact",
        "ratio",
        2.0,
    ),
    Aim(
        "placement-time",
        "bench_placement",
        "100,000 particles within 50 ms",
        "ours",
        50.0,
    ),
    Aim(
        "placement-ivp",
        "bench_placement",
        "10,000 times as fast as solve_ivp, one by one",
        "ratio",
        1 / 10_000,
    ),
    Aim(
        "placement-near",
        "bench_placement",
        "where they land differs from solve_ivp by at most a thousandth",
        "ours",
        1e-3,
    ),
    Aim(
        "sync-sqlite",
        "bench_sync",
        "facts through the endpoint, 500 at a time: at least half as fast as Django's "
        "bulk_create of the same rows, on SQLite",
        "ratio",
        2.0,
    ),
    Aim(
        "sync-postgres",
        "bench_sync",
        "the same on PostgreSQL",
        "ratio",
        2.0,
    ),
    Aim(
        "crowd-once",
        "bench_crowd",
        "a thousand phones at once: every fact is in once",
        "ours",
        0.0,
    ),
    Aim(
        "crowd-p95",
        "bench_crowd",
        "a thousand phones at once: 95 of 100 pushes are answered within 5 s",
        "ours",
        5.0,
    ),
    Aim(
        "bank-first-load",
        "bench_bank",
        "the first load of the bank app: at most 100 kB on the wire",
        "ours",
        100.0,
    ),
    Aim(
        "bank-start",
        "bench_bank",
        "the bank app started without signal: within 1 s",
        "ours",
        1_000.0,
    ),
    Aim(
        "bank-tap",
        "bench_bank",
        "from the tap to the fact on the phone's disk, at a quarter of the speed: 95 of "
        "100 within 50 ms",
        "ours",
        50.0,
    ),
    Aim(
        "bank-screens",
        "bench_bank",
        "a screen with 10,000 facts on the phone: at most three times the same with 100",
        "ratio",
        3.0,
    ),
    Aim(
        "bank-outbox",
        "bench_bank",
        "a thousand facts kept without signal are sent within 5 s of a working line (10 "
        "s is promised)",
        "ours",
        5_000.0,
    ),
    Aim(
        "thumb-note",
        "bench_thumb",
        "a feed note or a fish again: one tap",
        "ours",
        1,
    ),
    Aim(
        "thumb-weigh",
        "bench_thumb",
        "a weigh-in: at most eight taps",
        "ours",
        8,
    ),
    Aim(
        "swim-redraw",
        "bench_swim",
        "the picture of the swim under a finger, at a quarter of the speed: redrawn within 16 ms",
        "ours",
        16.0,
    ),
    Aim(
        "api-read",
        "bench_api",
        "a small read of the API: within 15 ms",
        "ours",
        15.0,
    ),
    Aim(
        "desk-queries",
        "bench_desk",
        "a page of the desk: at most twelve queries",
        "ours",
        12,
    ),
    Aim(
        "review-changes",
        "bench_review",
        "the changes in a day of 5,000 fish: within 2 s",
        "ours",
        2.0,
    ),
    Aim(
        "review-page",
        "bench_review",
        "the review of 2,000 notes: within 300 ms",
        "ours",
        300.0,
    ),
    Aim(
        "season-whole",
        "bench_season",
        "a season of 100 matches and 40 anglers: within 10 s",
        "ours",
        10.0,
    ),
)
BY_KEY: Final = {aim.key: aim for aim in AIMS}


def aims_met(rows: Iterable[Row]) -> dict[str, bool | None]:
    """By aim: whether every row that was held against it met it. None: nothing was measured."""
    found: dict[str, bool | None] = {aim.key: None for aim in AIMS}
    for row in rows:
        for key in row.aims:
            met = BY_KEY[key].met(row)
            if met is not None:
                found[key] = met and found[key] is not False
    return found
