"""When the rate of a catch changed: Bayesian blocks over the times of the fish."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

import numpy as np
from scipy.special import betaincinv, gammaincinv

Array = np.ndarray[Any, np.dtype[np.float64]]

#: How often a steady catch is cut in two by chance alone.
FALSE_ALARM: Final = 0.05
LOW, HIGH = 0.05, 0.95
SECONDS_PER_HOUR: Final = 3600
#: What a count says of a rate when nothing else is known (Jeffreys' prior for a Poisson rate).
JEFFREYS: Final = 0.5


@dataclass(frozen=True, slots=True)
class Fish:
    """So many fish at one moment, in seconds since the start of what was watched."""

    second: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch of one rate: from and to in seconds, its fish, and their rate an hour.

    `per_hour_90` holds the rate nine times in ten, as if the stretch had been chosen beforehand.
    """

    start: float
    end: float
    fish: int
    per_hour: float
    per_hour_90: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Change:
    """Between two blocks: when, between which seconds nine times in ten, and by what factor.

    `ratio_90` is of the later rate to the earlier one. `ratio` is None where none came before.
    """

    second: float
    second_90: tuple[float, float]
    ratio: float | None
    ratio_90: tuple[float, float]


def blocks_find(
    fish: Sequence[Fish], *, start: float, end: float, false_alarm: float = FALSE_ALARM
) -> tuple[Block, ...]:
    """The stretches of steady catch that explain the fish best, from `start` to `end`.

    J. D. Scargle and others, Astrophysical Journal 764 (2013), 167: the optimal partition (their
    section 2.6) under the fitness N·ln(N/T) of event data (eq. 19) less what each further block
    must earn (eq. 21), so that a steady catch is cut about once in twenty times. Cells reach from
    midway to midway between fish, the first from `start`, the last to `end`. Work grows as the
    square of the number of moments. Fish outside `start` to `end` must be left out before;
    ValueError where they are not, or where no time passes.
    """
    if not start < end or any(not start <= one.second <= end for one in fish):
        raise ValueError("Fish lie from start to end, and time passes between them.")
    edges, counts = _cells(fish, start=start, end=end)
    cuts = _partition(edges, counts, false_alarm=false_alarm)
    return tuple(_block(edges, counts, first, last) for first, last in pairwise(cuts))


def changes_between(blocks: Sequence[Block], fish: Sequence[Fish]) -> tuple[Change, ...]:
    """What lies between each block and the next; `fish` are those the blocks were found in."""
    return tuple(_change(before, after, fish) for before, after in pairwise(blocks))


def _cells(fish: Sequence[Fish], *, start: float, end: float) -> tuple[Array, Array]:
    at: dict[float, int] = {}
    for one in fish:
        at[one.second] = at.get(one.second, 0) + one.count
    times = np.array(sorted(at), dtype=float)
    edges = np.concatenate([[start], (times[1:] + times[:-1]) / 2, [end]])
    counts = np.array([at[float(time)] for time in times] or [0], dtype=float)
    return edges, counts


def _partition(edges: Array, counts: Array, *, false_alarm: float) -> list[int]:
    """Where the best blocks begin and end, as places in `edges`."""
    cells, fish = len(counts), float(counts.sum())
    if not fish:
        return [0, cells]
    price = 4 - math.log(73.53 * false_alarm * fish**-0.478)
    sums = np.concatenate([[0.0], np.cumsum(counts)])
    best, last = np.zeros(cells + 1), np.zeros(cells + 1, dtype=int)
    for n in range(1, cells + 1):
        inside = sums[n] - sums[:n]
        worth = best[:n] + inside * np.log(inside / (edges[n] - edges[:n])) - price
        last[n] = int(np.argmax(worth))
        best[n] = worth[last[n]]
    cuts = [cells]
    while cuts[-1]:
        cuts.append(int(last[cuts[-1]]))
    return cuts[::-1]


def _block(edges: Array, counts: Array, first: int, last: int) -> Block:
    fish, start, end = int(counts[first:last].sum()), float(edges[first]), float(edges[last])
    hours = (end - start) / SECONDS_PER_HOUR
    low, high = gammaincinv(fish + JEFFREYS, [LOW, HIGH]) / hours
    return Block(start, end, fish, fish / hours, (float(low), float(high)))


def _change(before: Block, after: Block, fish: Sequence[Fish]) -> Change:
    ratio = after.per_hour / before.per_hour if before.per_hour else None
    return Change(after.start, _when(before, after, fish), ratio, _ratio_90(before, after))


def _when(before: Block, after: Block, fish: Sequence[Fish]) -> tuple[float, float]:
    """Nine times in ten the one change between two blocks lies here.

    Each gap between fish is as likely to hold it as the two rates left and right make the fish.
    """
    inside = [one for one in fish if before.start <= one.second <= after.end]
    edges, counts = _cells(inside, start=before.start, end=after.end)
    if len(counts) < 2:
        return after.start, after.start
    left, time = np.cumsum(counts)[:-1], edges[1:-1] - edges[0]
    right, rest = counts.sum() - left, edges[-1] - edges[1:-1]
    likely = left * np.log(left / time) + right * np.log(right / rest)
    moments = np.array(sorted({one.second for one in inside}))
    # A wide gap between two fish holds more moments than a narrow one.
    weight = np.exp(likely - likely.max()) * np.diff(moments)
    share = np.cumsum(weight) / weight.sum()
    first, last = (int(np.argmax(share >= bound)) for bound in (LOW, HIGH))
    low, high = float(moments[first]), float(moments[last + 1])
    return min(low, after.start), max(high, after.start)


def _ratio_90(before: Block, after: Block) -> tuple[float, float]:
    """The ratio of two Gamma variables by way of the Beta distribution."""
    share = betaincinv(after.fish + JEFFREYS, before.fish + JEFFREYS, [LOW, HIGH])
    times = (before.end - before.start) / (after.end - after.start)
    low, high = share / (1 - share) * times
    return float(low), float(high)
