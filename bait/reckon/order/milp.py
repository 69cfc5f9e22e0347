"""The order as a mixed-integer programme for HiGHS, stage by stage.

The solver works in floats. What it answers is rounded and judged in whole numbers, and its bound
becomes a whole number of pence only after a margin for its tolerances: no float decides a penny.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from time import monotonic

import numpy as np
import numpy.typing as npt
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from .model import Counts, Problem, Verdict, counts_judge

Floats = npt.NDArray[np.float64]
_MARGIN = 1e-3


@dataclass(frozen=True, slots=True)
class Solved:
    """Where a search stands: the best counts, and a total that nothing can be below.

    `settled`: the counts are the very ones that win every tie. `feasible` False: proved that
    no answer exists.
    """

    counts: Counts | None
    bound: int
    settled: bool
    feasible: bool = True


class Programme:
    """The whole model: columns count, tier switch, supplier used, delivery free."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.tiers = [
            (p, start, _tier_end(problem, p=p, k=k), price)
            for p, line in enumerate(problem.packs)
            for k, (start, price) in enumerate(line.tiers)
            if start <= line.most
        ]
        self.nt, self.ns = len(self.tiers), len(problem.terms)
        self.size = 2 * self.nt + 2 * self.ns
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self._build()

    def count(self, t: int) -> int:
        """The column of how many packs are bought at tier `t`."""
        return t

    def switch(self, t: int) -> int:
        """The column of whether tier `t` is the one bought at."""
        return self.nt + t

    def used(self, s: int) -> int:
        """The column of whether supplier `s` is bought from."""
        return 2 * self.nt + s

    def free(self, s: int) -> int:
        """The column of whether supplier `s` delivers free."""
        return 2 * self.nt + self.ns + s

    def _build(self) -> None:
        problem = self.problem
        cover: list[dict[int, float]] = [{} for _ in problem.needs]
        goods: list[dict[int, float]] = [{} for _ in problem.terms]
        one_tier: list[dict[int, float]] = [{} for _ in problem.packs]
        scale = [max(1, need) for need in problem.needs]
        for t, (p, start, end, price) in enumerate(self.tiers):
            line = problem.packs[p]
            cover[line.bait][self.count(t)] = line.amount / scale[line.bait]
            goods[line.supplier][self.count(t)] = price
            one_tier[p][self.switch(t)] = 1
            self.rows.append(({self.count(t): 1, self.switch(t): -end}, -math.inf, 0))
            self.rows.append(({self.count(t): 1, self.switch(t): -start}, 0, math.inf))
        for need, row, by in zip(problem.needs, cover, scale, strict=True):
            if need:
                self.rows.append((row, need / by, math.inf))
        for p, row in enumerate(one_tier):
            least = problem.packs[p].least
            if least:
                mine = {self.count(t): 1.0 for t, tier in enumerate(self.tiers) if tier[0] == p}
                self.rows.append((mine, least, math.inf))
            if row:
                used = self.used(problem.packs[p].supplier)
                self.rows.append((row | {used: -1}, -math.inf, 0))
        for s, terms in enumerate(problem.terms):
            if terms.minimum:
                self.rows.append((goods[s] | {self.used(s): -terms.minimum}, 0, math.inf))
            if terms.fee and terms.free_from is not None:
                self.rows.append((goods[s] | {self.free(s): -terms.free_from}, 0, math.inf))
                self.rows.append(({self.free(s): 1, self.used(s): -1}, -math.inf, 0))

    def cost(self) -> Floats:
        """What one of each column costs, in pence."""
        c = np.zeros(self.size)
        for t, (_, _, _, price) in enumerate(self.tiers):
            c[self.count(t)] = price
        for s, terms in enumerate(self.problem.terms):
            c[self.used(s)] = terms.fee
            c[self.free(s)] = -terms.fee
        return c

    def upper(self) -> Floats:
        """The most each column may be."""
        upper = np.ones(self.size)
        for t, (_, _, end, _) in enumerate(self.tiers):
            upper[self.count(t)] = end
        for s, terms in enumerate(self.problem.terms):
            if not terms.fee or terms.free_from is None:
                upper[self.free(s)] = 0
        return upper

    def solve(
        self, objective: Floats, *, seconds: float, presolve: bool = True
    ) -> tuple[int, Counts | None, float]:
        """HiGHS's status, the rounded counts (None: none found) and its lower bound."""
        matrix, low, high = self._matrix()
        answer = milp(
            objective,
            integrality=np.ones(self.size, dtype=np.int64),
            bounds=Bounds(np.zeros(self.size), self.upper()),
            constraints=LinearConstraint(matrix, low, high),
            options={"time_limit": max(0.05, seconds), "mip_rel_gap": 0, "presolve": presolve},
        )
        bound = answer.mip_dual_bound
        bound = -math.inf if bound is None else float(bound)
        if answer.x is None:
            return int(answer.status), None, bound
        counts = [0] * len(self.problem.packs)
        for t, (p, _, _, _) in enumerate(self.tiers):
            counts[p] += round(float(answer.x[self.count(t)]))
        return int(answer.status), tuple(counts), bound

    def _matrix(self) -> tuple[csc_array, Floats, Floats]:
        at, cols, values = [], [], []
        for r, (row, _, _) in enumerate(self.rows):
            at += [r] * len(row)
            cols += list(row)
            values += list(row.values())
        matrix = csc_array((values, (at, cols)), shape=(len(self.rows), self.size))
        low = np.array([row[1] for row in self.rows], dtype=np.float64)
        high = np.array([row[2] for row in self.rows], dtype=np.float64)
        return matrix, low, high


