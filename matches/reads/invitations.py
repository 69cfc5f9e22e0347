"""Invitations: the one that stands for a match, and the one that a link names."""

from __future__ import annotations

from django.core.signing import BadSignature, Signer
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Invitation, Match
from matches.problems import Code, Problem

# What the link carries is signed, so that nobody makes one; it is kept nowhere.
_signer = Signer(salt="matches.invitation")


def invitation_code(invitation: Invitation) -> str:
    """What its link ends in: its number and the signature over it."""
    return _signer.sign(str(invitation.pk))


def invitation_standing(match: Match) -> Invitation | None:
    """The newest that has not ended."""
    return Invitation.objects.filter(match=match, ends_at__gt=timezone.now()).first()


def invitation_of(code: str) -> Invitation:
    """The invitation of a link. Whoever has the link may see it. Raises Problem
    NOT_FOUND for a link that is none, GONE for one that has ended."""
    try:
        number = int(_signer.unsign(code))
    except (BadSignature, ValueError):
        raise Problem(
            Code.NOT_FOUND,
            _("This is no invitation of this site. Scan the code or open the link once more."),
        ) from None
    found = (
        Invitation.objects.filter(pk=number).select_related("match__club", "match__venue").first()
    )
    if found is None:
        raise Problem(
            Code.GONE, _("This invitation has ended. Ask the match’s secretary for a new one.")
        )
    if found.ends_at <= timezone.now():
        said = _(
            "This invitation to %(match)s has ended. Ask the secretary of %(club)s for a new one."
        )
        names = {"match": found.match.name, "club": found.match.club.name}
        raise Problem(Code.GONE, said % names)
    return found
