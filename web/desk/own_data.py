"""What is held about oneself: to take away, and to have erased after a time to think."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.http.response import StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.writes.erasing import (
    clubs_left_alone,
    erasure_ask,
    erasure_take_back,
    successor_name,
)
from matches.models import Club, ErasureAsked, Person
from matches.problems import Code, Problem
from matches.reads.weighers import people_of
from web.exports.archive import archive_sent
from web.exports.own_data import own_files
from web.methods import shown_and_sent
from web.people import person_of
from web.sign_in import password_asked

from .form_numbers import number_or_none


@login_required
@shown_and_sent
def own_data(request: HttpRequest) -> HttpResponse:
    """What stays and what goes, and the forms to ask and to take it back."""
    person = person_of(request)
    if request.method == "POST":
        try:
            messages.success(request, _acted(request, person))
        except Problem as problem:
            messages.error(request, problem.detail)
        return redirect("desk:own-data")
    return render(
        request,
        "desk/own_data.html",
        {
            "asked": ErasureAsked.objects.filter(person=person).first(),
            "alone": [
                (club, [("", _("Choose a member")), *_others(person, club=club)])
                for club in clubs_left_alone(person)
            ],
            "days": settings.KEPT_DAYS["erase_after"],
        },
    )


@login_required
@require_safe
def own_data_zip(request: HttpRequest) -> StreamingHttpResponse:
    """All of it, made while it is sent."""
    person = person_of(request)
    sent = archive_sent(own_files(person, made_at=timezone.now()))
    response = StreamingHttpResponse(sent, content_type="application/zip")
    response["Content-Disposition"] = 'attachment; filename="my-data.zip"'
    # It is packed already: packing it again would only take time.
    response["Content-Encoding"] = "identity"
    return response


def _others(person: Person, *, club: Club) -> list[tuple[str, str]]:
    return [(str(one.pk), one.name) for one in people_of(club).exclude(pk=person.pk)]


def _acted(request: HttpRequest, person: Person) -> str:
    """Do what was pressed; what to say of it."""
    match request.POST.get("do"):
        case "stay":
            erasure_take_back(person)
            return _("You stay: nothing is erased.")
        case "successor":
            return _successor(request, person)
        case "erase":
            return _ask(request, person)
    raise Problem(Code.BAD_INPUT, _("Load the page again, then repeat it."))


def _ask(request: HttpRequest, person: Person) -> str:
    password_asked(person, request.POST.get("password", ""))
    if request.POST.get("typed", "").strip() != person.username:
        raise Problem(Code.BAD_INPUT, _("Type the name you sign in with: nothing was asked for."))
    asked = erasure_ask(person)
    return _("Asked for. It is done on %(at)s; until then you can take it back here.") % {
        "at": f"{asked.due_at:%d.%m.%Y}"
    }


def _successor(request: HttpRequest, person: Person) -> str:
    chosen = number_or_none(request.POST.get("successor", "")) or 0
    club = next((c for c in clubs_left_alone(person) if c.slug == request.POST.get("club")), None)
    if club is None:
        raise Problem(Code.CONFLICT, _("That club has another secretary already."))
    named = successor_name(person, club=club, successor_id=chosen)
    return _("%(name)s is a secretary of %(club)s now.") % {
        "name": named.person.name,
        "club": club.name,
    }
