"""A fact logged at the desk: the same road as a phone's."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid5

from django.db import OperationalError, transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Device, Fact, Match, Person
from matches.problems import Code, Problem
from matches.times import time_write

from .bodies import BodyCheck, match_body_checks
from .ids import uuid7_new
from .store import facts_store

# A name space of our own (RFC 9562, section 5.5): one desk device a person, the same each time.
_DESKS = UUID("5d1f0a52-6f3e-4b7c-9a53-0c8f4e1d2b60")


def fact_log_at_desk(
    person: Person,
    *,
    match: Match,
    kind: str,
    peg: str,
    body: dict[str, Any],
    supersedes: UUID | None = None,
    body_checks: Mapping[str, BodyCheck] | None = None,
) -> Fact:
    """Log one fact for `person` from the desk, in one transaction.

    Raises Problem (BAD_INPUT, NOT_ALLOWED, NOT_FOUND, CONFLICT, BUSY) when it is refused;
    pointers point into the fact (`/body/weight`, `/peg`). `body_checks` are those of kinds this
    room does not know.
    """
    checks = {**match_body_checks(), **(body_checks or {})}
    try:
        with transaction.atomic():
            return _fact_log(person, match, kind, peg, body, supersedes, checks)
    except OperationalError as error:
        words = _("The database did not answer. Nothing was stored; try again in a moment.")
        raise Problem(Code.BUSY, words) from error


def _fact_log(
    person: Person,
    match: Match,
    kind: str,
    peg: str,
    body: dict[str, Any],
    supersedes: UUID | None,
    checks: Mapping[str, BodyCheck],
) -> Fact:
    device, seq = _next_seq(person)
    fact_id = uuid7_new()
    raw = {
        "id": str(fact_id),
        "device": str(device),
        "seq": seq,
        "kind": str(kind),
        "match": str(match.pk),
        "peg": peg,
        "recorded_at": time_write(timezone.now()),
        "clock_offset_ms": 0,
        "supersedes": str(supersedes) if supersedes else None,
        "body": body,
    }
    (outcome,) = facts_store(person, facts=[raw], body_checks=checks)
    if outcome.problem is not None:
        raise outcome.problem
    return Fact.objects.get(pk=fact_id)


def _next_seq(person: Person) -> tuple[UUID, int]:
    """The person's desk device and its next number; its row stays locked until the end."""
    device = uuid5(_DESKS, str(person.pk))
    Device.objects.get_or_create(
        pk=device, defaults={"person": person, "label": _("Desk"), "app_build": "desk"}
    )
    Device.objects.filter(pk=device).update(last_seen_at=timezone.now())
    last = Fact.objects.filter(device=device).aggregate(last=Max("seq"))["last"]
    return device, (last or 0) + 1
