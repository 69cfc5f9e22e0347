"""The secretary's page of a match's weighers: who may weigh, named and taken back."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.models import Match
from matches.problems import Code, Problem
from matches.reads.access import match_for_secretary
from matches.reads.weighers import people_of, weighers_named
from matches.writes.weighers import weigher_name, weigher_take_back
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import number_or_none
from .undo import Done, done_say


@login_required
@shown_and_sent
def weighers(request: HttpRequest, match_id: int) -> HttpResponse:
    """Who weighs in this match."""
    match = match_for_secretary(person_of(request), match_id=match_id)
    if request.method == "POST":
        try:
            _act(request, match)
        except Problem as refused:
            refusal_say(request, refused)
        return redirect("desk:weighers", match_id)
    named = list(weighers_named(match))
    return render(
        request,
        "desk/weighers.html",
        {
            "club": match.club,
            "match": match,
            "named": named,
            "others": [person for person in people_of(match.club) if person not in named],
        },
    )


def _act(request: HttpRequest, match: Match) -> None:
    """Do what was pressed, and say so. Raises Problem."""
    person = person_of(request)
    chosen = number_or_none(request.POST.get("person", "")) or 0
    match request.POST.get("do", ""):
        case "name":
            weigher = weigher_name(person, match=match, weigher_id=chosen)
            said, back = _("%(name)s may weigh now."), "take-back"
        case "take-back":
            weigher = weigher_take_back(person, match=match, weigher_id=chosen)
            said = _("%(name)s is no weigher of this match any more. What they weighed stays.")
            back = "name"
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))
    here = reverse("desk:weighers", args=[match.pk])
    fields = {"do": back, "person": str(weigher.pk)}
    done_say(request, Done(said % {"name": weigher.name}, here, fields))
