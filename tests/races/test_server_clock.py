"""The server's clock set an hour or a day back or on: nothing is lost, nothing waits for it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone

from matches.models import Fact, WorkRequest, WorkState
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.work import work_ask, work_claim, work_due, work_fail
from tests.matches.planned import undrawn
from tests.web.phone import Phone

JUMPS = [dt.timedelta(hours=h) for h in (-24, -1, 1, 24)]
KIND = "bait.tasks.order_work"
pytestmark = [pytest.mark.django_db, pytest.mark.parametrize("jump", JUMPS, ids=str)]


@pytest.fixture
def clock_set(monkeypatch: pytest.MonkeyPatch, jump: dt.timedelta) -> Any:
    real = timezone.now

    def set_it() -> None:
        monkeypatch.setattr(timezone, "now", lambda: real() + jump)

    return set_it


def test_facts_are_numbered_and_pulled_in_order_and_who_is_signed_in_stays_so(
    world: Any, clock_set: Any
) -> None:
    one, other = (Phone(person, world.match) for person in (world.weigher, world.secretary))
    one.weigh("1", 900)
    one.sync()
    other.sync()
    clock_set()
    for n in range(5):
        one.keep("peg_note", "1", {"note": str(n)})
    one.weigh("2", 800)
    one.sync()
    other.sync()
    assert len(other.pulled) == Fact.objects.count() == 7
    assert [fact["cseq"] for fact in other.pulled.values()] == [*range(1, 8)]
    assert world.match.weigh_ins.filter(stands=True).count() == 2


def asked(world: Any) -> WorkRequest:
    with transaction.atomic():
        return work_ask(world.captain, club=world.club, kind=KIND, key="order:1")


def later(monkeypatch: pytest.MonkeyPatch, seconds: int) -> None:
    now = timezone.now()
    monkeypatch.setattr(timezone, "now", lambda: now + dt.timedelta(seconds=seconds))


def test_work_that_a_killed_worker_held_is_done_within_two_leases(
    world: Any, clock_set: Any, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = asked(world)
    assert work_claim(work.pk)
    clock_set()
    later(monkeypatch, 2 * settings.WORK_LEASE_SECONDS)
    assert [row.pk for row in work_due()] == [work.pk]
    assert work_claim(work.pk)


def test_work_that_waits_for_its_next_try_does_not_wait_for_the_clock(
    world: Any, clock_set: Any, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = asked(world)
    claim = work_claim(work.pk)
    assert claim
    work_fail(claim, problem="stopped", retry=True)
    clock_set()
    later(monkeypatch, 2 * settings.WORK_LEASE_SECONDS)
    assert work_claim(work.pk)
    assert WorkRequest.objects.get().state == WorkState.RUNNING


def test_a_draw_that_was_begun_is_held(world: Any, clock_set: Any) -> None:
    match = undrawn(world)
    draw = draw_commit(world.secretary, match=match, mode="open")
    clock_set()
    draw_hold(world.secretary, match=match)
    draw.refresh_from_db()
    match.refresh_from_db()
    assert match.state == "drawn"