def _tier_end(problem: Problem, *, p: int, k: int) -> int:
    line = problem.packs[p]
    return min(line.most, line.tiers[k + 1][0] - 1) if k + 1 < len(line.tiers) else line.most


def least_total(problem: Problem, *, seconds: float) -> Solved:
    """The first stage alone: counts of least total, ties left as they fall."""
    programme = Programme(problem)
    objective = programme.cost()
    deadline = monotonic() + seconds
    status, counts, bound = programme.solve(objective, seconds=seconds)
    if status == 2:
        return Solved(None, 0, settled=False, feasible=False)
    verdict = None if counts is None else counts_judge(problem, counts)
    if counts is not None and verdict is None and monotonic() < deadline:
        # A row met only within the solver's tolerance: ask again without its presolve.
        status, counts, bound = programme.solve(
            objective, seconds=deadline - monotonic(), presolve=False
        )
        verdict = None if counts is None else counts_judge(problem, counts)
    return Solved(counts if verdict else None, bound_in_pence(bound), settled=False)


def bound_in_pence(bound: float) -> int:
    """The whole number of pence that no total can be below, given a float bound."""
    return max(0, math.ceil(bound - _MARGIN)) if math.isfinite(bound) else 0


def ties_settle(problem: Problem, *, counts: Counts, seconds: float) -> tuple[Counts, bool]:
    """The preferred of all answers that cost what `counts` cost, and whether that is proved.

    Stage by stage: fewest suppliers, fewest packs, then each pack in id order at the count that
    makes the smallest list (one, two, …, none).
    """
    deadline = monotonic() + seconds
    programme = Programme(problem)
    best = counts_judge(problem, counts)
    assert best is not None
    programme.rows.append((_sparse(programme.cost()), -math.inf, best.total + 0.5))
    suppliers = np.zeros(programme.size)
    suppliers[[programme.used(s) for s in range(programme.ns)]] = 1
    packs = np.zeros(programme.size)
    packs[: programme.nt] = 1
    for objective in (suppliers, packs):
        found, done = _better(programme, objective, best=best, deadline=deadline)
        if not done or found is None:
            return counts, False
        verdict = counts_judge(problem, found)
        assert verdict is not None
        if verdict <= best:
            counts, best = found, verdict
        limit = best.suppliers if objective is suppliers else best.packs
        programme.rows.append((_sparse(objective), -math.inf, limit + 0.5))
    return _listing_settle(programme, counts=counts, best=best, deadline=deadline)


def _listing_settle(
    programme: Programme, *, counts: Counts, best: Verdict, deadline: float
) -> tuple[Counts, bool]:
    problem = programme.problem
    for p, line in enumerate(problem.packs):
        if counts[p] != 1 and line.most:
            objective = np.zeros(programme.size)
            for t, tier in enumerate(programme.tiers):
                if tier[0] == p:
                    objective[programme.count(t)] = 1
                    objective[programme.switch(t)] = -(line.most + 1)
            found, done = _better(programme, objective, best=best, deadline=deadline)
            if not done or found is None:
                return counts, False
            verdict = counts_judge(problem, found)
            assert verdict is not None
            if verdict < best:
                counts, best = found, verdict
        row = {programme.count(t): 1.0 for t, tier in enumerate(programme.tiers) if tier[0] == p}
        if row:
            programme.rows.append((row, counts[p] - 0.5, counts[p] + 0.5))
    return counts, True


def _better(
    programme: Programme, objective: Floats, *, best: Verdict, deadline: float
) -> tuple[Counts | None, bool]:
    status, counts, _ = programme.solve(objective, seconds=deadline - monotonic())
    if counts is None or counts_judge(programme.problem, counts) is None:
        return None, False
    verdict = counts_judge(programme.problem, counts)
    return counts, status == 0 and verdict is not None and verdict.total == best.total


def _sparse(objective: Floats) -> dict[int, float]:
    return {int(n): float(objective[n]) for n in np.flatnonzero(objective)}
