"""Of many sums, those that no other beats: what is beaten need not be gone on with."""

from __future__ import annotations

from typing import Final

import numpy as np

from .cover import Bools, Ints, TooLarge

_FRONT_MOST: Final = 400_000
#: So many rows at once are held against each other, and against so many of the cheapest before.
_BLOCK: Final = 500
_RIVALS: Final = 200


def undominated(keys: Ints, gains: Ints) -> tuple[Ints, Ints]:
    """Rows that no other beats at once in key (small) and in every column of gains (large), least
    key first.

    Of many rows some that are beaten may stay: to find each of them takes longer than to go on
    with it. Raises TooLarge where too many are left.
    """
    columns = [-gains[:, c] for c in reversed(range(gains.shape[1]))]
    order = np.lexsort([*columns, keys])
    keys, gains = keys[order], gains[order]
    if gains.shape[1] == 1:
        reach = np.maximum.accumulate(gains[:, 0])
        kept = np.flatnonzero(np.concatenate(([True], gains[1:, 0] > reach[:-1]))[: len(keys)])
    else:
        kept = _unbeaten(gains)
    if len(kept) > _FRONT_MOST:
        raise TooLarge
    return keys[kept], gains[kept]


def _unbeaten(gains: Ints) -> Ints:
    """Which rows are not seen to gain as little everywhere as a row before them."""
    columns = np.ascontiguousarray(gains.T)
    kept = np.zeros(0, dtype=np.int64)
    for start in range(0, len(gains), _BLOCK):
        rows = np.arange(start, min(start + _BLOCK, len(gains)))
        rivals = kept[:_RIVALS]
        pairs = np.ones((len(rows), len(rivals)), dtype=np.bool_)
        rows = rows[~_beaten(columns[:, rows], columns[:, rivals], pairs)]
        pairs = np.tri(len(rows), k=-1, dtype=np.bool_)
        rows = rows[~_beaten(columns[:, rows], columns[:, rows], pairs)]
        kept = np.concatenate([kept, rows])
    return kept


def _beaten(rows: Ints, others: Ints, pairs: Bools) -> Bools:
    """Which rows some other gains as much as in every column. Both stand by column; `pairs` says
    which others each row may be held against, and is used up."""
    for own, other in zip(rows, others, strict=True):
        pairs &= other >= own[:, None]
    found: Bools = np.logical_or.reduce(pairs, axis=1)
    return found
