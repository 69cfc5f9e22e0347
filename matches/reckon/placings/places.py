"""Places and points for any number of sections at once, in whole numbers on arrays.

A place is held doubled, so that the half of a shared place is exact: 11 is place 5.5.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from .scheme import Scheme

IntArray = npt.NDArray[np.int64]

NOT_PLACED: Final = -1
"""Stands for the weight of an absent or disqualified angler in the arrays."""


def places_doubled(
    section: IntArray, *, weight: IntArray, size: IntArray, scheme: Scheme
) -> IntArray:
    """Twice the place of each entry, in the order given.

    `section` holds each entry's section as a position in `size`, the sections' sizes (anglers);
    `weight` is above 0 for a catch, 0 for a blank, NOT_PLACED for the absent and disqualified.
    All are int64. Raises ValueError where sections and weights together pass 63 bits.
    """
    if not len(section):
        return np.empty(0, dtype=np.int64)
    order, starts, ends = _blocks(section, weight=weight, sections=len(size))
    leaders = order[starts]
    of_section, of_weight = section[leaders], weight[leaders]
    before = _entries_before(section, sections=len(size))[of_section]
    doubled = _block_places(
        starts + 1 - before, ends - before, of_weight, 2 * size[of_section], scheme
    )
    places = np.empty(len(section), dtype=np.int64)
    places[order] = np.repeat(doubled, ends - starts)
    return places


def _blocks(
    section: IntArray, *, weight: IntArray, sections: int
) -> tuple[IntArray, IntArray, IntArray]:
    """The order by section, then heaviest first; and where each run of equals starts and ends.

    One whole number carries both, so that one sort does it.
    """
    heaviest = int(weight.max())
    span = heaviest - NOT_PLACED + 1
    if sections * span >= 2**63:
        raise ValueError("too many sections for such weights")
    key = section * span + (heaviest - weight)
    order = np.argsort(key)
    sorted_key = key[order]
    starts = np.flatnonzero(np.concatenate(([True], sorted_key[1:] != sorted_key[:-1])))
    ends = np.append(starts[1:], len(section))
    return order, starts, ends


def _entries_before(section: IntArray, *, sections: int) -> IntArray:
    """How many entries stand in earlier sections, for each section."""
    counts = np.bincount(section, minlength=sections)
    return np.cumsum(counts) - counts


def _block_places(
    best: IntArray, worst: IntArray, weight: IntArray, size2: IntArray, scheme: Scheme
) -> IntArray:
    """Doubled places of runs of equal weights that fill places `best` to `worst`."""
    tied = {"average": best + worst, "same_best": 2 * best, "same_worst": 2 * worst}
    left = best + size2 // 2
    blank = {
        "average_of_left": left,
        "last_plus_one": 2 * best,
        "size": size2,
        "size_plus_one": size2 + 2,
        "one": left,
        "zero": left,
    }
    absent = {
        "size_plus_one": size2 + 2,
        "size_plus_two": size2 + 4,
        "size": size2,
        "zero": size2 + 2,
    }
    placed = np.where(weight > 0, tied[scheme.ties], blank[scheme.blank])
    return np.where(weight == NOT_PLACED, absent[scheme.absent], placed)


def points_in_units(
    place2: IntArray, *, section: IntArray, weight: IntArray, size: IntArray, scheme: Scheme
) -> IntArray:
    """Points for doubled places, in whole units of which `scheme.points_per_unit` make a point.

    The other arrays are those of `places_doubled`. Points never fall below 0.
    """
    unit = scheme.points_per_unit
    if scheme.direction == "low":
        return place2 * (unit // 2)
    first = size[section] * unit if scheme.first is None else np.int64(int(scheme.first * unit))
    points: IntArray = np.maximum(first - (place2 - 2) * int(scheme.step * (unit // 2)), 0)
    if scheme.blank in ("one", "zero"):
        points[weight == 0] = unit if scheme.blank == "one" else 0
    if scheme.absent == "zero":
        points[weight == NOT_PLACED] = 0
    return points
