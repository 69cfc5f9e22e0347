"""Placings of 500,000 entries in sections of 10, against a plain numpy lexsort ranking.

Run it with: python tests/bench/bench_placings.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
import numpy.typing as npt

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from matches.reckon.placings import INTERNATIONAL
from matches.reckon.placings.places import places_doubled, points_in_units

IntArray = npt.NDArray[np.int64]

ENTRIES, SECTION, ROUNDS, AIM = 500_000, 10, 15, 2.0


def lexsort_ranks(section: IntArray, *, weight: IntArray) -> IntArray:
    """The reference: twice the average rank by weight in each section, blanks as weight 0."""
    order = np.lexsort((-weight, section))
    s, w = section[order], weight[order]
    new = np.ones(len(s), dtype=bool)
    new[1:] = (s[1:] != s[:-1]) | (w[1:] != w[:-1])
    starts = np.flatnonzero(new)
    ends = np.append(starts[1:], len(s))
    opens = np.where(np.append(True, s[1:] != s[:-1]), np.arange(len(s)), 0)
    first = np.maximum.accumulate(opens)[starts]
    ranks = np.empty(len(s), dtype=np.int64)
    ranks[order] = np.repeat(starts + 1 - first + ends - first, ends - starts)
    return ranks


def main() -> int:
    random = np.random.default_rng(20)
    section = random.permutation(np.repeat(np.arange(ENTRIES // SECTION), SECTION))
    weight = np.where(random.random(ENTRIES) < 0.2, 0, random.integers(1, 400, ENTRIES) * 20)
    size = np.full(ENTRIES // SECTION, SECTION, dtype=np.int64)
    reference, ours, points = [], [], []
    for _ in range(ROUNDS):
        t0 = perf_counter()
        expected = lexsort_ranks(section, weight=weight)
        t1 = perf_counter()
        places = places_doubled(section, weight=weight, size=size, scheme=INTERNATIONAL)
        t2 = perf_counter()
        points_in_units(places, section=section, weight=weight, size=size, scheme=INTERNATIONAL)
        t3 = perf_counter()
        reference.append(t1 - t0)
        ours.append(t2 - t1)
        points.append(t3 - t1)
        if not np.array_equal(places, expected):
            print("placings: NOT EXACT, places differ from the reference")
            return 1
    base = median(reference)
    ratio, ratio_points = median(ours) / base, median(points) / base
    print(
        f"placings: {ENTRIES} entries in sections of {SECTION}, median of {ROUNDS}: "
        f"numpy lexsort {base * 1e3:.1f} ms, places {median(ours) * 1e3:.1f} ms "
        f"(ratio {ratio:.2f}), with points {ratio_points:.2f}; aim at most {AIM}"
    )
    return 0 if ratio_points <= AIM else 1


if __name__ == "__main__":
    sys.exit(main())
