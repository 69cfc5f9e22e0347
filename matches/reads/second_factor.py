"""Who signs in with a code besides the password."""

from __future__ import annotations

import datetime as dt

from django.db.models import QuerySet
from django.utils import timezone

from matches.models import Person, SecondFactor

TO_CONFIRM = dt.timedelta(minutes=15)


def second_of(person: Person) -> SecondFactor | None:
    """The person's own that is on."""
    return SecondFactor.objects.filter(person_id=person.pk, on_since__isnull=False).first()


def second_begun(person: Person) -> SecondFactor | None:
    """The person's own that waits for its first code: not for long, or who found the desk open
    later could turn it on with an app of theirs."""
    since = timezone.now() - TO_CONFIRM
    begun = SecondFactor.objects.filter(on_since__isnull=True, made_at__gt=since)
    return begun.filter(person_id=person.pk).first()


def keepers_without() -> QuerySet[Person]:
    """Who may come to the keeper's side and has none."""
    keepers = Person.objects.filter(is_superuser=True, is_active=True)
    return keepers.exclude(second_factor__on_since__isnull=False)
