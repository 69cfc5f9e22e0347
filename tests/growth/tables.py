"""What was measured and what is scaled from it, as tables in Markdown, marked apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import Any, Final

import numpy as np

from .machines import processes_needed
from .measured import Measured, Spent
from .queues import Served, Times, arrivals, serve
from .saturday import CUT_OFF, HARD_ORDER, Club, asked, facts_a_day, orders_asked

WITHIN: Final = 1.0
BUSIEST_MINUTES: Final = 10
ORDER_WITHIN: Final = 60.0
THREADS: Final = 4
#: Connections that PostgreSQL lets in as it comes (its manual, max_connections).
CONNECTIONS: Final = 100
YEAR_GB: Final = 1e9
SECONDS_AN_HOUR: Final = 3600


@dataclass(frozen=True)
class Day:
    """One Saturday of so many clubs, simulated."""

    clubs: int
    rates: dict[str, np.ndarray[Any, Any]]
    busiest: slice
    processes: int
    least: int
    load: float
    served: Served
    processor_hours: float
    workers: int
    hard_workers: int
    order_load: float
    orders: Served
    order_hours: float

    @property
    def peak(self) -> float:
        """Requests a second in the busiest minutes."""
        return sum(float(r[self.busiest].mean()) for r in self.rates.values()) / 60


def day_of(found: Measured, *, clubs: int, seed: int) -> Day:
    """Simulate the busiest minutes of the day, and the orders of the day before."""
    rng = np.random.default_rng(seed)
    club = Club()
    rates = asked(clubs, club)
    busiest = _busiest(rates, found)
    arrived, takes, least = _mixed(rates, busiest, found, rng)
    processes = processes_needed(arrived, takes, within=WITHIN)
    minutes = orders_asked(clubs, club)
    ordered = arrivals(minutes / 60, width=60, rng=rng)
    working = rng.choice(found.order.wall, len(ordered))
    hard = np.full(len(ordered), HARD_ORDER)
    workers = _workers(ordered, working)
    return Day(
        clubs=clubs,
        rates=rates,
        busiest=busiest,
        processes=processes,
        least=processes_needed(arrived, least, within=WITHIN),
        load=float(takes.sum()) / (BUSIEST_MINUTES * 60),
        served=serve(arrived, takes, servers=processes),
        processor_hours=sum(
            float(rates[kind].sum()) * fmean(spent.processor) for kind, spent in found.kinds.items()
        )
        / SECONDS_AN_HOUR,
        workers=workers,
        hard_workers=_workers(ordered, hard),
        order_load=float(minutes.max()) / 60 * fmean(found.order.wall),
        orders=serve(ordered, working, servers=workers),
        order_hours=float(working.sum()) / SECONDS_AN_HOUR,
    )


def _busiest(rates: Mapping[str, Times], found: Measured) -> slice:
    """The minutes in which most seconds of work arrive."""
    load = sum(rates[kind] * fmean(spent.wall) for kind, spent in found.kinds.items())
    run = np.convolve(np.asarray(load), np.ones(BUSIEST_MINUTES), "valid")
    first = int(np.argmax(run))
    return slice(first, first + BUSIEST_MINUTES)


def _mixed(
    rates: Mapping[str, Times], when: slice, found: Measured, rng: np.random.Generator
) -> tuple[Times, Times, Times]:
    """All arrivals of those minutes, and for each one of the times measured of its kind: by the
    clock, and of the processor."""
    came, need, least = [], [], []
    for kind, spent in found.kinds.items():
        times = arrivals(rates[kind][when] / 60, width=60, rng=rng)
        came.append(times)
        tries = rng.integers(len(spent.wall), size=len(times))
        need.append(np.array(spent.wall)[tries])
        least.append(np.array(spent.processor)[tries])
    arrived = np.concatenate(came)
    order = np.argsort(arrived, kind="stable")
    return arrived[order], np.concatenate(need)[order], np.concatenate(least)[order]


def _workers(ordered: Times, takes: Times) -> int:
    """The fewest with which 95 of 100 orders are worked out in time."""
    count = 1
    while serve(ordered, takes, servers=count).quantile(0.95) >= ORDER_WITHIN:
        count += 1
    return count


def table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(map(str, line)) + " |" for line in lines) + "\n"


def measured_table(found: Measured) -> str:
    """Everything in it was timed or counted by this run."""

    def row(name: str, spent: Spent) -> list[object]:
        ms = [
            f"{1000 * x:.1f}" for x in (median(spent.wall), *_p95(spent), median(spent.processor))
        ]
        return [name, *ms, len(spent.wall)]

    rows = [row(name, spent) for name, spent in found.kinds.items()]
    rows.append(row("an order worked out", found.order))
    rows.append(row("of a weigh-in's push, the storing", found.locked))
    head = ("measured", "median ms", "95 of 100 ms", "processor ms", "tries")
    log = "" if found.log_bytes is None else f", {found.log_bytes:,.0f} bytes of write-ahead log"
    return table(head, rows) + f"\nA fact leaves {found.fact_bytes:,.0f} bytes (measured){log}.\n"


def _p95(spent: Spent) -> list[float]:
    return [float(np.quantile(spent.wall, 0.95))]


def scaled_tables(found: Measured, *, clubs: Sequence[int], seed: int) -> str:
    """Everything in it follows from what was measured and what `saturday.py` assumes."""
    days = [day_of(found, clubs=count, seed=seed) for count in clubs]
    club = Club()
    rows: list[list[object]] = []

    def add(words: str, of: Callable[[Day], str]) -> None:
        rows.append([words, *map(of, days)])

    add("facts on the day", lambda d: f"{facts_a_day(d.clubs, club):,}")
    add("facts stored a year, GB", lambda d: f"{_year(found, d.clubs, club):,.1f}")
    add("requests on the day", lambda d: f"{sum(float(r.sum()) for r in d.rates.values()):,.0f}")
    add("busiest minutes begin", lambda d: f"{d.busiest.start // 60}:{d.busiest.start % 60:02}")
    add("requests a second then", lambda d: f"{d.peak:,.0f}")
    add("web processes for 95 of 100 within 1 s", lambda d: f"{d.processes}")
    add("the same at processor times alone", lambda d: f"{d.least}")
    add("time within which 95 of 100 are answered, s", lambda d: f"{d.served.quantile(0.95):.2f}")
    add("requests inside on average, counted", lambda d: f"{d.served.mean_inside:.2f}")
    add("the same by Little's law", lambda d: f"{d.served.mean_inside_by_little:.2f}")
    add("processor hours of web, a Saturday", lambda d: f"{d.processor_hours:,.1f}")
    add(
        f"orders asked before {CUT_OFF}:00 the evening before",
        lambda d: f"{len(d.orders.waited):,}",
    )
    add("workers for 95 of 100 orders within a minute", lambda d: f"{d.workers}")
    add(f"the same if each took {HARD_ORDER:.0f} s", lambda d: f"{d.hard_workers}")
    add("wait of an order, 95 of 100, s", lambda d: f"{d.orders.wait_quantile(0.95):.1f}")
    add("worker hours of orders", lambda d: f"{d.order_hours:,.1f}")
    add(f"connections at {THREADS} threads a process", lambda d: f"{_connections(d):,}")
    add("storing, were there one writer, busy then", lambda d: f"{100 * _writing(found, d):,.0f} %")
    add("one club's lock, busy then", lambda d: f"{100 * _writing(found, d) / d.clubs:.2f} %")
    if (log := found.log_bytes) is not None:
        add(
            "write-ahead log of the day, GB",
            lambda d: f"{facts_a_day(d.clubs, club) * log / YEAR_GB:,.1f}",
        )
    return (
        table(("scaled", *(f"{d.clubs:,} clubs" for d in days)), rows) + "\n" + _full(found, days)
    )


def _year(found: Measured, clubs: int, club: Club) -> float:
    return facts_a_day(clubs, club) * club.matches_a_year * found.fact_bytes / YEAR_GB


def _connections(day: Day) -> int:
    return day.processes * THREADS + day.workers


def _writing(found: Measured, day: Day) -> float:
    """Seconds of storing that arrive a second, were each to wait for the one before."""
    pushes = {kind: r for kind, r in day.rates.items() if kind.startswith("push")}
    share = fmean(found.locked.wall) / fmean(found.kinds["push of a weigh-in"].wall)
    return sum(
        float(r[day.busiest].mean()) / 60 * fmean(found.kinds[kind].wall) * share
        for kind, r in pushes.items()
    )


def _full(found: Measured, days: Sequence[Day]) -> str:
    """At how many clubs each thing is full, the first to be so at the top: by proportion."""
    day = days[-1]
    each = {
        f"{CONNECTIONS} connections, as PostgreSQL comes": CONNECTIONS / _connections(day),
        "one web process: its time is all used": 1 / day.load,
        "one worker, the hour before the cut-off": 1 / day.order_load,
    }
    if found.log_bytes is None:
        each["SQLite's single writer: its time is all used"] = 1 / _writing(found, day)
    rows = [[words, f"{part * day.clubs:,.0f}"] for words, part in sorted(each.items(), key=_part)]
    return table(("full at about so many clubs", "clubs"), rows)


def _part(pair: tuple[str, float]) -> float:
    return pair[1]


def partition_table(paths: Mapping[str, tuple[str, ...] | None]) -> str:
    """By which key each table would be shared out between databases."""
    ways: dict[str, list[str]] = {}
    for name, path in sorted(paths.items()):
        way = "crosses clubs" if path is None else ".".join(path) or "the club itself"
        ways.setdefault(way, []).append(name)
    count = Counter({way: len(names) for way, names in ways.items()})
    rows = [[f"`{way}`", n, ", ".join(ways[way])] for way, n in count.most_common()]
    return table(("way to the club", "tables", "which"), rows)
