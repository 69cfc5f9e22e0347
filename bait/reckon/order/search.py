"""The least order by its structure: baits meet only in what each supplier asks.

While it is open who is bought from on what terms, every bait is covered on its own at the least
key, with no fee and no minimum: a bound below every answer. Where the covers so found pay a fee
or miss a minimum, the search branches on that supplier: left out, bought from with the fee paid,
or bought from with the fee waived. All of it is in whole numbers.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

from .baits import KEY_MOST, BaitCovers, Keys
from .cover import NEVER, OutOfTime, TooLarge, time_check
from .milp import Solved
from .model import Counts, Problem, Verdict, counts_judge, goods_by_supplier
from .spending import Asked, Bought, SpendingCovers


@dataclass(frozen=True, slots=True)
class Branch:
    """Suppliers that may be bought from (bits); those settled on, with fee and least spend."""

    open: int
    settled: tuple[tuple[int, int, int], ...]

    @property
    def settled_mask(self) -> int:
        return sum(1 << s for s, _, _ in self.settled)


class OrderSearch:
    """One search, from the whole problem to its single preferred answer."""

    def __init__(self, problem: Problem, *, deadline: float, known: Counts | None = None) -> None:
        self.problem, self.deadline = problem, deadline
        self.keys = Keys(problem)
        most = sum(line.cost(line.most) for line in problem.packs)
        most += sum(t.fee + t.minimum + (t.free_from or 0) for t in problem.terms)
        if most * self.keys.penny > KEY_MOST:
            raise TooLarge
        self.baits = [
            BaitCovers(problem, bait=b, keys=self.keys) for b in range(len(problem.needs))
        ]
        self.best: Verdict | None = None
        self.counts: Counts | None = None
        self.best_key = NEVER
        self._queue: list[tuple[int, int, int, Branch]] = []
        self._pushed = 0
        if known is not None:
            self._offer(known)

    def run(self) -> Solved:
        """The preferred answer, or the best and its bound when time runs out.

        Raises TooLarge when lists outgrow what they are worth.
        """
        sold = sum(1 << s for s in {line.supplier for line in self.problem.packs})
        self._first(sold)
        self._push(Branch(sold, ()))
        while self._queue:
            key, _, _, branch = heapq.heappop(self._queue)
            if key > self.best_key:
                break
            try:
                time_check(self.deadline)
                self._visit(branch)
            except OutOfTime:  # what is left in the queue has no smaller key
                bound = key // self.keys.penny
                total = self.best.total if self.best else bound
                return Solved(self.counts, min(bound, total), settled=False)
        if self.best is None:
            return Solved(None, 0, settled=False, feasible=False)
        return Solved(self.counts, self.best.total, settled=True)

    def _first(self, suppliers: int) -> None:
        """Offer something to beat: least covers, topped up to each minimum with cheap packs.

        A supplier whose minimum cannot be reached so is left out, and the covers found anew.
        """
        while True:
            found = self._relaxed(Branch(suppliers, ()), asked=[], limit=NEVER)
            if found is None:
                return
            counts = list(self._counts(found[1]))
            goods = goods_by_supplier(self.problem, counts)
            missed = [s for s, p in goods.items() if p < self.problem.terms[s].minimum]
            failed = [s for s in missed if not self._topped_up(counts, supplier=s)]
            if not failed:
                self._offer(tuple(counts))
                return
            if any(self.problem.bound_to >> s & 1 for s in failed):
                return
            suppliers &= ~sum(1 << s for s in failed)

    def _topped_up(self, counts: list[int], *, supplier: int) -> bool:
        """Add packs of the supplier's cheapest line until its minimum is met, if that can be."""
        lines = self.problem.packs
        mine = [n for n, line in enumerate(lines) if line.supplier == supplier]
        spent = sum(lines[n].cost(counts[n]) for n in mine)
        for n in sorted(mine, key=lambda n: (lines[n].tiers[-1][1], n)):
            before = lines[n].cost(counts[n])
            for count in range(counts[n] + 1, lines[n].most + 1):
                if spent - before + lines[n].cost(count) >= self.problem.terms[supplier].minimum:
                    counts[n] = count
                    return True
        return False

    def _fixed(self, branch: Branch) -> int:
        fees = sum(fee for _, fee, _ in branch.settled)
        return self.keys.key(pence=fees, suppliers=len(branch.settled))

    def _push(self, branch: Branch, *, floor: int = 0) -> None:
        goods = 0
        for bait in self.baits:
            goods += bait.least(branch.open)
            if goods >= NEVER:
                return
        asked = sum(spend for _, _, spend in branch.settled)
        key = self._fixed(branch) + max(goods, self.keys.key(pence=asked))
        key = max(key, floor)
        if key <= self.best_key:
            self._pushed += 1
            heapq.heappush(self._queue, (key, -len(branch.settled), self._pushed, branch))

    def _visit(self, branch: Branch) -> None:
        fixed = self._fixed(branch)
        asked: list[Asked] = []
        while True:
            found = self._relaxed(branch, asked=asked, limit=self.best_key - fixed)
            if found is None:
                return
            key, bought = found
            if key + fixed == self.best_key and self.best and bought >= self.best.listing:
                return
            counts = self._counts(bought)
            if self._offer(counts) == key + fixed:
                return
            goods = goods_by_supplier(self.problem, counts)
            short = [
                Asked(s, spend)
                for s, _, spend in branch.settled
                if goods.get(s, 0) < spend and all(a.supplier != s for a in asked)
            ]
            undecided = [s for s in goods if not branch.settled_mask >> s & 1]
            if undecided:
                floor = self._floor(branch, asked=[*asked, *short])
                if fixed + floor <= self.best_key:
                    self._split(
                        branch, supplier=max(undecided, key=self._weight), floor=fixed + floor
                    )
                return
            if not short:
                return
            asked += short

    def _relaxed(
        self, branch: Branch, *, asked: list[Asked], limit: int
    ) -> tuple[int, Bought] | None:
        if asked:
            covers = SpendingCovers(
                self.baits, suppliers=branch.open, asked=asked, deadline=self.deadline
            )
            fixed = self.best_key - limit
            if covers.tilt_find(self._offer_bought) > limit:
                return None
            return covers.best(limit=min(limit, self.best_key - fixed, KEY_MOST))
        key = 0
        bought: list[tuple[int, int]] = []
        for bait in self.baits:
            cheapest = bait.cheapest(branch.open)
            if cheapest is None:
                return None
            key += cheapest.key
            bought += cheapest.bought
        return (key, tuple(sorted(bought))) if key <= limit else None

    def _floor(self, branch: Branch, *, asked: list[Asked]) -> int:
        """A key that the goods of a branch are never below, from what is asked to be spent."""
        if not asked:
            return 0
        covers = SpendingCovers(
            self.baits, suppliers=branch.open, asked=asked, deadline=self.deadline
        )
        return covers.tilt_find(self._offer_bought)

    def _offer_bought(self, bought: Bought) -> None:
        self._offer(self._counts(bought))

    def _weight(self, supplier: int) -> tuple[int, int]:
        terms = self.problem.terms[supplier]
        return terms.fee + terms.minimum, -supplier

    def _split(self, branch: Branch, *, supplier: int, floor: int) -> None:
        terms = self.problem.terms[supplier]
        if not self.problem.bound_to >> supplier & 1:
            self._push(Branch(branch.open & ~(1 << supplier), branch.settled), floor=floor)
        ways = [(terms.fee, terms.minimum)]
        if terms.fee and terms.free_from is not None:
            ways.append((0, max(terms.minimum, terms.free_from)))
        for fee, spend in ways:
            way = (*branch.settled, (supplier, fee, spend))
            self._push(Branch(branch.open, way), floor=floor)

    def _counts(self, bought: Bought) -> Counts:
        counts = [0] * len(self.problem.packs)
        for pack, count in bought:
            counts[pack] = count
        return tuple(counts)

    def _offer(self, counts: Counts) -> int | None:
        """Keep `counts` if they are the best so far; their key, None when they break a rule."""
        verdict = counts_judge(self.problem, counts)
        if verdict is None:
            return None
        if self.best is None or verdict < self.best:
            self.best, self.counts = verdict, counts
            self.best_key = self.keys.key(
                pence=verdict.total, suppliers=verdict.suppliers, packs=verdict.packs
            )
        return self.keys.key(pence=verdict.total, suppliers=verdict.suppliers, packs=verdict.packs)
