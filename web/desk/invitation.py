"""The secretary's page of a match's invitation: its link, and its QR to hold up or print."""

from __future__ import annotations

import io

import segno
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Invitation, Match
from matches.problems import Code, Problem
from matches.reads.access import match_for_secretary
from matches.reads.invitations import invitation_code, invitation_standing
from matches.writes.invitations import invitation_end, invitation_make
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import number_or_none

DAYS = 14


def link_of(invitation: Invitation) -> str:
    """The address that the QR holds."""
    return f"{settings.SITE_URL}{reverse('join', args=[invitation_code(invitation)])}"


@login_required
@shown_and_sent
def invitation(request: HttpRequest, match_id: int) -> HttpResponse:
    """The match's invitation: made, shown, ended."""
    match = match_for_secretary(person_of(request), match_id=match_id)
    if request.method == "POST":
        try:
            _act(request, match)
        except Problem as refused:
            refusal_say(request, refused)
        return redirect("desk:invitation", match_id)
    standing = invitation_standing(match)
    return render(
        request,
        "desk/invitation.html",
        {
            "club": match.club,
            "match": match,
            "standing": standing,
            "link": link_of(standing) if standing else "",
            "days": DAYS,
        },
    )


@login_required
@require_safe
def invitation_qr(request: HttpRequest, match_id: int) -> HttpResponse:
    """The link as a QR code (ISO/IEC 18004), a picture of its own: the policy allows no other."""
    match = match_for_secretary(person_of(request), match_id=match_id)
    standing = invitation_standing(match)
    if standing is None:
        raise Problem(Code.NOT_FOUND, _("This match has no invitation."))
    picture = io.BytesIO()
    segno.make(link_of(standing), error="m", micro=False).save(
        picture, kind="svg", scale=8, border=4, dark="#000", light="#fff"
    )
    response = HttpResponse(picture.getvalue(), content_type="image/svg+xml")
    response["Cache-Control"] = "no-store"
    return response


def _act(request: HttpRequest, match: Match) -> None:
    """Do what was pressed, and say so. Raises Problem."""
    person = person_of(request)
    match request.POST.get("do", ""):
        case "make":
            days = number_or_none(request.POST.get("days", "")) or 0
            invitation_make(person, match=match, days=days)
            said = _("The invitation stands. Hold up the code, or send the link.")
        case "end":
            invitation_end(person, match=match)
            said = _("The invitation has ended. Who came by it stays.")
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))
    messages.success(request, said)
