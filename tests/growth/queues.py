"""Queues: served first come, first served by several servers, simulated and in closed form.

Times are seconds, arrays are of one float an arrival, in the order of arriving.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.float64]


@dataclass(frozen=True)
class Served:
    """What each arrival met: its wait before being served, and when it left."""

    arrived: Times
    waited: Times
    left: Times

    def quantile(self, part: float) -> float:
        """The time from arriving to leaving that `part` of all stay within."""
        return float(np.quantile(self.left - self.arrived, part))

    def wait_quantile(self, part: float) -> float:
        return float(np.quantile(self.waited, part))

    @property
    def mean_inside(self) -> float:
        """How many are inside on average, counted over time from the coming and going alone."""
        times = np.concatenate([self.arrived, self.left])
        steps = np.concatenate([np.ones(len(self.arrived)), -np.ones(len(self.left))])
        order = np.argsort(times, kind="stable")
        inside = np.cumsum(steps[order])[:-1]
        return float(np.sum(inside * np.diff(times[order])) / self.span)

    @property
    def span(self) -> float:
        return float(self.left.max() - self.arrived.min())

    @property
    def mean_inside_by_little(self) -> float:
        """The same by Little's law: arrivals a second times the mean time inside."""
        return float(len(self.arrived) / self.span * np.mean(self.left - self.arrived))


def serve(arrived: Times, takes: Times, *, servers: int) -> Served:
    """Serve these arrivals (sorted), each for as long as it takes, by so many servers."""
    free = [float("-inf")] * servers
    waited, left = np.empty(len(arrived)), np.empty(len(arrived))
    for at, (time, need) in enumerate(zip(arrived.tolist(), takes.tolist(), strict=True)):
        start = max(time, free[0])
        heapq.heapreplace(free, start + need)
        waited[at], left[at] = start - time, start + need
    return Served(arrived, waited, left)


def arrivals(rates: Times, *, width: float, rng: np.random.Generator) -> Times:
    """Arrivals of a Poisson process whose rate, a second, is constant over each `width` seconds."""
    counts = rng.poisson(rates * width)
    begins = np.repeat(np.arange(len(rates)) * width, counts)
    return np.sort(begins + rng.random(len(begins)) * width)


def erlang_c(load: float, servers: int) -> float:
    """The part of arrivals that must wait, of M/M/c: `load` erlangs on so many servers.

    By the recursion of Erlang's loss formula: B(0) = 1, B(c) = aB(c-1) / (c + aB(c-1)), and
    C = B / (1 - a/c (1 - B)) (Gross and Harris, Fundamentals of Queueing Theory, chapter 2).
    """
    if load >= servers:
        return 1.0
    lost = 1.0
    for count in range(1, servers + 1):
        lost = load * lost / (count + load * lost)
    return lost / (1 - load / servers * (1 - lost))


def mean_wait(rate: float, takes: float, servers: int) -> float:
    """The mean wait of M/M/c, in seconds: C / (c/takes - rate)."""
    return erlang_c(rate * takes, servers) / (servers / takes - rate)
