"""Erasing an angler of the club's book who has no account, for the secretary."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.writes.erasing import angler_erase
from matches.models import Angler
from matches.problems import Problem
from matches.reads.access import club_for_secretary
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of

from .angler_choices import angler_choices
from .form_numbers import number_or_none


@login_required
@shown_and_sent
def angler_gone(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the angler, type the name, and a number stands in its place from then."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    chosen, typed, fault = "", "", ""
    if request.method == "POST":
        chosen, typed = request.POST.get("angler", ""), request.POST.get("typed", "")
        try:
            number = number_or_none(chosen) or 0
            gone = angler_erase(person, club=club, angler_id=number, typed=typed)
        except BadInput as bad:
            fault = bad.faults[0].message
        except Problem as problem:
            fault = problem.detail
        else:
            said = _("Erased: %(name)s stands there from now on.")
            messages.success(request, said % {"name": gone.name})
            return redirect("desk:angler-gone", club.slug)
    anglers = Angler.objects.filter(club=club, person=None).order_by("name")
    return render(
        request,
        "desk/angler_gone.html",
        {
            "club": club,
            "chosen": chosen,
            "typed": typed,
            "fault": fault,
            "anglers": angler_choices(anglers),
        },
    )
