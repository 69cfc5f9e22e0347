"""Why an order is as it is: what was asked, and what was found, with the names behind the ids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from django.db.models import QuerySet

from bait.models import Bait, Explanation, Order, OrderVersion, Shop
from matches.models import WorkRequest

from .baits import bait_facts, own_amount
from .orders import version_of

ORDER_EXPLAIN = "bait.tasks.order_explain"


@dataclass(frozen=True, slots=True)
class PackNamed:
    """A pack as it stood in the version's request."""

    shop: str
    bait: str
    amount: str
    unit: str


@dataclass(frozen=True, slots=True)
class ExplanationSeen:
    """A version, its explanation and the latest work on it, where there are any."""

    order: Order
    version: OrderVersion
    explanation: Explanation | None
    work: WorkRequest | None

    @property
    def left_out(self) -> list[dict[str, str]]:
        """The figures that the time did not allow."""
        return self.explanation.answer["left_out"] if self.explanation else []


@dataclass(frozen=True, slots=True)
class Names:
    """What stands behind a version's ids: baits and shops by key, packs by id."""

    baits: Mapping[str, Bait]
    shops: Mapping[str, Shop]
    packs: Mapping[str, PackNamed]

    def bait(self, key: str) -> str:
        found = self.baits.get(key)
        return key if found is None else found.name

    def own_amount(self, key: str, amount: str, *, unit: str) -> tuple[Fraction, str]:
        """An amount of the bait in its own unit."""
        found = self.baits.get(key)
        if found is None:
            return Fraction(amount), unit
        return own_amount(bait_facts(found), Fraction(amount), unit=unit)

    def shop(self, key: str) -> str:
        found = self.shops.get(key)
        return key if found is None else found.name


def explanation_seen(order: Order, *, number: str = "") -> ExplanationSeen | None:
    """The explanation of the order's version of that number, or of the current one.

    None while there is no version. Raises Problem NOT_FOUND for a number there is not.
    """
    version = version_of(order, number=number) if number else order.current
    if version is None:
        return None
    return ExplanationSeen(
        order=order,
        version=version,
        explanation=Explanation.objects.filter(version=version).first(),
        work=explain_work(version),
    )


def explain_work(version: OrderVersion) -> WorkRequest | None:
    """The latest work on this version's explanation."""
    return (
        WorkRequest.objects.filter(kind=ORDER_EXPLAIN, key=str(version.pk))
        .order_by("-asked_at")
        .first()
    )


def lead_days_of(version: OrderVersion) -> dict[str, int]:
    """Days before the match by which each of the request's shops must have the order, by key."""
    return dict(_shops(version).values_list("key", "lead_days"))


def bait_units_of(version: OrderVersion) -> dict[str, str]:
    """The unit people think in, of each bait of the club, by key."""
    return dict(
        Bait.objects.filter(club__teams__orders=version.order_id)
        .distinct()
        .values_list("key", "unit")
    )


def names_of(version: OrderVersion) -> Names:
    """The names behind the version's ids; retired shops have theirs too. Two queries."""
    baits = Bait.objects.filter(club__teams__orders=version.order_id).distinct()
    names = Names(
        baits={bait.key: bait for bait in baits},
        shops={shop.key: shop for shop in _shops(version)},
        packs={},
    )
    return replace(names, packs={p["id"]: _pack(p, names=names) for p in version.inputs["packs"]})


def _shops(version: OrderVersion) -> QuerySet[Shop]:
    keys = [supplier["id"] for supplier in version.inputs["suppliers"]]
    return Shop.objects.filter(club__teams__orders=version.order_id, key__in=keys).distinct()


def _pack(pack: Mapping[str, Any], *, names: Names) -> PackNamed:
    return PackNamed(
        shop=names.shop(pack["supplier"]),
        bait=names.bait(pack["bait"]),
        amount=pack["amount"],
        unit=pack["unit"],
    )
