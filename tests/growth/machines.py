"""How many processes keep a time, by simulating with more or fewer of them."""

from __future__ import annotations

import math

import numpy as np

from .queues import Times, serve


def processes_needed(arrived: Times, takes: Times, *, within: float) -> int:
    """The fewest servers with which 95 of 100 leave within so many seconds of arriving.

    Between the mean load, below which a queue only grows, and as many as are ever there at once.
    """
    span = float(arrived[-1] - arrived[0])
    low = max(1, math.floor(float(np.sum(takes)) / span * 0.8))
    high = low
    while serve(arrived, takes, servers=high).quantile(0.95) >= within:
        low, high = high + 1, math.ceil(high * 1.3) + 1
    while low < high:
        middle = (low + high) // 2
        if serve(arrived, takes, servers=middle).quantile(0.95) < within:
            high = middle
        else:
            low = middle + 1
    return high
