"""What a club publishes, told to the addresses it named: rows first, and Celery only wakes.

A row is written in the transaction of what it tells of. A worker claims it by a conditional update
and holds it until `lease_until`; a lost message or a killed worker delays it, never loses it. The
same message may arrive twice: its id stays the same.
"""

from __future__ import annotations

import datetime as dt
import logging
import random
import uuid
from functools import partial
from typing import Any, Final

from celery import current_app
from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _
from kombu.exceptions import KombuError

from matches.models import Bulletin, Club, Delivery, DeliveryState, LeagueTable, Webhook

log = logging.getLogger(__name__)
DELIVERY_WORK: Final = "web.tasks.delivery_send"
BULLETIN, TABLE, TRY = "bulletin.published", "league_table.published", "try"
#: Seconds after each failed try to the next: a day in all.
WAITS: Final = (30, 120, 600, 1800, 7200, 18_000, 28_800, 28_800)
#: A wait is up to this part longer, so that many addresses are not asked at the same moment.
JITTER: Final = 0.1
LEASE_S: Final = 60
DAYS_KEPT: Final = 30


def bulletin_tell(bulletin: Bulletin) -> None:
    """Have the club's addresses told of a bulletin. Call it in the transaction that publishes."""
    match = bulletin.match
    about = {
        "match": {"id": match.pk, "slug": match.slug, "name": match.name, "date": str(match.date)},
        "number": bulletin.number,
        "confirmed": bulletin.confirmed,
        "digest": bulletin.digest,
    }
    _deliveries_add(match.club, event=BULLETIN, about=about)


def league_table_tell(table: LeagueTable) -> None:
    """Have the club's addresses told of a league's table, as `bulletin_tell`."""
    league = table.league
    about = {
        "league": {"slug": league.slug, "name": league.name},
        "number": table.number,
        "digest": table.digest,
    }
    _deliveries_add(league.club, event=TABLE, about=about)


def delivery_add(webhook: Webhook, *, event: str, about: dict[str, Any]) -> Delivery:
    """One message to one address, sent after the commit."""
    now = timezone.now()
    made = Delivery.objects.create(
        webhook=webhook, event=event, about=about, made_at=now, due_at=now
    )
    transaction.on_commit(partial(delivery_nudge, made.pk), robust=True)
    return made


def _deliveries_add(club: Club, *, event: str, about: dict[str, Any]) -> None:
    for webhook in Webhook.objects.filter(club=club, off_at__isnull=True):
        delivery_add(webhook, event=event, about=about)


def delivery_nudge(delivery_id: uuid.UUID) -> bool:
    """Wake a worker for one row. False when the broker does not answer: the sweep tries again."""
    try:
        current_app.send_task(DELIVERY_WORK, args=[str(delivery_id)], retry=False)
    except (KombuError, OSError) as error:
        log.warning("No worker woken for delivery %s: %s. The sweep will.", delivery_id, error)
        return False
    return True


def delivery_claim(delivery_id: uuid.UUID) -> Delivery | None:
    """Take the row if it is due and nobody holds it; None otherwise."""
    now = timezone.now()
    taken = Delivery.objects.filter(_due(now), pk=delivery_id).update(
        lease_until=now + dt.timedelta(seconds=LEASE_S), attempts=F("attempts") + 1, tried_at=now
    )
    if not taken:
        return None
    return Delivery.objects.select_related("webhook__club").get(pk=delivery_id)


def delivery_taken(delivery: Delivery, *, answer: str) -> None:
    """The address said that it has it."""
    _held(delivery).update(state=DeliveryState.SENT, lease_until=None, answer=answer[:200])


def delivery_refused(delivery: Delivery, *, answer: str, gone: bool = False) -> None:
    """The address did not take it: try later, or give up after a day, or at once where it is gone.

    An address that took nothing since this message was made is then switched off, in words.
    """
    with transaction.atomic():
        tries = delivery.attempts
        if tries <= len(WAITS) and not gone:
            wait = WAITS[tries - 1] * (1 + JITTER * random.random())
            due = timezone.now() + dt.timedelta(seconds=wait)
            _held(delivery).update(due_at=due, lease_until=None, answer=answer[:200])
            return
        _held(delivery).update(state=DeliveryState.FAILED, lease_until=None, answer=answer[:200])
        taken = delivery.webhook.deliveries.filter(
            state=DeliveryState.SENT, tried_at__gte=delivery.made_at
        )
        if gone or not taken.exists():
            why = answer if gone else _("It took nothing for a day. The last: %s") % answer
            Webhook.objects.filter(pk=delivery.webhook_id, off_at__isnull=True).update(
                off_at=timezone.now(), off_why=why[:200]
            )


def deliveries_sweep() -> int:
    """Wake a worker for every row that is due, and drop those of a month ago. Returns how many
    were woken. May run at any time, twice at once."""
    now = timezone.now()
    old = Q(made_at__lt=now - dt.timedelta(days=DAYS_KEPT)) & ~Q(state=DeliveryState.WAITING)
    Delivery.objects.filter(old).delete()
    due = Delivery.objects.filter(_due(now)).order_by("due_at").values_list("pk", flat=True)
    return sum(delivery_nudge(pk) for pk in due)


def _due(now: dt.datetime) -> Q:
    free = Q(lease_until__isnull=True) | Q(lease_until__lt=now)
    waits = Q(state=DeliveryState.WAITING, due_at__lte=now, webhook__off_at__isnull=True)
    return waits & free


def _held(delivery: Delivery) -> Any:
    """The row while it is as this worker claimed it: another try counts one more."""
    return Delivery.objects.filter(
        pk=delivery.pk, state=DeliveryState.WAITING, attempts=delivery.attempts
    )
