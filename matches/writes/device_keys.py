"""Keys of phones: made known while signed in, and taken off the list."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Device, DeviceKey, Person
from matches.problems import Code, Problem, bad_field
from matches.reads.access import clubs_of
from matches.reads.device_keys import keys_of

from .audit import audit_record
from .facts.signatures import is_public_key

KEYS_MOST = 20


def device_key_add(person: Person, *, device: UUID, public_key: str) -> DeviceKey:
    """Make known what checks the facts that the person's phone signs. Sent again, it is the same.

    `public_key`: an uncompressed point of P-256 in base64url without padding. Raises Problem
    BAD_INPUT, or CONFLICT for a phone or a key that is somebody else's, and when there are
    `KEYS_MOST` in use already.
    """
    if not is_public_key(public_key):
        raise bad_field("/key", _("Send a point of P-256: 65 bytes in base64url."))
    # A desk's id can be reckoned by anybody; a phone's is left to chance (RFC 9562, section 5.4).
    if device.version != 4:
        raise bad_field("/device", _("Send a phone’s own id: a UUID of version 4."))
    with transaction.atomic():
        phone, _made = Device.objects.get_or_create(pk=device, defaults={"person": person})
        if phone.person_id != person.pk:
            raise Problem(Code.CONFLICT, _("This phone is another person’s already."))
        Device.objects.filter(pk=device).update(last_seen_at=timezone.now())
        key, made = DeviceKey.objects.get_or_create(
            public_key=public_key, defaults={"device": phone, "person": person}
        )
        if (key.person_id, key.device_id) != (person.pk, device):
            raise Problem(Code.CONFLICT, _("This key is another phone’s already."))
        if made:
            _room_check(person)
            _record(person, key, verb="device_key_add")
        return key


def _room_check(person: Person) -> None:
    if keys_of(person).filter(revoked_at__isnull=True).count() > KEYS_MOST:
        words = _("You have %(most)s phones that sign. Take one off the list at the desk first.")
        raise Problem(Code.CONFLICT, words % {"most": KEYS_MOST})


def device_key_revoke(person: Person, *, key_id: int) -> DeviceKey:
    """Take one of the person's own keys off the list, for good. Raises Problem NOT_FOUND.

    What it signed and comes later is kept, and weighs nothing until the secretary has ruled.
    """
    with transaction.atomic():
        key = keys_of(person).filter(pk=key_id).first()
        if key is None:
            raise Problem(Code.NOT_FOUND, _("No such phone among yours."))
        if key.revoked_at is None:
            key.revoked_at = timezone.now()
            key.save(update_fields=["revoked_at"])
            _record(person, key, verb="device_key_revoke")
        return key


def _record(person: Person, key: DeviceKey, *, verb: str) -> None:
    """In each of the person's clubs: a phone signs for all of them."""
    for club in clubs_of(person).order_by("pk"):  # in one order: each locks its trail
        audit_record(
            club=club,
            person=person,
            verb=verb,
            subject=key,
            detail={"key": key.pk, "device": str(key.device_id)},
        )
