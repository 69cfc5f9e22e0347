"""Work is a row first: asked once, claimed by one, taken back when its worker is gone."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

import pytest
from celery import Celery, current_app
from django.db import IntegrityError, transaction
from django.utils import timezone

from matches.models import WorkRequest, WorkState
from matches.writes.work import (
    MOST_ATTEMPTS,
    LeaseLost,
    work_ask,
    work_claim,
    work_due,
    work_fail,
    work_finish,
    work_held,
    work_nudge,
    work_renew,
    work_sweep,
)

KIND = "bait.tasks.order_work_out"


@pytest.fixture(autouse=True)
def messages_stay_in_memory() -> Iterator[None]:
    """A broker of this process alone: what is sent is read by nobody."""
    with broker_at("memory://"):
        yield


@contextmanager
def broker_at(address: str) -> Iterator[None]:
    before = current_app._get_current_object()
    app = Celery("tests", broker=address, set_as_current=True)
    app.conf.broker_transport_options = {"max_retries": 0}  # as in the settings
    try:
        yield
    finally:
        app.close()
        before.set_current()


def ask(world: Any, key: str = "7") -> WorkRequest:
    return work_ask(world.captain, club=world.club, kind=KIND, key=key)


def lease_runs_out(work: WorkRequest) -> None:
    past = timezone.now() - dt.timedelta(seconds=1)
    WorkRequest.objects.filter(pk=work.pk).update(lease_until=past)


def wait_is_over(work: WorkRequest) -> None:
    past = timezone.now() - dt.timedelta(seconds=1)
    WorkRequest.objects.filter(pk=work.pk).update(not_before=past)


def due() -> list[UUID]:
    return [row.pk for row in work_due()]


def test_asking_twice_while_it_waits_is_one_row(world: Any) -> None:
    assert ask(world).pk == ask(world).pk
    assert ask(world, "8").pk != ask(world).pk
    assert WorkRequest.objects.count() == 2


def test_asking_while_it_runs_is_a_second_row(world: Any) -> None:
    first = ask(world)
    assert work_claim(first.pk) is not None
    assert ask(world).pk != first.pk


def test_a_row_undone_with_its_cause_is_gone(world: Any) -> None:
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        ask(world)
        1 / 0  # noqa: B018
    assert not WorkRequest.objects.exists()


def test_the_database_refuses_a_second_waiting_row(world: Any) -> None:
    ask(world)
    with pytest.raises(IntegrityError), transaction.atomic():
        WorkRequest.objects.create(club=world.club, kind=KIND, key="7")


def test_one_worker_gets_the_row(world: Any) -> None:
    work = ask(world)
    claim = work_claim(work.pk)
    assert claim is not None and (claim.key, claim.attempts) == ("7", 1)
    assert work_claim(work.pk) is None
    assert due() == []


def test_a_held_row_says_how_far_it_is_and_renews_its_lease(world: Any) -> None:
    work = ask(world)
    claim = work_claim(work.pk)
    assert claim is not None
    lease_runs_out(work)
    work_renew(claim, percent=140, words="caster")
    work.refresh_from_db()
    assert (work.percent, work.progress, work.state) == (100, "caster", WorkState.RUNNING)
    assert due() == []


def test_a_row_whose_lease_ran_out_is_anothers_and_the_first_worker_is_told(world: Any) -> None:
    work = ask(world)
    first = work_claim(work.pk)
    assert first is not None
    lease_runs_out(work)
    assert due() == [work.pk]
    second = work_claim(work.pk)
    assert second is not None and second.attempts == 2
    with pytest.raises(LeaseLost):
        work_renew(first, percent=50, words="")
    assert work_finish(first) is False
    work_fail(first, problem="late", retry=False)
    work.refresh_from_db()
    assert (work.state, work.problem) == (WorkState.RUNNING, "")
    assert work_finish(second) is True
    work.refresh_from_db()
    assert (work.state, work.percent, work.lease) == (WorkState.DONE, 100, None)


def test_a_finished_row_is_never_claimed_again(world: Any) -> None:
    work = ask(world)
    claim = work_claim(work.pk)
    assert claim is not None
    work_finish(claim)
    assert work_claim(work.pk) is None
    assert due() == []


def test_a_failed_try_waits_longer_each_time_and_the_fifth_is_the_last(world: Any) -> None:
    work = ask(world)
    waits = []
    for _try in range(MOST_ATTEMPTS):
        claim = work_claim(work.pk)
        assert claim is not None
        before = timezone.now()
        work_fail(claim, problem="No room on the disk.", retry=True)
        work.refresh_from_db()
        if work.state == WorkState.WAITING:
            assert work_claim(work.pk) is None
            waits.append(round((work.not_before - before).total_seconds()))
            wait_is_over(work)
    assert waits == [2, 4, 8, 16]
    assert (work.state, work.problem) == (WorkState.FAILED, "No room on the disk.")
    assert work_claim(work.pk) is None


def test_asking_again_for_what_waits_for_a_next_try_tries_at_once(world: Any) -> None:
    work = ask(world)
    claim = work_claim(work.pk)
    assert claim is not None
    work_fail(claim, problem="", retry=True)
    assert due() == []
    ask(world)
    assert due() == [work.pk]


def test_a_failed_try_gives_way_to_what_was_asked_meanwhile(world: Any) -> None:
    first = ask(world)
    claim = work_claim(first.pk)
    assert claim is not None
    second = ask(world)
    work_fail(claim, problem="stopped", retry=True)
    first.refresh_from_db()
    assert first.state == WorkState.FAILED
    assert due() == [second.pk]


def test_a_block_that_breaks_hands_the_row_back_and_the_error_on(world: Any) -> None:
    work = ask(world)
    with pytest.raises(ZeroDivisionError), work_held(work.pk):
        1 / 0  # noqa: B018
    work.refresh_from_db()
    assert (work.state, work.attempts) == (WorkState.WAITING, 1)
    assert work.problem == "A worker stopped before it had an answer."


def test_a_block_that_finishes_leaves_the_row_done(world: Any) -> None:
    work = ask(world)
    with work_held(work.pk) as claim:
        assert claim is not None
        work_finish(claim)
    work.refresh_from_db()
    assert work.state == WorkState.DONE
    with work_held(work.pk) as again:
        assert again is None


def test_a_row_that_stops_every_worker_is_given_up_and_shown(world: Any) -> None:
    work = ask(world)
    for _try in range(MOST_ATTEMPTS):
        assert work_sweep() == (1, 0)
        assert work_claim(work.pk) is not None
        lease_runs_out(work)
    assert work_sweep() == (0, 1)
    work.refresh_from_db()
    assert work.state == WorkState.FAILED
    assert work.problem == "A worker stopped at this every time. Tell whoever runs the site."
    assert work_sweep() == (0, 0)


def test_a_worker_is_woken_only_after_the_commit(
    world: Any, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks() as callbacks:
        ask(world)
    assert len(callbacks) == 1


def test_a_broker_that_is_down_is_no_error(world: Any) -> None:
    with broker_at("amqp://127.0.0.1:1//"):
        work = ask(world)
        began = time.monotonic()
        assert work_nudge(work_id=work.pk, kind=KIND) is False
        assert work_sweep() == (0, 0)
        assert time.monotonic() - began < 1  # nobody waits for it
    assert due() == [work.pk]


def test_claiming_is_two_statements(world: Any, django_assert_num_queries: Any) -> None:
    work = ask(world)
    with django_assert_num_queries(2):
        work_claim(work.pk)
