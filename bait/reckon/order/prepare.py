"""From a request to problems in whole numbers: who still needs what, and what may be bought."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, gcd, lcm
from typing import Final

from ..units import BASE_UNIT, MASS, amount_convert, unit_sort
from .model import PackLine, Problem, Terms
from .request import Demand, OrderRequest, Pack, Stock, Supplier

#: Why some of a bait cannot be had.
NO_PACK: Final = "No supplier sells this bait."
MAX_PACKS: Final = "The packs that may be bought (max_packs) do not cover it."
MINIMUM: Final = "The only suppliers that could cover it need a minimum spend that cannot be met."

Needs = dict[str, dict[str, Fraction]]


@dataclass(frozen=True, slots=True)
class Missing:
    """`amount` of a bait, in its base unit, that cannot be had, and why."""

    bait: str
    amount: Fraction
    why: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """A problem, and what its places stand for."""

    problem: Problem
    packs: tuple[Pack, ...]
    suppliers: tuple[Supplier, ...]
    baits: tuple[str, ...]
    needs: dict[str, Fraction]
    missing: tuple[Missing, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """The largest step of which every amount is a whole multiple, and those multiples.

    What can be bought is a multiple of it, so needs may be rounded up to it.
    """

    step: Fraction
    amounts: tuple[int, ...]


class Scales:
    """Every bait's base unit, in which each of its amounts is an exact fraction."""

    def __init__(self, request: OrderRequest) -> None:
        self._densities = request.densities
        self._packs: dict[str, Fraction] = {}
        self._grids: dict[tuple[str, ...], Grid] = {}
        sorts: dict[str, set[str]] = {}
        self.demand_units: dict[str, set[str]] = {}
        self.pack_units: dict[str, set[str]] = {}
        spoken: list[Demand | Stock | Pack] = [*request.demands, *request.stock, *request.packs]
        for entry in spoken:
            sorts.setdefault(entry.bait, set()).add(unit_sort(entry.unit))
        for demand in request.demands:
            self.demand_units.setdefault(demand.bait, set()).add(demand.unit)
        for pack in request.packs:
            self.pack_units.setdefault(pack.bait, set()).add(pack.unit)
        self.base = {
            bait: BASE_UNIT[min(found) if len(found) == 1 else MASS]
            for bait, found in sorts.items()
        }

    def in_base(self, entry: Demand | Stock | Pack) -> Fraction:
        """The entry's amount in its bait's base unit. Raises ValueError where units do not fit.

        A pack's is kept by its id: it is asked for again for every member.
        """
        if not isinstance(entry, Pack):
            return self.convert(entry.amount, bait=entry.bait, unit=entry.unit)
        found = self._packs.get(entry.id)
        if found is None:
            found = self.convert(entry.amount, bait=entry.bait, unit=entry.unit)
            self._packs[entry.id] = found
        return found

    def grid(self, packs: Sequence[Pack]) -> Grid:
        """The grid of some packs of one bait, kept for whoever may buy the same."""
        place = tuple(pack.id for pack in packs)
        if place not in self._grids:
            self._grids[place] = _grid([self.in_base(pack) for pack in packs])
        return self._grids[place]

    def convert(self, amount: Fraction, *, bait: str, unit: str) -> Fraction:
        """`amount` of `unit` in the bait's base unit."""
        found = amount_convert(
            amount, unit=unit, to=self.base[bait], density=self._densities.get(bait)
        )
        if found is None:
            raise ValueError(f"{unit} does not fit {bait}")
        return found

    def out_of_base(self, amount: Fraction, *, bait: str, unit: str) -> Fraction:
        """An amount in the bait's base unit, in `unit`."""
        return amount / self.convert(Fraction(1), bait=bait, unit=unit)


def member_needs(request: OrderRequest, *, scales: Scales) -> Needs:
    """What each member still needs of each bait once their own stock is used, by member."""
    needs: Needs = {}
    for demand in request.demands:
        mine = needs.setdefault(demand.member, {})
        mine[demand.bait] = mine.get(demand.bait, Fraction(0)) + scales.in_base(demand)
    for stock in request.stock:
        mine = needs.get(stock.member, {}) if stock.member is not None else {}
        if stock.bait in mine:
            mine[stock.bait] = max(Fraction(0), mine[stock.bait] - scales.in_base(stock))
    return needs


def team_needs(needs: Needs, *, request: OrderRequest, scales: Scales) -> dict[str, Fraction]:
    """What is still to be bought of each bait once the team's stock is used too."""
    total: dict[str, Fraction] = {}
    for mine in needs.values():
        for bait, amount in mine.items():
            total[bait] = total.get(bait, Fraction(0)) + amount
    for stock in request.stock:
        if stock.member is None and stock.bait in total:
            total[stock.bait] = max(Fraction(0), total[stock.bait] - scales.in_base(stock))
    return total


