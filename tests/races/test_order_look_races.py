"""A look at an order is never kept past a change, whoever commits first."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection, transaction

from bait.models import Bait, OrderLook, Pack
from bait.reads import order_looks
from bait.reads.order_looks import looks_stale, order_look
from bait.reads.orders import orders_seen
from matches.models import AuditEntry
from matches.writes.audit import audit_record

from .test_order_life_races import planned, worked_out

pytestmark = pytest.mark.django_db(transaction=True)

WAIT_S = 60


@pytest.fixture
def version(shared_world: Any) -> Any:
    planned(shared_world, "Maud", "2.5")
    planned(shared_world, "Wilmot", "7")
    return worked_out(shared_world)


def stale(version: Any) -> bool:
    return looks_stale(orders_seen().get(pk=version.order_id), version=version)


def test_a_plan_saved_while_the_inputs_are_read_is_seen_at_the_next_look(
    shared_world: Any, version: Any, together: Callable[..., Any], monkeypatch: Any
) -> None:
    """Whether it comes before or after what was read of it."""
    real = order_looks.order_inputs
    reading, saved = threading.Event(), threading.Event()

    def slow(*args: Any, **kwargs: Any) -> Any:
        inputs = real(*args, **kwargs)
        reading.set()
        assert saved.wait(timeout=WAIT_S)
        return inputs

    def save() -> None:
        assert reading.wait(timeout=WAIT_S)
        planned(shared_world, "Wilmot", "8")
        saved.set()

    monkeypatch.setattr(order_looks, "order_inputs", slow)
    answers = together([lambda: stale(version), save])
    monkeypatch.setattr(order_looks, "order_inputs", real)
    assert answers[0] is False  # what it read was of before
    assert stale(version)
    assert stale(version)


def test_many_looks_beside_many_changes_end_in_what_is_so(
    shared_world: Any, version: Any, together: Callable[..., Any]
) -> None:
    def change(first: str) -> None:
        for pints in ("3", "4", "5"):
            planned(shared_world, first, pints)

    def look() -> None:
        for _ in range(6):
            stale(version)

    together([lambda: change("Maud"), lambda: change("Wilmot"), look, look, look])
    kept = order_look(orders_seen().get(pk=version.order_id))
    OrderLook.objects.all().delete()
    anew = order_look(orders_seen().get(pk=version.order_id))
    assert (kept.digest, kept.placed_fits) == (anew.digest, anew.placed_fits)
    planned(shared_world, "Maud", "2.5")
    planned(shared_world, "Wilmot", "7")
    assert not stale(version)


@pytest.mark.postgres
def test_a_change_that_took_its_number_early_and_is_committed_late_is_seen(
    shared_world: Any, version: Any, together: Callable[..., Any]
) -> None:
    """Its row has a lower number than rows that were there when the look was kept."""
    if connection.vendor != "postgresql":
        pytest.skip("needs two who write at once")
    numbered, looked = threading.Event(), threading.Event()
    pack: Pack = shared_world.packs["caster"]

    def change() -> int:
        with transaction.atomic():
            Pack.objects.filter(pk=pack.pk).update(price_pence=1)
            row = audit_record(
                club=shared_world.club, person=None, verb="pack.changed", subject="", detail={}
            )
            numbered.set()
            assert looked.wait(timeout=WAIT_S)
        return int(row.pk)

    def look() -> tuple[bool, int]:
        assert numbered.wait(timeout=WAIT_S)
        later = audit_record(
            club=shared_world.club, person=None, verb="else", subject="", detail={}
        )
        try:
            assert not stale(version)
            return stale(version), int(later.pk)
        finally:
            looked.set()

    lower, (before, higher) = together([change, look])
    assert lower < higher
    assert before is False
    assert AuditEntry.objects.latest("pk").pk == higher
    assert stale(version)
    assert Bait.objects.filter(packs__price_pence=1).exists()
