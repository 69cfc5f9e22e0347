"""The secretary's page of who signs in for the club, and of codes for who has lost the password."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.models import Club
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary
from matches.reads.recovery import codes_standing, people_beyond
from matches.reads.weighers import people_of
from matches.writes.recovery import recovery_end, recovery_make
from web.methods import shown_and_sent
from web.people import person_of
from web.sign_in import password_asked

from .form_act import refusal_say
from .form_numbers import number_or_none


@never_cache
@sensitive_post_parameters("own")
@login_required
@shown_and_sent
def sign_ins(request: HttpRequest, slug: str) -> HttpResponse:
    """Who signs in. A code is on the answer that made it, and on no other."""
    club = club_for_secretary(person_of(request), slug=slug)
    if request.method != "POST":
        return _page(request, club)
    try:
        code = _act(request, club)
    except Problem as refused:
        refusal_say(request, refused)
        return redirect("desk:sign-ins", club.slug)
    return _page(request, club, code=code) if code else redirect("desk:sign-ins", club.slug)


def _act(request: HttpRequest, club: Club) -> str:
    """Do what was pressed; a code that was made. Raises Problem."""
    person = person_of(request)
    member = number_or_none(request.POST.get("member", "")) or 0
    match request.POST.get("do", ""):
        case "make":
            password_asked(person, request.POST.get("own", ""))
            return recovery_make(person, club=club, member_id=member)
        case "end":
            recovery_end(person, club=club, member_id=member)
            messages.success(request, _("That code lets nobody in any more."))
            return ""
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))


def _page(request: HttpRequest, club: Club, *, code: str = "") -> HttpResponse:
    person, codes = person_of(request), codes_standing(club)
    people, beyond = list(people_of(club)), set(people_beyond(club))
    chosen = number_or_none(request.POST.get("member", ""))
    return render(
        request,
        "desk/sign_ins.html",
        {
            "club": club,
            "people": [(one, one in beyond, codes.get(one.pk)) for one in people],
            "open": [
                one for one in people if one.is_active and one not in beyond and one != person
            ],
            "code": code,
            "where": f"{settings.SITE_URL}{reverse('recover')}",
            "whose": next((one for one in people if one.pk == chosen), None) if code else None,
        },
    )
