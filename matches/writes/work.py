"""The outbox: work is a row first, and Celery only wakes a worker.

A row is written in the transaction of its cause. Its `kind` is the name of the Celery task that
does it, with the row's id as the only argument. A worker claims the row by a conditional update
and holds it by a lease it renews; a lost message or a killed worker delays the work, never loses
it. Doing one row twice must do no harm: every `kind` is written so.
"""

from __future__ import annotations

import datetime as dt
import logging
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial

from celery import current_app
from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from kombu.exceptions import KombuError

from matches.models import Club, Person, WorkRequest, WorkState

MOST_ATTEMPTS = 5
ASK_TRIES = 3
log = logging.getLogger(__name__)


class LeaseLost(Exception):
    """Another worker holds the row now: stop, and leave it alone."""


@dataclass(frozen=True, slots=True)
class Claim:
    """A row this worker holds, until the lease ends or it is finished."""

    work_id: uuid.UUID
    lease: uuid.UUID
    key: str
    attempts: int


def work_ask(person: Person | None, *, club: Club, kind: str, key: str) -> WorkRequest:
    """Ask for work of this kind and key; joins the row that waits for the same, if one does.

    Call it inside the transaction of the cause. The worker is woken after the commit; a broker
    that is down then only means that the sweeper wakes it later.
    """
    with transaction.atomic():
        work = _waiting_row(person, club=club, kind=kind, key=key)
        transaction.on_commit(partial(work_nudge, work_id=work.pk, kind=kind), robust=True)
    return work


def _waiting_row(person: Person | None, *, club: Club, kind: str, key: str) -> WorkRequest:
    for _attempt in range(ASK_TRIES):
        # Locked, so that no worker claims it before what we commit with it can be seen.
        waiting = (
            WorkRequest.objects.select_for_update()
            .filter(kind=kind, key=key, state=WorkState.WAITING)
            .first()
        )
        if waiting is not None:
            WorkRequest.objects.filter(pk=waiting.pk).update(not_before=None)
            return waiting
        try:
            with transaction.atomic():
                return WorkRequest.objects.create(club=club, kind=kind, key=key, asked_by=person)
        except IntegrityError:
            continue  # another asked at the same moment: look again
    raise IntegrityError(f"no waiting row for {kind} {key} after {ASK_TRIES} tries")


def work_nudge(*, work_id: uuid.UUID, kind: str) -> bool:
    """Wake a worker for one row. False when the broker does not answer: the sweeper tries again."""
    try:
        current_app.send_task(kind, args=[str(work_id)], retry=False)
    except (KombuError, OSError) as error:
        log.warning("No worker woken for %s: %s. The sweeper will.", work_id, error)
        return False
    return True


def work_claim(work_id: uuid.UUID) -> Claim | None:
    """Take the row if it is due and nobody holds it; None otherwise."""
    now, lease = timezone.now(), uuid.uuid4()
    taken = (
        WorkRequest.objects.filter(_due(now), pk=work_id)
        .filter(attempts__lt=MOST_ATTEMPTS)
        .update(
            state=WorkState.RUNNING,
            lease=lease,
            lease_until=_lease_end(now),
            attempts=F("attempts") + 1,
            percent=0,
            progress="",
            problem="",
        )
    )
    if not taken:
        return None
    row = WorkRequest.objects.get(pk=work_id)
    return Claim(work_id=row.pk, lease=lease, key=row.key, attempts=row.attempts)


@contextmanager
def work_held(work_id: uuid.UUID) -> Iterator[Claim | None]:
    """Claim a row for a block. Left without a finish or a failure, the row waits for a next try."""
    claim = work_claim(work_id)
    try:
        yield claim
    finally:
        if claim is not None:
            work_fail(claim, problem=_("A worker stopped before it had an answer."), retry=True)


def work_renew(claim: Claim, *, percent: int, words: str) -> None:
    """Say how far it is, and hold the row for another lease. Raises LeaseLost."""
    renewed = _held(claim).update(
        lease_until=_lease_end(timezone.now()),
        percent=max(0, min(100, percent)),
        progress=words[:120],
    )
    if not renewed:
        raise LeaseLost(str(claim.work_id))


def work_finish(claim: Claim) -> bool:
    """Mark the row done; call it in the transaction that stores the answer.

    False when another worker has it meanwhile: what was stored is the same, and stands.
    """
    return bool(
        _held(claim).update(
            state=WorkState.DONE,
            percent=100,
            progress="",
            problem="",
            lease=None,
            lease_until=None,
            finished_at=timezone.now(),
        )
    )


def work_fail(claim: Claim, *, problem: str, retry: bool) -> None:
    """Give the row up, or with `retry` back for a later try while it has tries left.

    Does nothing to a row this claim no longer holds.
    """
    now = timezone.now()
    with transaction.atomic():
        row = _held(claim).select_for_update().first()
        if row is None:
            return
        row.lease = row.lease_until = None
        row.problem = problem
        twin = WorkRequest.objects.filter(kind=row.kind, key=row.key, state=WorkState.WAITING)
        if retry and row.attempts < MOST_ATTEMPTS and not twin.exists():
            row.state = WorkState.WAITING
            row.not_before = now + dt.timedelta(seconds=2**row.attempts)
        else:
            row.state = WorkState.FAILED
            row.finished_at = now
        row.save(
            update_fields=[
                "lease",
                "lease_until",
                "problem",
                "state",
                "not_before",
                "finished_at",
            ]
        )


def work_due() -> list[WorkRequest]:
    """The rows a worker should be woken for, oldest first."""
    return list(
        WorkRequest.objects.filter(_due(timezone.now()), attempts__lt=MOST_ATTEMPTS).order_by(
            "asked_at", "id"
        )
    )


def work_sweep() -> tuple[int, int]:
    """Wake a worker for every row that is due, and give up those that had all their tries.

    Returns how many were woken and how many were given up. May run at any time, twice at once.
    """
    given_up = WorkRequest.objects.filter(
        _lease_ran_out(timezone.now()), attempts__gte=MOST_ATTEMPTS
    ).update(
        state=WorkState.FAILED,
        lease=None,
        lease_until=None,
        finished_at=timezone.now(),
        problem=_("A worker stopped at this every time. Tell whoever runs the site."),
    )
    woken = sum(work_nudge(work_id=row.pk, kind=row.kind) for row in work_due())
    return woken, given_up


def _due(now: dt.datetime) -> Q:
    soon = Q(not_before__isnull=True) | Q(not_before__lte=now) | Q(not_before__gt=_too_late(now))
    return Q(state=WorkState.WAITING) & soon | _lease_ran_out(now)


def _lease_ran_out(now: dt.datetime) -> Q:
    ended = Q(lease_until__lt=now) | Q(lease_until__gt=_too_late(now))
    return Q(state=WorkState.RUNNING) & ended


def _too_late(now: dt.datetime) -> dt.datetime:
    """No lease or wait reaches so far: what does was written before the clock was set back.

    Two leases, not one: the clocks of two machines differ a little.
    """
    return now + dt.timedelta(seconds=2 * settings.WORK_LEASE_SECONDS)


def _held(claim: Claim) -> QuerySet[WorkRequest]:
    return WorkRequest.objects.filter(pk=claim.work_id, lease=claim.lease, state=WorkState.RUNNING)


def _lease_end(now: dt.datetime) -> dt.datetime:
    return now + dt.timedelta(seconds=settings.WORK_LEASE_SECONDS)
