"""Least-cost orders by mixed-integer programming alone: a check on the search, and slower."""

from __future__ import annotations

from bait.reckon.order.milp import Counts, least_total, ties_settle
from bait.reckon.order.model import Problem


def programme_solve(problem: Problem, *, seconds: float) -> Counts | None:
    """The packs of the preferred order; None where something cannot be had."""
    first = least_total(problem, seconds=seconds)
    if first.counts is None:
        return None
    counts, _settled = ties_settle(problem, counts=first.counts, seconds=seconds)
    return counts
