"""One problem solved: by its structure, and where that grows too large by HiGHS."""

from __future__ import annotations

from time import monotonic

from .cover import OutOfTime, TooLarge
from .milp import Solved, least_total, ties_settle
from .model import Problem, counts_judge
from .search import OrderSearch
from .shelf import Shelf
from .ties import order_find


def problem_solve(problem: Problem, *, seconds: float, shelf: Shelf | None = None) -> Solved:
    """The preferred answer to `problem`, or the best found in `seconds` with its bound.

    `shelf`: covers to be shared with problems of the same packs.
    Where the search outgrows its room, HiGHS finds the least total first: with that in hand most
    branches end at once, and the search has only ties left to settle.
    """
    deadline = monotonic() + seconds
    try:
        return order_find(problem, deadline=deadline, shelf=shelf)
    except OutOfTime:
        deadline = max(deadline, monotonic() + 0.2)
    except TooLarge:
        pass
    try:
        return OrderSearch(problem, deadline=deadline).run()
    except TooLarge:
        first = least_total(problem, seconds=max(0.2, deadline - monotonic()))
    if first.counts is None or not _proved(problem, first):
        return first
    try:
        solved = OrderSearch(problem, deadline=deadline, known=first.counts).run()
        return Solved(solved.counts, max(first.bound, solved.bound), settled=solved.settled)
    except TooLarge:
        return _ties(problem, first, seconds=max(0.2, deadline - monotonic()))


def _proved(problem: Problem, solved: Solved) -> bool:
    verdict = None if solved.counts is None else counts_judge(problem, solved.counts)
    return verdict is not None and verdict.total <= solved.bound


def _ties(problem: Problem, first: Solved, *, seconds: float) -> Solved:
    if first.counts is None or not _proved(problem, first):
        return first
    counts, settled = ties_settle(problem, counts=first.counts, seconds=seconds)
    return Solved(counts, first.bound, settled=settled)
