"""The phones facts come from."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from django.utils import timezone

from matches.models import Device, Person

#: A phone that empties a long queue calls many times a minute: once a minute is noted.
AGAIN = dt.timedelta(minutes=1)


def device_seen(person: Person, *, device: UUID, app_build: str) -> None:
    """Note that the person's device called, and with which build: about once a minute.

    A device somebody else made known stays theirs: any device may carry another's facts.
    """
    now = timezone.now()
    known = Device.objects.filter(pk=device).values_list("person_id", "app_build", "last_seen_at")
    row = known.first()
    if row is None:
        Device.objects.bulk_create(
            [Device(id=device, person=person, app_build=app_build, last_seen_at=now)],
            ignore_conflicts=True,
        )
        return
    owner, build, seen = row
    fresh = seen is not None and now - AGAIN < seen <= now
    if owner == person.pk and not (fresh and build == app_build):
        Device.objects.filter(pk=device).update(last_seen_at=now, app_build=app_build)
