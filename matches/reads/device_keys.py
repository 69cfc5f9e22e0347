"""A person's own phones, and the keys they sign with."""

from __future__ import annotations

from django.db.models import QuerySet

from matches.models import Device, DeviceKey, Person


def keys_of(person: Person) -> QuerySet[DeviceKey]:
    """The keys of the person's phones, those taken off the list too, newest first."""
    return DeviceKey.objects.filter(person_id=person.pk).select_related("device")


def phones_seen(person: Person) -> QuerySet[Device]:
    """The person's phones that signed in or were given a key, the last seen first. Two queries.

    Each with its `keys`. A desk is none.
    """
    return (
        Device.objects.filter(person_id=person.pk)
        .exclude(app_build="desk")
        .prefetch_related("keys")
        .order_by("-last_seen_at", "-created_at")
    )
