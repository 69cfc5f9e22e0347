"""The order's first stage in another solver: CP-SAT, from a model written apart."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from bait.reckon.order.model import Problem


@dataclass(frozen=True, slots=True)
class Solved:
    """The least total, or None where there is no answer; whether either is proved."""

    total: int | None
    proved: bool


def cp_sat_solved(problem: Problem, *, seconds: float) -> Solved:
    """By one thread, in at most so many seconds."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(cp_sat_model(problem))
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    proved = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return Solved(round(solver.objective_value) if found else None, proved)


def cp_sat_model(problem: Problem) -> cp_model.CpModel:
    model = cp_model.CpModel()
    goods: list[list[cp_model.LinearExprT]] = [[] for _ in problem.terms]
    cover: list[list[cp_model.LinearExprT]] = [[] for _ in problem.needs]
    used = [model.new_bool_var(f"used{s}") for s in range(len(problem.terms))]
    for n, line in enumerate(problem.packs):
        count = model.new_int_var(0, line.most, f"count{n}")
        price = max(p for _, p in line.tiers)
        cost = model.new_int_var(0, line.most * price, f"cost{n}")
        starts = [0, *(start for start, _ in line.tiers), line.most + 1]
        prices = [0, *(p for _, p in line.tiers)]
        tiers = [model.new_bool_var(f"tier{n}.{k}") for k in range(len(prices))]
        model.add_exactly_one(tiers)
        for tier, (start, end), each in zip(tiers, pairwise(starts), prices, strict=True):
            model.add(count >= start).only_enforce_if(tier)
            model.add(count < max(end, start)).only_enforce_if(tier)
            model.add(cost == each * count).only_enforce_if(tier)
        model.add_implication(used[line.supplier].negated(), tiers[0])
        goods[line.supplier].append(cost)
        cover[line.bait].append(line.amount * count)
    for need, terms_of_bait in zip(problem.needs, cover, strict=True):
        model.add(sum(terms_of_bait) >= need)
    total: list[cp_model.LinearExprT] = []
    for s, terms in enumerate(problem.terms):
        free = model.new_bool_var(f"free{s}")
        model.add(sum(goods[s]) >= terms.minimum).only_enforce_if(used[s])
        if terms.free_from is None:
            model.add(free == 0)
        else:
            model.add(sum(goods[s]) >= terms.free_from).only_enforce_if(free)
        model.add_implication(free, used[s])
        total += [*goods[s], terms.fee * used[s], -terms.fee * free]
    model.minimize(sum(total))
    return model
