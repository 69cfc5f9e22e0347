"""One problem solved: by its structure, and where that grows too large by HiGHS."""

from __future__ import annotations

from time import monotonic

from .cover import TooLarge
from .milp import Solved, least_total, ties_settle
from .model import Problem, counts_judge
from .search import OrderSearch


def problem_solve(problem: Problem, *, seconds: float) -> Solved:
    """The preferred answer to `problem`, or the best found in `seconds` with its bound."""
    deadline = monotonic() + seconds
    try:
        return OrderSearch(problem, deadline=deadline).run()
    except TooLarge:
        return programme_solve(problem, seconds=max(0.5, deadline - monotonic()))


def programme_solve(problem: Problem, *, seconds: float) -> Solved:
    """The same by mixed-integer programming alone: slower, and a check on the other."""
    deadline = monotonic() + seconds
    first = least_total(problem, seconds=seconds)
    if first.counts is None:
        return first
    verdict = counts_judge(problem, first.counts)
    if verdict is None or verdict.total > first.bound:
        return first
    counts, settled = ties_settle(
        problem, counts=first.counts, seconds=max(0.5, deadline - monotonic())
    )
    return Solved(counts, verdict.total, settled=settled)
