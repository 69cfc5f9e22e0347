"""That somebody took all of a club away with them."""

from __future__ import annotations

from django.db import transaction

from matches.models import Club, Person

from .audit import audit_record
from .locks import club_locked


def club_export_record(person: Person, *, club: Club) -> None:
    """Note in the trail that all of the club is downloaded. Raises Problem for who does not run
    it."""
    with transaction.atomic():
        club = club_locked(person, club=club)
        audit_record(club=club, person=person, verb="club_export", subject=club, detail={})
