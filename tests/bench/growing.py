"""How the cost of something grows: the same work at one, ten and a hundred times the size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import perf_counter
from typing import Final

from .rows import QUICK, Curve, seconds_of

#: So long one size may take, and all of a curve's, with the reference.
SIZE_S, CURVE_S = (6.0, 30.0) if QUICK else (12.0, 45.0)
#: A next size is begun only where so many times the last would be in time.
STEP: Final = 10
ROUNDS: Final = 3
Work = Callable[[], object]


def grown(
    key: str,
    title: str,
    of: str,
    sizes: Sequence[int],
    make: Callable[[int], tuple[Work, Work | None]],
    *,
    reference: str = "",
) -> Curve:
    """`make` gives what is timed at a size, ours and the reference's. The least of three rounds
    each; a size that could not be in time is left out, and said so."""
    done, ours, theirs, stopped, began = [], [], [], "", perf_counter()
    for size in sizes:
        last = (ours[-1] + (theirs[-1] if theirs else 0)) / 1e3 if ours else 0
        if last * STEP > SIZE_S or perf_counter() - began > CURVE_S:
            stopped = f"no more than {done[-1]:,} in the time of this run"
            break
        our_work, their_work = make(size)
        if not done:
            our_work()  # the first time, what it needs is read and kept
        done.append(size)
        ours.append(least_ms(our_work))
        if their_work is not None:
            theirs.append(least_ms(their_work))
    return Curve(
        key=key,
        title=title,
        of=of,
        sizes=tuple(done),
        ours=tuple(ours),
        reference=reference,
        theirs=tuple(theirs),
        stopped=stopped,
    )


def least_ms(work: Work) -> float:
    """Of three rounds, or fewer where they take long."""
    took: list[float] = []
    while len(took) < ROUNDS and sum(took) < SIZE_S / 4:
        took.append(seconds_of(work))
    return min(took) * 1e3
