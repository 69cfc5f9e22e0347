"""The covers of every bait that some way to buy may still hold, listed once for all ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from .cover import Ints, TooLarge
from .listed import Listed, covers_list
from .shelf import ShelfCovers
from .ways import FAR

#: A list kept for others is made for this part more pence, and holds at most so many covers.
_KEPT_PART: Final = 4
_KEPT_MOST: Final = 2_000


@dataclass(frozen=True, slots=True)
class Choices:
    """Covers, bait after bait: the bait, pence, the set of sellers, pence with each seller.

    `places`: where each stands in its bait's list of `lists`.
    """

    baits: Ints
    pence: Ints
    sets: Ints
    spends: Ints
    places: Ints
    lists: tuple[Listed, ...]


def choices_find(
    baits: Sequence[ShelfCovers],
    *,
    sellers: Sequence[int],
    sets: Ints,
    most: Ints,
    deadline: float,
) -> Choices:
    """All covers that one of `sets` (of `sellers`) may buy for its `most` pence, bait by bait.

    Raises TooLarge where they are too many, and OutOfTime.
    """
    within = np.full((len(baits), 1 << len(sellers)), -1, dtype=np.int64)
    np.maximum.at(within, np.ix_(np.arange(len(baits)), sets), most)
    for j in range(len(sellers)):
        pairs = within.reshape(len(baits), -1, 2, 1 << j)
        np.maximum(pairs[:, :, 0], pairs[:, :, 1], out=pairs[:, :, 0])
    lists = tuple(
        _listed(bait, sellers=sellers, within=mine, deadline=deadline)
        for bait, mine in zip(baits, within, strict=True)
    )
    sizes = [len(one.pence) for one in lists]
    at = np.repeat(np.arange(len(lists)), sizes)
    pence = np.concatenate([one.pence for one in lists])
    used = np.concatenate([one.sets for one in lists])
    fits = np.flatnonzero(pence <= within[at, used])
    spends = np.concatenate([one.spends for one in lists])[fits]
    places = np.concatenate([np.arange(size) for size in sizes])[fits]
    return Choices(at[fits], pence[fits], used[fits], spends, places, lists)


def _listed(bait: ShelfCovers, *, sellers: Sequence[int], within: Ints, deadline: float) -> Listed:
    """The covers of a bait for at most the pence that `within` has for their set, or more.

    Where others may ask for as much of the bait from the same packs, all covers up to some pence
    are kept for them, whatever their set, as long as those are not too many.
    """
    if bait.lists is None:
        return covers_list(bait, sellers=sellers, within=within, deadline=deadline)
    most = int(within.max())
    place = (bait.signature, bait.need, tuple(sellers))
    pence, found = bait.lists.get(place, (-1, None))
    if pence < most:
        pence, found = most + most // _KEPT_PART, None
        wide = np.full_like(within, pence)
        try:
            found = covers_list(
                bait, sellers=sellers, within=wide, deadline=deadline, rows=_KEPT_MOST
            )
        except TooLarge:
            pence = FAR
        bait.lists[place] = pence, found
    if found is None:
        return covers_list(bait, sellers=sellers, within=within, deadline=deadline)
    return found
