"""The phones facts come from."""

from __future__ import annotations

from uuid import UUID

from django.utils import timezone

from matches.models import Device, Person


def device_seen(person: Person, *, device: UUID, app_build: str) -> None:
    """Note that the person's device called, and with which build.

    A device somebody else made known stays theirs: any device may carry another's facts.
    """
    now = timezone.now()
    known = Device.objects.filter(pk=device)
    if known.filter(person_id=person.pk).update(last_seen_at=now, app_build=app_build):
        return
    if not known.exists():
        Device.objects.bulk_create(
            [Device(id=device, person=person, app_build=app_build, last_seen_at=now)],
            ignore_conflicts=True,
        )
