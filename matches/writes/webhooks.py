"""Addresses that are told what a club publishes: named, tried, switched on again, taken off."""

from __future__ import annotations

from typing import Final
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Club, Delivery, DeliveryState, Person, Webhook
from matches.problems import Code, Problem, bad_field
from matches.reads.access import club_for_secretary
from matches.reads.webhooks import address_fault

from .audit import audit_record
from .deliveries import TRY, delivery_add, delivery_nudge

WEBHOOKS_MOST: Final = 5


def webhook_add(person: Person, *, club: Club, address: str) -> Webhook:
    """Name an address. Raises Problem BAD_INPUT for one that may not be called, CONFLICT for one
    that is named already or for more than `WEBHOOKS_MOST`."""
    address = address.strip()
    if fault := address_fault(address):
        raise bad_field("/address", fault)
    with transaction.atomic():
        club = _locked(person, club=club)
        if club.webhooks.filter(address=address).exists():
            raise Problem(Code.CONFLICT, _("This address is named already."))
        if club.webhooks.count() >= WEBHOOKS_MOST:
            raise Problem(Code.CONFLICT, _("A club names at most 5. Take one off first."))
        made = Webhook.objects.create(club=club, address=address)
        _record(person, made, verb="webhook_add")
    return made


def webhook_remove(person: Person, *, club: Club, webhook_id: int) -> None:
    """Take an address off, with what waits for it. Raises Problem NOT_FOUND."""
    with transaction.atomic():
        hook = _named(_locked(person, club=club), webhook_id=webhook_id)
        _record(person, hook, verb="webhook_remove")
        hook.delete()


def webhook_switch_on(person: Person, *, club: Club, webhook_id: int) -> None:
    """Send again to an address that was switched off; what waits goes out now."""
    with transaction.atomic():
        hook = _named(_locked(person, club=club), webhook_id=webhook_id)
        if hook.off_at is None:
            return
        hook.off_at, hook.off_why = None, ""
        hook.save(update_fields=["off_at", "off_why"])
        waiting = hook.deliveries.filter(state=DeliveryState.WAITING)
        waiting.update(due_at=timezone.now(), attempts=0)
        _record(person, hook, verb="webhook_switch_on")


def webhook_try(person: Person, *, club: Club, webhook_id: int) -> Delivery:
    """Send a message that tells of nothing, to see whether the address takes it."""
    with transaction.atomic():
        hook = _named(_locked(person, club=club), webhook_id=webhook_id)
        if hook.off_at is not None:
            raise Problem(Code.CONFLICT, _("This address is switched off: switch it on first."))
        _record(person, hook, verb="webhook_try")
        return delivery_add(hook, event=TRY, about={})


def delivery_again(person: Person, *, club: Club, delivery_id: UUID) -> Delivery:
    """Send one message once more, now, under the same id. Raises Problem NOT_FOUND."""
    with transaction.atomic():
        club = _locked(person, club=club)
        found = Delivery.objects.filter(pk=delivery_id, webhook__club=club)
        delivery = found.select_related("webhook").first()
        if delivery is None:
            raise Problem(Code.NOT_FOUND, _("No such message of this club."))
        found.update(
            state=DeliveryState.WAITING, due_at=timezone.now(), attempts=0, lease_until=None
        )
        _record(person, delivery.webhook, verb="delivery_again")
        transaction.on_commit(lambda: delivery_nudge(delivery.pk), robust=True)
        return delivery


def _locked(person: Person, *, club: Club) -> Club:
    club_for_secretary(person, slug=club.slug)
    return Club.objects.select_for_update().get(pk=club.pk)


def _named(club: Club, *, webhook_id: int) -> Webhook:
    hook: Webhook | None = club.webhooks.filter(pk=webhook_id).first()
    if hook is None:
        raise Problem(Code.NOT_FOUND, _("No such address of this club."))
    return hook


def _record(person: Person, hook: Webhook, *, verb: str) -> None:
    audit_record(
        club=hook.club, person=person, verb=verb, subject=hook, detail={"webhook": hook.pk}
    )
