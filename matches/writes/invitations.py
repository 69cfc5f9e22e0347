"""Invitations made and ended by the secretary, and taken by whoever has the link."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Club, Invitation, Match, Membership, Person, Role
from matches.problems import Code, Problem, bad_field
from matches.reads.access import memberships_of
from matches.reads.invitations import invitation_of, invitation_standing

from .audit import audit_record
from .locks import match_locked

DAYS_MOST = 60


def invitation_make(person: Person, *, match: Match, days: int) -> Invitation:
    """Invite to a match and its club for 1 to 60 days from now; one that stands is given back as
    it is. Raises Problem."""
    if not 1 <= days <= DAYS_MOST:
        raise bad_field("/days", _("Write how many days, from 1 to 60."))
    with transaction.atomic():
        match = match_locked(person, match=match)
        standing = invitation_standing(match)
        if standing:
            return standing
        now = timezone.now()
        made = Invitation.objects.create(
            match=match, made_at=now, ends_at=now + dt.timedelta(days=days)
        )
        _record(person, made, verb="invitation_make", detail={"days": days})
        return made


def invitation_end(person: Person, *, match: Match) -> None:
    """End the match's invitation now; who came by it stays. Raises Problem."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        standing = invitation_standing(match)
        if standing:
            standing.ends_at = timezone.now()
            standing.save(update_fields=["ends_at"])
            _record(person, standing, verb="invitation_end", detail={})


def invitation_take(person: Person, *, code: str) -> Match:
    """Become a member of the invitation's club; who is one stays one. Gives the match.

    Whom the secretary took off the list comes back only by an invitation made since. Raises
    Problem NOT_FOUND for a link that is none or has ended, NOT_ALLOWED.
    """
    with transaction.atomic():
        invitation = invitation_of(code)
        match = invitation.match
        Club.objects.select_for_update().get(pk=match.club_id)
        if memberships_of(person).filter(club_id=match.club_id).exists():
            return match
        before = Membership.objects.filter(person=person, club_id=match.club_id)
        if before.filter(ended_at__gt=invitation.made_at).exists():
            raise Problem(
                Code.NOT_ALLOWED,
                _("You were taken off this club’s list. Ask its secretary for a new invitation."),
            )
        Membership.objects.update_or_create(
            club=match.club,
            person=person,
            role=Role.MEMBER,
            team=None,
            match=None,
            defaults={"ended_at": None},
        )
        _record(person, invitation, verb="invitation_take", detail={"person": person.pk})
        return match


def _record(person: Person, invitation: Invitation, *, verb: str, detail: dict[str, int]) -> None:
    audit_record(
        club=invitation.match.club,
        person=person,
        verb=verb,
        subject=invitation.match,
        detail={"invitation": invitation.pk, "match": invitation.match_id, **detail},
    )
