"""An order's request with one thing changed, so that it can be solved again.

What was bought already stays bought in every one of them: it is only never added to.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from fractions import Fraction

from ..units import amount_convert, unit_sort
from .request import Demand, OrderRequest, Stock

#: Nobody on the team: what this member asks for is covered by the team's stock or bought.
NOBODY = ""
#: A gram more says nothing: in such units people think of the next larger one.
_STEPS = {"ml": "L", "g": "kg", "oz": "lb"}


def without_pack(request: OrderRequest, *, pack: str) -> OrderRequest:
    """The same order with no more of this pack than was bought already."""
    return _packs_kept(request, kept=[p.id for p in request.packs if p.id != pack])


def only_suppliers(request: OrderRequest, *, suppliers: Collection[str]) -> OrderRequest:
    """The same order with nothing more from anybody but these."""
    return _packs_kept(request, kept=[p.id for p in request.packs if p.supplier in suppliers])


def without_supplier(request: OrderRequest, *, supplier: str) -> OrderRequest:
    """The same order with nothing more from this supplier."""
    return _packs_kept(request, kept=[p.id for p in request.packs if p.supplier != supplier])


def _packs_kept(request: OrderRequest, *, kept: Collection[str]) -> OrderRequest:
    keep = set(kept)
    packs = tuple(p if p.id in keep else replace(p, max_packs=p.bought) for p in request.packs)
    return replace(request, packs=packs)


def without_minimum(request: OrderRequest, *, supplier: str) -> OrderRequest:
    """The same order, had this supplier no minimum spend."""
    suppliers = tuple(replace(s, minimum=0) if s.id == supplier else s for s in request.suppliers)
    return replace(request, suppliers=suppliers)


def without_free_delivery(request: OrderRequest, *, supplier: str) -> OrderRequest:
    """The same order, did this supplier charge delivery however much is bought."""
    suppliers = tuple(
        replace(s, free_from=None) if s.id == supplier else s for s in request.suppliers
    )
    return replace(request, suppliers=suppliers)


def one_more(request: OrderRequest, *, bait: str, unit: str) -> OrderRequest:
    """The same order with one unit of a bait asked for on top."""
    more = Demand(NOBODY, bait, Fraction(1), unit)
    return replace(request, demands=(*request.demands, more))


def one_less(request: OrderRequest, *, bait: str, unit: str) -> OrderRequest:
    """The same order with one unit less of a bait to be bought, never below none."""
    return replace(request, stock=(*request.stock, Stock(bait, Fraction(1), unit)))


def step_units(request: OrderRequest, *, units: Mapping[str, str]) -> dict[str, str]:
    """The unit in which one more of each bait asked for is thought of, by bait.

    `units`: the baits' own, which is taken where it is of a sort that the order speaks in.
    """
    spoken: dict[str, list[str]] = {}
    for demand in request.demands:
        spoken.setdefault(demand.bait, []).append(demand.unit)
    found = {}
    for bait, said in sorted(spoken.items()):
        own = units.get(bait, said[0])
        unit = own if unit_sort(own) in {unit_sort(u) for u in said} else sorted(said)[0]
        found[bait] = _STEPS.get(unit, unit)
    return found


def amount_in(
    request: OrderRequest, *, bait: str, amount: Fraction, unit: str, to: str
) -> Fraction:
    """An amount of a bait in another unit that the request's units allow.

    Raises ValueError for one they do not.
    """
    found = amount_convert(amount, unit=unit, to=to, density=request.densities.get(bait))
    if found is None:
        raise ValueError(f"{unit} of {bait} is not told in {to}")
    return found
