"""All covers of one bait that are cheap enough, with what each spends with whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from .baits import BaitCovers
from .cover import Ints, TooLarge, time_check
from .ways import FAR

ROWS_MOST: Final = 60_000
_PAIRS_MOST: Final = 4_000_000


@dataclass(frozen=True, slots=True)
class Listed:
    """Covers of one bait: pence, the set of sellers, pence with each seller, count of each pack."""

    pence: Ints
    sets: Ints
    spends: Ints
    counts: Ints


def covers_list(
    bait: BaitCovers,
    *,
    sellers: Sequence[int],
    within: Ints,
    deadline: float,
    rows: int = ROWS_MOST,
) -> Listed:
    """All covers of a bait for at most the pence that `within` has for their set of `sellers`.

    A set has at least the pence of every set that holds it, so that a cover begun is dropped only
    where no end of it fits. Raises TooLarge where they are more than `rows`, and OutOfTime.
    """
    amounts = pence = sets = np.zeros(1, dtype=np.int64)
    spends = np.zeros((1, len(sellers)), dtype=np.int64)
    counts = np.zeros((1, len(bait.packs)), dtype=np.int64)
    for n, pack in enumerate(bait.packs):
        time_check(deadline)
        options, at = bait.options_all(pack), sellers.index(bait.problem.packs[pack].supplier)
        if len(pence) * len(options.keys) > _PAIRS_MOST:
            raise TooLarge
        each = options.keys // bait.keys.penny
        have = amounts[:, None] + options.amounts
        rest = bait.cover(bait.packs[n + 1 :]).at(bait.need - have)
        total = pence[:, None] + each
        both = sets[:, None] | np.where(options.counts > 0, 1 << at, 0)
        ends = total + np.minimum(rest // bait.keys.penny, FAR)
        row, column = np.nonzero(ends <= within[both])
        if len(row) > rows:
            raise TooLarge
        amounts = np.minimum(have[row, column], bait.need)
        pence, sets, spends = total[row, column], both[row, column], spends[row]
        spends[:, at] += each[column]
        counts = counts[row]
        counts[:, n] = options.counts[column]
    return Listed(pence, sets, spends, counts)
