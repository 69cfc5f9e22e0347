"""How much work waits, for whoever runs the site: counts only, no club's business."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, Min
from django.utils import timezone

from matches.models import WorkRequest, WorkState


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
