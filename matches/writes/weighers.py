"""Who weighs in a match: named by the secretary, and taken back."""

from __future__ import annotations

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Match, Membership, Person, Role
from matches.problems import bad_field
from matches.reads.weighers import people_of

from .audit import audit_record
from .locks import match_locked


def weigher_name(person: Person, *, match: Match, weigher_id: int) -> Person:
    """Let somebody of the club weigh in this match; who does already goes on. Raises Problem.

    Who is named again holds the role as if it had never been taken back.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        weigher = people_of(match.club).filter(pk=weigher_id).first()
        if weigher is None:
            raise bad_field("/person", _("Choose somebody of the club."))
        held = _roles(match).filter(person=weigher).first()
        if held is None:
            held = Membership(club=match.club, person=weigher, role=Role.WEIGHER, match=match)
        elif held.ended_at is None:
            return weigher
        held.ended_at = None
        held.save()
        _record(person, match, weigher, verb="weigher_name")
        return weigher


def weigher_take_back(person: Person, *, match: Match, weigher_id: int) -> Person:
    """End somebody's role as this match's weigher; what they weighed stays. Raises Problem."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        held = _roles(match).filter(person=weigher_id).select_related("person").first()
        if held is None:
            raise bad_field("/person", _("Choose one of the match’s weighers."))
        if held.ended_at is None:
            held.ended_at = timezone.now()
            held.save(update_fields=["ended_at"])
            _record(person, match, held.person, verb="weigher_take_back")
        return held.person


def _roles(match: Match) -> QuerySet[Membership]:
    """The match's weighers, those of before with them."""
    return Membership.objects.filter(club_id=match.club_id, role=Role.WEIGHER, match=match)


def _record(person: Person, match: Match, weigher: Person, *, verb: str) -> None:
    audit_record(
        club=match.club,
        person=person,
        verb=verb,
        subject=weigher,
        detail={"match": match.pk, "person": weigher.pk},
    )
