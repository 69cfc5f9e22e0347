"""What is looked up of a placed order."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bait.models import (
    Order,
    OrderVersion,
)
from bait.reads.order_changes import OrderChanges, order_changes
from bait.writes.orders import order_version_make
from matches.models import WorkRequest, WorkState
from matches.problems import Code, Problem

Packs = dict[str, int]


def packs_of(version: OrderVersion) -> Packs:
    lines = version.lines.select_related("pack__shop", "pack__bait")
    return {f"{x.pack.shop.key} {x.pack.bait.key}": x.packs for x in lines}


def fresh(order: Order) -> Order:
    return Order.objects.select_related("match__venue", "team__club", "placed", "current").get(
        pk=order.pk
    )


def made(order: Order) -> OrderVersion:
    """What a worker makes of the work that waits for this order."""
    work = WorkRequest.objects.get(key=str(order.pk), state=WorkState.WAITING)
    version = order_version_make(work.pk)
    assert version is not None
    return version


def changes(order: Order, after: OrderVersion) -> OrderChanges:
    before = fresh(order).placed
    assert before is not None
    return order_changes(before, after)


def placed_version(order: Order) -> OrderVersion:
    version = fresh(order).placed
    assert version is not None
    return version


def refused(what: Callable[[], object], *, code: Code = Code.CONFLICT) -> None:
    with pytest.raises(Problem) as caught:
        what()
    assert caught.value.code is code