def problem_prepare(
    request: OrderRequest,
    *,
    needs: Mapping[str, Fraction],
    scales: Scales,
    without: Collection[str] = (),
) -> Prepared:
    """The problem of covering `needs` (bait to amount in its base unit) at the least total.

    Only packs of a bait that is still needed take part: nobody is sold what nobody asked for.
    A supplier whose minimum cannot be reached with them, or who stands in `without`, takes no
    part either. What then cannot be had is `missing`, and the rest is what is to be covered.

    What is bought already stays: of a bait that nobody needs any more just so many packs, and
    where the minimum of such a supplier cannot be reached any more it is asked no more.
    """
    wanted = {bait: amount for bait, amount in needs.items() if amount > 0}
    offered = [p for p in request.packs if (p.bait in wanted and p.max_packs != 0) or p.bought]
    offered = [p if p.bait in wanted else replace(p, max_packs=p.bought) for p in offered]
    wanted |= {p.bait: Fraction(0) for p in offered if p.bait not in wanted}
    bound = {pack.supplier for pack in offered if pack.bought}
    barred = _suppliers_barred(request, offered) | set(without)
    lenient, barred = barred & bound, barred - bound
    usable = sorted((p for p in offered if p.supplier not in barred), key=lambda p: p.id)
    by_bait: dict[str, list[Pack]] = {}
    for pack in usable:
        by_bait.setdefault(pack.bait, []).append(pack)
    missing = []
    for bait in sorted(wanted):
        most = _most_to_be_had(by_bait.get(bait, []), scales=scales)
        if most is not None and most < wanted[bait]:
            why = _why(bait, offered=offered, usable=usable)
            missing.append(Missing(bait, wanted[bait] - most, why))
            wanted[bait] = most
    suppliers = tuple(
        replace(s, minimum=0) if s.id in lenient else s
        for s in sorted(request.suppliers, key=lambda s: s.id)
    )
    kept = {pack.bait for pack in usable if pack.bought}
    baits = tuple(sorted(b for b, amount in wanted.items() if amount > 0 or b in kept))
    problem = _problem(by_bait, suppliers=suppliers, baits=baits, wanted=wanted, scales=scales)
    return Prepared(problem, tuple(usable), suppliers, baits, wanted, tuple(missing))


def _suppliers_barred(request: OrderRequest, offered: Sequence[Pack]) -> set[str]:
    """Suppliers from whom the minimum cannot be spent, whatever is bought of what is needed."""
    reach: dict[str, int | None] = {}
    for pack in offered:
        so_far = reach.get(pack.supplier, 0)
        most = None if so_far is None else _most_spent(pack)
        reach[pack.supplier] = None if so_far is None or most is None else so_far + most
    barred = set()
    for supplier in request.suppliers:
        spend = reach.get(supplier.id, 0)
        if spend is not None and spend < supplier.minimum:
            barred.add(supplier.id)
    return barred


def _tiers(pack: Pack) -> tuple[tuple[int, int], ...]:
    return ((1, pack.price), *((b.from_packs, b.price) for b in pack.breaks))


def _most_spent(pack: Pack) -> int | None:
    """The most that the line can cost in pence; None: without end."""
    tiers = _tiers(pack)
    if pack.max_packs is None and tiers[-1][1] > 0:
        return None
    last = tiers[-1][0] if pack.max_packs is None else pack.max_packs
    ends = [start - 1 for start, _ in tiers[1:]] + [last]
    return max(
        min(end, last) * price
        for (start, price), end in zip(tiers, ends, strict=True)
        if start <= last
    )


def _most_to_be_had(packs: Sequence[Pack], *, scales: Scales) -> Fraction | None:
    total = Fraction(0)
    for pack in packs:
        if pack.max_packs is None:
            return None
        total += pack.max_packs * scales.in_base(pack)
    return total


def _why(bait: str, *, offered: Sequence[Pack], usable: Sequence[Pack]) -> str:
    if not any(p.bait == bait for p in offered):
        return NO_PACK
    kept = {p.id for p in usable}
    lost = any(p.bait == bait and p.id not in kept for p in offered)
    return MINIMUM if lost else MAX_PACKS


def _problem(
    usable: Mapping[str, Sequence[Pack]],
    *,
    suppliers: Sequence[Supplier],
    baits: Sequence[str],
    wanted: Mapping[str, Fraction],
    scales: Scales,
) -> Problem:
    terms = tuple(_terms(s) for s in suppliers)
    supplier_at = {s.id: n for n, s in enumerate(suppliers)}
    needs, lines = [], []
    for n, bait in enumerate(baits):
        grid = scales.grid(usable[bait])
        need = ceil(wanted[bait] / grid.step)
        needs.append(need)
        for pack, amount in zip(usable[bait], grid.amounts, strict=True):
            at, tiers = supplier_at[pack.supplier], _tiers(pack)
            most = _most_useful(pack, tiers=tiers, amount=amount, need=need, terms=terms[at])
            lines.append(PackLine(pack.id, at, n, amount, tiers, most, pack.bought))
    lines.sort(key=lambda line: line.id)
    return Problem(tuple(needs), tuple(lines), terms)


def _terms(supplier: Supplier) -> Terms:
    """The terms with what never happens left out: a fee that is always waived is no fee."""
    free = supplier.free_from
    if free is not None and free <= supplier.minimum:
        return Terms(0, supplier.minimum, None)
    if not supplier.fee:
        return Terms(0, supplier.minimum, None)
    return Terms(supplier.fee, supplier.minimum, free)


def _grid(amounts: Sequence[Fraction]) -> Grid:
    denominator = lcm(*(a.denominator for a in amounts))
    whole = [a.numerator * (denominator // a.denominator) for a in amounts]
    step = gcd(*whole)
    return Grid(Fraction(step, denominator), tuple(amount // step for amount in whole))


def _most_useful(
    pack: Pack, *, tiers: Sequence[tuple[int, int]], amount: int, need: int, terms: Terms
) -> int:
    """More packs than this never help.

    Above it the line alone covers the bait, has its last break and what its supplier asks to be
    spent, so one pack fewer would do as well for no more money.
    """
    last_start, last_price = tiers[-1]
    asked = max(terms.minimum, terms.free_from or 0)
    filler = -(-asked // last_price) if last_price else 0
    most = max(-(-need // amount), last_start, filler, pack.bought)
    return most if pack.max_packs is None else min(most, pack.max_packs)
