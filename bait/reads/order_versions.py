"""An order's versions as a page lists them, without their long inputs and answers."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from bait.models import Order, OrderVersion
from matches.reads.rows_along import RowsAlong


@dataclass(frozen=True, slots=True)
class VersionListed:
    """A version's line in the list of all."""

    number: int
    pk: int
    total_pence: int
    made_at: dt.datetime


def orders_with_versions(orders: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with the lists of their versions, in one query."""
    versions = OrderVersion.objects.filter(order=OuterRef("pk"))
    return orders.annotate(
        version_rows=RowsAlong(versions, "number", "pk", "total_pence", "made_at")
    )


def versions_listed(order: Order) -> list[VersionListed]:
    """Of an order of `orders_with_versions`, the newest first."""
    return [
        VersionListed(number, pk, pence, _moment(at))
        for number, pk, pence, at in sorted(vars(order)["version_rows"], reverse=True)
    ]


def _moment(text: str) -> dt.datetime:
    """SQLite keeps moments in UTC and does not say so."""
    at = parse_datetime(text)
    assert at is not None
    return at if timezone.is_aware(at) else at.replace(tzinfo=dt.UTC)
