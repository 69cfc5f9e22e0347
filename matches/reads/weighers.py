"""Who may weigh in a match besides the club's secretaries, and who could be named to."""

from __future__ import annotations

from django.db.models import QuerySet

from matches.models import Club, Match, Membership, Person, Role


def weighers_named(match: Match) -> QuerySet[Person]:
    """The match's weighers now, by name."""
    return _people(Membership.objects.filter(club_id=match.club_id, role=Role.WEIGHER, match=match))


def people_of(club: Club) -> QuerySet[Person]:
    """Everybody who signs in and holds a role in the club now, by name."""
    return _people(Membership.objects.filter(club=club))


def _people(roles: QuerySet[Membership]) -> QuerySet[Person]:
    held = roles.filter(ended_at__isnull=True)
    return Person.objects.filter(pk__in=held.values("person_id")).order_by(
        "last_name", "first_name", "username"
    )
