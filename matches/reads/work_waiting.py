"""How much work waits, for whoever runs the site: counts only, no club's business."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, Min
from django.utils import timezone

from matches.models import Delivery, DeliveryState, WorkRequest, WorkState


@dataclass(frozen=True, slots=True)
class WorkWaiting:
    """Rows of one kind and state; `oldest` is the age of the first asked, in seconds, of those
    that wait."""

    kind: str
    state: str
    rows: int
    oldest: float | None


def work_waiting() -> list[WorkWaiting]:
    """What is not over yet, by kind and state."""
    now = timezone.now()
    found = (
        WorkRequest.objects.filter(state__in=(WorkState.WAITING, WorkState.RUNNING))
        .order_by()
        .values("kind", "state")
        .annotate(rows=Count("pk"), first=Min("asked_at"))
    )
    return [
        WorkWaiting(
            kind=row["kind"],
            state=row["state"],
            rows=row["rows"],
            oldest=max(0.0, (now - row["first"]).total_seconds())
            if row["state"] == WorkState.WAITING
            else None,
        )
        for row in found
    ]


def deliveries_waiting() -> tuple[int, float]:
    """Messages to other sites not taken yet, and the age of the oldest in seconds (0 of none)."""
    waiting = Delivery.objects.filter(state=DeliveryState.WAITING).order_by()
    found = waiting.aggregate(rows=Count("pk"), first=Min("made_at"))
    age = (timezone.now() - found["first"]).total_seconds() if found["first"] else 0.0
    return found["rows"], max(0.0, age)
