"""Why an order is as it is: every figure by solving it again with one thing changed, exactly.

Nothing is estimated. What the time does not allow stands in `left_out`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from time import monotonic
from typing import Any, Final

from matches.reckon.money import pence_format

from .again import Again, Figure, Progress, WhatIf
from .alternatives import Alternative, alternatives_count, alternatives_find
from .answer import OrderLine
from .changed import (
    amount_in,
    one_less,
    one_more,
    step_units,
    without_free_delivery,
    without_minimum,
    without_pack,
    without_supplier,
)
from .known import figures_known
from .request import OrderRequest, Supplier
from .steps import Step, step_ahead, step_reached

#: Less than a worker may take. What is left out is gone on with when it is asked for again.
SECONDS: Final = 18.0


@dataclass(frozen=True, slots=True)
class LineWhy:
    """A bought line: the price break it reached, the next, and the order without this pack.

    `bought`: so many were bought already. `without` is None where all were (nothing is left to
    choose), and where it was left out.
    """

    line: OrderLine
    bought: int
    reached: Step | None
    ahead: Step | None
    without: WhatIf | None

    def as_json(self) -> dict[str, object]:
        line = self.line
        return {
            "pack": line.pack,
            "supplier": line.supplier,
            "bait": line.bait,
            "packs": line.packs,
            "unit_price": pence_format(line.unit_price),
            "cost": pence_format(line.cost),
            "bought": self.bought,
            "reached": None if self.reached is None else self.reached.as_json(),
            "ahead": None if self.ahead is None else self.ahead.as_json(),
            "without": _json(self.without),
        }


@dataclass(frozen=True, slots=True)
class ShopWhy:
    """A supplier's part in pence, and the order without the shop, its minimum, its free delivery.

    None: the question does not arise (nothing bought there, no minimum, delivery is paid), or
    was left out.
    """

    supplier: Supplier
    goods: int
    delivery: int
    dropped: WhatIf | None
    minimum: WhatIf | None
    free_delivery: WhatIf | None

    def as_json(self) -> dict[str, object]:
        free_from = self.supplier.free_from
        return {
            "supplier": self.supplier.id,
            "goods": pence_format(self.goods),
            "delivery": pence_format(self.delivery),
            "minimum_spend": pence_format(self.supplier.minimum),
            "delivery_fee": pence_format(self.supplier.fee),
            "free_delivery_from": None if free_from is None else pence_format(free_from),
            "dropped": _json(self.dropped),
            "without_minimum": _json(self.minimum),
            "without_free_delivery": _json(self.free_delivery),
        }


@dataclass(frozen=True, slots=True)
class BaitWhy:
    """What one unit more, and one less, of a bait does to the least total."""

    bait: str
    unit: str
    more: WhatIf | None
    less: WhatIf | None

    def as_json(self) -> dict[str, object]:
        return {
            "bait": self.bait,
            "unit": self.unit,
            "one_more": _json(self.more),
            "one_less": _json(self.less),
        }


@dataclass(frozen=True, slots=True)
class Explanation:
    """An order explained. `total` None: it could not be proved in the time, nor anything else."""

    total: int | None
    alternatives: tuple[Alternative, ...]
    shops: tuple[ShopWhy, ...]
    baits: tuple[BaitWhy, ...]
    lines: tuple[LineWhy, ...]
    left_out: tuple[Figure, ...]

    def as_json(self) -> dict[str, object]:
        """What is stored and what the API gives."""
        return {
            "total": None if self.total is None else pence_format(self.total),
            "alternatives": [way.as_json() for way in self.alternatives],
            "shops": [shop.as_json() for shop in self.shops],
            "baits": [bait.as_json() for bait in self.baits],
            "lines": [line.as_json() for line in self.lines],
            "left_out": [figure.as_json() for figure in self.left_out],
        }


def order_explain(
    request: OrderRequest,
    *,
    lead_days: Mapping[str, int],
    units: Mapping[str, str],
    before: Mapping[str, Any] | None = None,
    time_limit_s: float = SECONDS,
    progress: Progress | None = None,
) -> Explanation:
    """Why the least order for `request` is what it is, and what else could be done.

    `lead_days` by supplier, `units` the baits' own by bait. `before`: the JSON of an earlier
    explanation of the same request, whose answers are not asked again. `time_limit_s` bounds the
    work; `progress` is called with percent done and a word.
    """
    say = progress or (lambda percent, word: None)
    say(0, "explaining")
    steps = step_units(request, units=units)
    again = Again(
        request,
        steps=steps,
        known={} if before is None else figures_known(before, steps=steps),
        deadline=monotonic() + time_limit_s,
        progress=say,
    )
    if again.base is None:
        return Explanation(None, (), (), (), (), tuple(again.left_out))
    again.questions = alternatives_count(again) + 2 * len(again.steps) + len(again.base.lines)
    again.questions += 2 * len({line.supplier for line in again.base.lines})
    # What is asked first is answered first where the time is short.
    alternatives = alternatives_find(again, lead_days=lead_days)
    baits = tuple(_bait(again, bait=bait, unit=unit) for bait, unit in again.steps.items())
    shops = _shops(again)
    lines = tuple(_line(again, line=line) for line in again.base.lines)
    say(100, "done")
    return Explanation(again.base.total, alternatives, shops, baits, lines, tuple(again.left_out))


def _shops(again: Again) -> tuple[ShopWhy, ...]:
    """Of every supplier bought from, or with a minimum that may keep the order away."""
    assert again.base is not None
    goods: dict[str, int] = {}
    for line in again.base.lines:
        goods[line.supplier] = goods.get(line.supplier, 0) + line.cost
    selling = {pack.supplier for pack in again.request.packs}
    return tuple(
        _shop(again, supplier=supplier, goods=goods.get(supplier.id))
        for supplier in sorted(again.request.suppliers, key=lambda s: s.id)
        if supplier.id in goods or (supplier.minimum and supplier.id in selling)
    )


def _shop(again: Again, *, supplier: Supplier, goods: int | None) -> ShopWhy:
    request, name = again.request, supplier.id
    free = supplier.free_from is not None and (goods or 0) >= supplier.free_from
    dropped = minimum = free_delivery = None
    if goods is not None:
        dropped = again.ask(Figure("dropped", name), without_supplier(request, supplier=name))
    if supplier.minimum:
        minimum = again.ask(Figure("minimum", name), without_minimum(request, supplier=name))
    if goods is not None and supplier.fee and free:
        free_delivery = again.ask(
            Figure("free_delivery", name), without_free_delivery(request, supplier=name)
        )
    delivery = 0 if free or goods is None else supplier.fee
    return ShopWhy(supplier, goods or 0, delivery, dropped, minimum, free_delivery)


def _bait(again: Again, *, bait: str, unit: str) -> BaitWhy:
    more = one_more(again.request, bait=bait, unit=unit)
    less = one_less(again.request, bait=bait, unit=unit)
    return BaitWhy(
        bait,
        unit,
        # With so much left over the order covers it as it is; asking for more is never cheaper.
        more=again.same()
        if _spare(again, bait=bait, unit=unit)
        else again.ask(Figure("one_more", bait), more),
        less=again.ask(Figure("one_less", bait), less),
    )


def _spare(again: Again, *, bait: str, unit: str) -> bool:
    """Whether a unit of the bait is left over as it is."""
    assert again.base is not None
    return any(
        left.bait == bait
        and amount_in(again.request, bait=bait, amount=left.amount, unit=left.unit, to=unit) >= 1
        for left in again.base.left_over
    )


def _line(again: Again, *, line: OrderLine) -> LineWhy:
    pack = next(p for p in again.request.packs if p.id == line.pack)
    without = None
    if pack.bought < line.packs:
        without = again.ask(Figure("without", pack.id), without_pack(again.request, pack=pack.id))
    return LineWhy(
        line,
        pack.bought,
        step_reached(pack, packs=line.packs),
        step_ahead(pack, packs=line.packs),
        without,
    )


def _json(order: WhatIf | None) -> dict[str, object] | None:
    return None if order is None else order.as_json()
