"""An order put together by hand, for when no solver found any in its time."""

from __future__ import annotations

from .model import Counts, Problem


def filled(problem: Problem) -> Counts:
    """Cover every need from the packs that give most for their first price; minimums are not met.

    What was bought already stays. It is only ever the last resort: an order all the same.
    """
    counts = [line.least for line in problem.packs]
    for bait, need in enumerate(problem.needs):
        mine = [n for n, line in enumerate(problem.packs) if line.bait == bait]
        left = need - sum(counts[n] * problem.packs[n].amount for n in mine)
        lines = problem.packs
        for n in sorted(mine, key=lambda n: (lines[n].tiers[0][1] / lines[n].amount, lines[n].id)):
            if left <= 0:
                break
            more = min(lines[n].most - counts[n], -(-left // lines[n].amount))
            counts[n] += more
            left -= more * lines[n].amount
    return tuple(counts)
