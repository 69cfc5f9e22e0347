"""Other ways to have the same: from one shop only, and as soon as can be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from .again import Again, Figure, WhatIf
from .changed import only_suppliers

Kind = Literal["cheapest", "only", "soonest"]


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way to buy. `supplier`: the one shop of "only". `lead_days`: of the slowest shop used,
    None where nothing is bought. `order` None: not worked out in the time."""

    kind: Kind
    supplier: str | None
    lead_days: int | None
    order: WhatIf | None

    def as_json(self) -> dict[str, object]:
        return {
            "kind": self.kind,
            "supplier": self.supplier,
            "lead_days": self.lead_days,
            "order": None if self.order is None else self.order.as_json(),
        }


def alternatives_find(again: Again, *, lead_days: Mapping[str, int]) -> tuple[Alternative, ...]:
    """The cheapest, each supplier alone, and the one that is ready soonest.

    `lead_days` by supplier id. The soonest is the least order from the suppliers that need so
    many days or fewer, for the fewest days at which nothing is missing.
    """
    if again.base is None:
        return ()
    ways: list[tuple[Kind, str | None, WhatIf | None]] = [("cheapest", None, again.same())]
    ways += [("only", supplier, _only(again, supplier)) for supplier in _sellers(again)]
    ways.append(("soonest", None, _soonest(again, lead_days=lead_days)))
    return tuple(
        Alternative(kind, supplier, _slowest(order, lead_days=lead_days), order)
        for kind, supplier, order in ways
    )


def alternatives_count(again: Again) -> int:
    """How many questions that is, the soonest counted as one."""
    return len(_sellers(again)) + 2


def _sellers(again: Again) -> list[str]:
    """The suppliers of anything that is asked for."""
    wanted = {demand.bait for demand in again.request.demands}
    return sorted({pack.supplier for pack in again.request.packs if pack.bait in wanted})


def _used(again: Again) -> set[str]:
    return set() if again.base is None else {line.supplier for line in again.base.lines}


def _only(again: Again, supplier: str) -> WhatIf | None:
    if _used(again) <= {supplier}:
        return again.same()
    request = only_suppliers(again.request, suppliers=[supplier])
    return again.ask(Figure("only", supplier), request)


def _soonest(again: Again, *, lead_days: Mapping[str, int]) -> WhatIf | None:
    sellers = _sellers(again)
    for days in sorted({lead_days.get(s, 0) for s in sellers}):
        quick = {s for s in sellers if lead_days.get(s, 0) <= days}
        if _used(again) <= quick:
            # Restricted to shops that hold the least order of all, the least order is that one.
            return again.same()
        order = again.ask(Figure("soonest"), only_suppliers(again.request, suppliers=quick))
        if order is None or not order.missing:
            return order
    return again.same()


def _slowest(order: WhatIf | None, *, lead_days: Mapping[str, int]) -> int | None:
    if order is None:
        return None
    return max((lead_days.get(s, 0) for s in order.suppliers), default=None)
