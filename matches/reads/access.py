"""Who may see and do what: the one door to a club's protected objects.

Every function takes the person first. What a person may not see does not exist for them.
"""

from __future__ import annotations

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from matches.models import Club, Entry, Match, Membership, Person, Role, Team
from matches.problems import Code, Problem
from matches.reckon.reading import is_storable

DESK_ROLES = (Role.OWNER, Role.SECRETARY)


def memberships_of(person: Person) -> QuerySet[Membership]:
    """The roles a person holds now, in every club."""
    if not person.is_authenticated:
        return Membership.objects.none()
    return Membership.objects.filter(person_id=person.pk, ended_at__isnull=True)


def clubs_of(person: Person) -> QuerySet[Club]:
    """The clubs the person is in now, by name."""
    return Club.objects.filter(pk__in=memberships_of(person).values("club_id")).order_by("name")


def matches_of(person: Person) -> QuerySet[Match]:
    """Every match of the person's clubs, newest first."""
    return Match.objects.filter(
        club_id__in=memberships_of(person).values("club_id")
    ).select_related("club", "venue")


def match_seen(person: Person, *, match_id: int) -> Match:
    """One match of the person's clubs. Raises Problem NOT_FOUND."""
    found = matches_of(person).filter(pk=match_id).first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such match in your clubs."))
    return found


def is_secretary(person: Person, *, club: Club) -> bool:
    """Whether the person runs the club's desk: as secretary or owner."""
    return memberships_of(person).filter(club=club, role__in=DESK_ROLES).exists()


def is_captain(person: Person, *, team: Team) -> bool:
    """Captains act for their own team; secretaries and owners for any team of the club."""
    return (
        memberships_of(person)
        .filter(club_id=team.club_id)
        .filter(Q(role=Role.CAPTAIN, team=team) | Q(role__in=DESK_ROLES))
        .exists()
    )


def is_weigher(person: Person, *, match: Match) -> bool:
    """A match's weighers, and the club's secretaries."""
    return (
        memberships_of(person)
        .filter(club_id=match.club_id)
        .filter(Q(role=Role.WEIGHER, match=match) | Q(role__in=DESK_ROLES))
        .exists()
    )


def captained_teams(person: Person) -> QuerySet[Team]:
    """The teams a person may order for."""
    held = memberships_of(person)
    return Team.objects.filter(
        Q(pk__in=held.filter(role=Role.CAPTAIN).values("team_id"))
        | Q(club_id__in=held.filter(role__in=DESK_ROLES).values("club_id"), visitors=False)
    ).select_related("club")


def match_for_secretary(person: Person, *, match_id: int) -> Match:
    """One match the person runs. Raises Problem NOT_FOUND or NOT_ALLOWED."""
    match = match_seen(person, match_id=match_id)
    if not is_secretary(person, club=match.club):
        raise Problem(Code.NOT_ALLOWED, _("Only the club's secretary may do this."))
    return match


def club_for_secretary(person: Person, *, slug: str) -> Club:
    """One club the person runs. Raises Problem NOT_FOUND or NOT_ALLOWED."""
    club = clubs_of(person).filter(slug=slug).first() if is_storable(slug) else None
    if club is None:
        raise Problem(Code.NOT_FOUND, _("You are in no club of that address."))
    if not is_secretary(person, club=club):
        raise Problem(Code.NOT_ALLOWED, _("Only the club's secretary may do this."))
    return club


def own_entry(person: Person, *, match: Match) -> Entry | None:
    """The person's own entry in the match, whatever its state; None without one. One query."""
    return (
        Entry.objects.filter(match=match, angler__person_id=person.pk)
        .select_related("angler", "team", "match__club", "match__venue")
        .first()
    )
