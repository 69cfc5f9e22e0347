"""The juniors of a club's book, and who noted that a name may be shown."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from matches.models import Angler, AuditEntry, Club, Person
from matches.reads.access import club_for_secretary
from matches.reckon.trail import JUNIOR


@dataclass(frozen=True, slots=True)
class JuniorSeen:
    """`by`, `at`: who last noted whether the name is shown, and when; None where nobody did."""

    angler: Angler
    by: str | None
    at: dt.datetime | None


def juniors_seen(person: Person, *, club: Club) -> list[JuniorSeen]:
    """By name. Raises Problem NOT_FOUND or NOT_ALLOWED. Four queries."""
    club = club_for_secretary(person, slug=club.slug)
    rows = AuditEntry.objects.filter(club=club, verb__in=(JUNIOR, "angler_add"))
    noted = {
        row.detail.get("angler"): row for row in rows.select_related("person").order_by("number")
    }
    return [
        JuniorSeen(
            angler,
            row.person.name if (row := noted.get(angler.pk)) and row.person else None,
            row.at if row else None,
        )
        for angler in Angler.objects.filter(club=club, junior=True).order_by("name")
    ]
