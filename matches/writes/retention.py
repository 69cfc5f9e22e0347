"""What is kept no longer: how much there is of it, and letting go of it.

Results, money and the trail are kept; of notes it is what they say that goes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any, Final

from django.db import transaction
from django.db.models import F, QuerySet
from django.db.models.functions import Coalesce

from matches import models as m

from .audit import audit_record
from .erasing import NOTES

AT_ONCE: Final = 500
DONE: Final = (m.WorkState.DONE, m.WorkState.FAILED)


def _notes(before: dt.datetime) -> QuerySet[Any]:
    return m.Fact.objects.filter(kind__in=NOTES, match__end_at__lt=before).exclude(body={})


def _devices(before: dt.datetime) -> QuerySet[Any]:
    seen = Coalesce(F("last_seen_at"), F("created_at"))
    return m.Device.objects.annotate(seen=seen).filter(seen__lt=before)


#: By key of the table of days: the rows that are older than a moment.
OLD: Final[dict[str, Callable[[dt.datetime], QuerySet[Any]]]] = {
    "notes": _notes,
    "devices": _devices,
    "refused": lambda before: m.RefusedFact.objects.filter(received_at__lt=before),
    "invitations": lambda before: m.Invitation.objects.filter(ends_at__lt=before),
    "work": lambda before: m.WorkRequest.objects.filter(state__in=DONE, finished_at__lt=before),
    "notices": lambda before: m.Notice.objects.filter(at__lt=before),
    "sessions": lambda before: m.SignedIn.objects.filter(expire_date__lt=before),
}


MODELS: Final[dict[str, Any]] = {
    "devices": m.Device,
    "refused": m.RefusedFact,
    "invitations": m.Invitation,
    "work": m.WorkRequest,
    "notices": m.Notice,
    "sessions": m.SignedIn,
}


def retention_due(*, days: Mapping[str, int], now: dt.datetime) -> dict[str, int]:
    """How many rows of each kind are older than their days. A query each."""
    return {key: old(_before(now, days[key])).count() for key, old in OLD.items()}


def retention_apply(*, days: Mapping[str, int], now: dt.datetime) -> dict[str, int]:
    """Let go of them, some hundreds in a transaction; how many of each kind.

    Emptied notes leave a row in their club's trail; the rest changes nothing of a club.
    """
    done = {}
    for key, old in OLD.items():
        rows, done[key] = old(_before(now, days[key])), 0
        while keys := list(rows.order_by("pk").values_list("pk", flat=True)[:AT_ONCE]):
            with transaction.atomic():
                _let_go(key, keys=keys)
            done[key] += len(keys)
    return done


def _before(now: dt.datetime, days: int) -> dt.datetime:
    return now - dt.timedelta(days=days)


def _let_go(key: str, *, keys: list[Any]) -> None:
    if key != "notes":
        MODELS[key]._base_manager.filter(pk__in=keys).delete()
        return
    facts = m.Fact.objects.filter(pk__in=keys)
    clubs = m.Club.objects.filter(pk__in=facts.values("club")).order_by("pk")
    many = {club: facts.filter(club=club).count() for club in clubs}
    facts.update(body={})
    for club, count in many.items():
        audit_record(
            club=club, person=None, verb="notes_let_go", subject="notes", detail={"notes": count}
        )
