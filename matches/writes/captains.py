"""Who captains a team: named by the secretary, and taken back."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Club, Membership, Person, Role, Team
from matches.problems import Code, Problem, bad_field
from matches.reads.weighers import people_of

from .audit import audit_record
from .locks import club_locked


def captain_name(person: Person, *, club: Club, team_id: int, captain_id: int) -> Membership:
    """Let somebody of the club captain one of its teams; who does already goes on. Raises Problem.

    Who is named again holds the role as if it had never been taken back.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        team = Team.objects.filter(club=club, pk=team_id).first()
        if team is None:
            raise Problem(Code.NOT_FOUND, _("The club has no such team."))
        captain = people_of(club).filter(pk=captain_id).first()
        if captain is None:
            raise bad_field("/person", _("Choose somebody of the club."))
        rows = Membership.objects.filter(club=club, role=Role.CAPTAIN, team=team, person=captain)
        held = rows.first()
        if held is None:
            held = Membership(club=club, person=captain, role=Role.CAPTAIN, team=team)
        elif held.ended_at is None:
            return held
        held.ended_at = None
        held.save()
        _record(person, held, verb="captain_name")
        return held


def captain_take_back(person: Person, *, club: Club, team_id: int, captain_id: int) -> Membership:
    """End somebody's role as that team's captain; twice is once. Raises Problem NOT_FOUND."""
    with transaction.atomic():
        club = club_locked(person, club=club)
        rows = Membership.objects.filter(club=club, role=Role.CAPTAIN, team_id=team_id)
        held = rows.filter(person=captain_id).select_related("person", "team").first()
        if held is None:
            raise Problem(Code.NOT_FOUND, _("The team has no such captain."))
        if held.ended_at is None:
            held.ended_at = timezone.now()
            held.save(update_fields=["ended_at"])
            _record(person, held, verb="captain_take_back")
        return held


def _record(person: Person, held: Membership, *, verb: str) -> None:
    audit_record(
        club=held.club,
        person=person,
        verb=verb,
        subject=held.person,
        detail={"team": held.team_id, "person": held.person_id},
    )
