"""The address of a person's own calendar: made, shown once, ended."""

from __future__ import annotations

import secrets

from django.db import transaction
from django.utils import timezone

from matches.models import CalendarLink, Person
from matches.reads.access import clubs_of
from matches.reads.api_tokens import secret_digest

from .audit import audit_record


def calendar_link_make(person: Person) -> str:
    """A new address, of which this is the end: 256 random bits, kept only as a digest. The one
    before it is dead."""
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        CalendarLink.objects.update_or_create(
            person=person, defaults={"digest": secret_digest(secret), "made_at": timezone.now()}
        )
        _record(person, verb="calendar_link_make")
    return secret


def calendar_link_end(person: Person) -> None:
    """No calendar is read by the person's address any more."""
    with transaction.atomic():
        if CalendarLink.objects.filter(person=person).delete()[0]:
            _record(person, verb="calendar_link_end")


def _record(person: Person, *, verb: str) -> None:
    for club in clubs_of(person):
        audit_record(club=club, person=person, verb=verb, subject=person, detail={})
