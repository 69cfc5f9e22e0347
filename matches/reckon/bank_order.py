"""The order of pegs along a bank when a list of some of them comes in."""

from __future__ import annotations

from collections.abc import Sequence


def order_merged(now: Sequence[str], *, listed: Sequence[str]) -> tuple[str, ...]:
    """The pegs `listed`, in that order, with those of `now` that are not in the list each behind
    the listed peg it was behind before. A list in the order they have changes nothing.
    """
    kept = set(listed)
    behind: dict[str, list[str]] = {"": []}
    last = ""
    for number in now:
        if number in kept:
            last = number
        else:
            behind.setdefault(last, []).append(number)
    merged = list(behind[""])
    for number in listed:
        merged += [number, *behind.get(number, ())]
    return tuple(merged)
