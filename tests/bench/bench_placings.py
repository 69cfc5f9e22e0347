"""Placings of 500,000 entries in sections of 10, against a plain numpy lexsort ranking and pandas'
groupby rank. All three must agree."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matches.reckon.placings import INTERNATIONAL
from matches.reckon.placings.places import places_doubled, points_in_units
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, in_turn, tell

IntArray = npt.NDArray[np.int64]
ENTRIES, SECTION, ROUNDS = 500_000, 10, 3 if QUICK else 15


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


def entries_of(many: int) -> tuple[IntArray, IntArray, IntArray]:
    """Sections, weights (a fifth of them nothing) and the size of each section; no chance in it."""
    random = np.random.default_rng(20)
    section = random.permutation(np.repeat(np.arange(many // SECTION), SECTION))
    weight = np.where(random.random(many) < 0.2, 0, random.integers(1, 400, many) * 20)
    return section, weight, np.full(many // SECTION, SECTION, dtype=np.int64)


def main() -> None:
    import pandas

    section, weight, size = entries_of(ENTRIES)
    frame = pandas.DataFrame({"section": section, "weight": weight})

    def places() -> IntArray:
        return places_doubled(section, weight=weight, size=size, scheme=INTERNATIONAL)

    def points() -> None:
        points_in_units(places(), section=section, weight=weight, size=size, scheme=INTERNATIONAL)

    def lexsort() -> IntArray:
        return lexsort_ranks(section, weight=weight)

    def by_pandas() -> IntArray:
        ranks = frame.groupby("section")["weight"].rank(method="average", ascending=False)
        return np.rint(2 * ranks.to_numpy()).astype(np.int64)

    exact = np.array_equal(places(), lexsort()) and np.array_equal(places(), by_pandas())
    if not exact:
        raise SystemExit("placings: NOT EXACT, places differ from the reference")
    many = f"{ENTRIES:,} entries in sections of {SECTION}"
    for what, ours, reference, theirs, aims in (
        ("places", places, "numpy lexsort", lexsort, ("placings-lexsort",)),
        ("places and points", points, "numpy lexsort", lexsort, ("placings-lexsort",)),
        ("places", places, "pandas groupby rank", by_pandas, ()),
    ):
        with part(what, many):
            turns = in_turn(ours, theirs, rounds=ROUNDS)
            tell(turns.row(what, many, reference=reference, aims=aims, said="the same places"))


if __name__ == "__main__":
    run(main)
