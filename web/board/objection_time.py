"""How long a provisional bulletin can still be objected to, for the board and the desk."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.utils import timezone

from matches.models import Bulletin


@dataclass(frozen=True, slots=True)
class ObjectionTime:
    """Until when, and how many minutes are left of it: a begun one counts, 0 once it is over."""

    until: dt.datetime
    left: int


def objection_time(bulletin: Bulletin) -> ObjectionTime | None:
    """None for a confirmed bulletin, and for one of a match that gives no such time."""
    if bulletin.confirmed or bulletin.objections_until is None:
        return None
    seconds = (bulletin.objections_until - timezone.now()).total_seconds()
    return ObjectionTime(bulletin.objections_until, max(0, -int(-seconds // 60)))
