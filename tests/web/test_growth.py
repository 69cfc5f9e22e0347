"""The simulator of a large Saturday agrees with what is known of queues."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from tests.growth.machines import processes_needed
from tests.growth.partition import paths_to_club
from tests.growth.queues import arrivals, erlang_c, mean_wait, serve
from tests.growth.saturday import Club, asked, facts_a_day, orders_asked


@pytest.mark.parametrize(
    ("load", "servers", "waits"),
    [
        (0.8, 1, 0.8),  # M/M/1: the part that waits is the load (Gross and Harris, chapter 2)
        (1.5, 2, 2 * 0.75**2 / 1.75),  # M/M/2: 2r²/(1+r) with r the load of each (the same)
        (10, 14, 0.1741),  # 200 calls an hour of 3 minutes, 14 at the telephones: from memory
        (3, 3, 1.0),
    ],
)
def test_part_that_waits_is_that_of_the_published_formula(
    load: float, servers: int, waits: float
) -> None:
    assert erlang_c(load, servers) == pytest.approx(waits, abs=5e-5)


@pytest.mark.parametrize("servers", [1, 4, 14])
def test_simulated_queue_waits_as_the_closed_form_says(servers: int) -> None:
    rng = np.random.default_rng(5)
    rate, takes = 0.7 * servers, 1.0
    arrived = arrivals(np.full(3000, rate), width=60, rng=rng)
    served = serve(arrived, rng.exponential(takes, len(arrived)), servers=servers)
    assert np.mean(served.waited > 0) == pytest.approx(erlang_c(0.7 * servers, servers), rel=0.05)
    assert np.mean(served.waited) == pytest.approx(mean_wait(rate, takes, servers), rel=0.08)
    assert served.mean_inside == pytest.approx(served.mean_inside_by_little, rel=1e-9)


def test_as_many_arrive_as_the_rates_say_and_when_they_say() -> None:
    rates = np.array([0.0, 20.0, 5.0])
    times = arrivals(rates, width=1000, rng=np.random.default_rng(1))
    counts = np.histogram(times, bins=[0, 1000, 2000, 3000])[0]
    assert counts[0] == 0 and list(times) == sorted(times)
    assert counts[1] == pytest.approx(20_000, rel=0.03) and counts[2] == pytest.approx(
        5_000, rel=0.05
    )


def test_a_day_holds_every_fact_and_order_once() -> None:
    club = Club()
    day = asked(100, club)
    notes = day["push of 6 notes"].sum() * 6 + day["push of 60 notes"].sum() * 60
    assert notes + day["push of a weigh-in"].sum() == pytest.approx(facts_a_day(100, club))
    assert orders_asked(100, club).sum() == pytest.approx(100 * club.orders)


def test_fewest_processes_that_keep_the_time_are_found() -> None:
    rng = np.random.default_rng(2)
    arrived = arrivals(np.full(30, 40.0), width=10, rng=rng)
    takes = rng.exponential(0.1, len(arrived))
    found = processes_needed(arrived, takes, within=1.0)
    assert serve(arrived, takes, servers=found).quantile(0.95) < 1.0
    assert serve(arrived, takes, servers=found - 1).quantile(0.95) >= 1.0


def test_every_table_is_of_one_club_or_named_as_crossing() -> None:
    paths = paths_to_club()
    assert paths["matches_fact"] == ("club",)
    assert paths["matches_weighin"] is not None and paths["matches_person"] is None
    lengths = [len(path) for path in paths.values() if path is not None]
    assert len(lengths) > 40 and all(a <= 6 for a, _b in pairwise(lengths))
