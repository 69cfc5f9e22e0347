"""The club's book: who fishes, team by team, who captains, and names pasted in."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Club
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary
from matches.reads.book import book_of
from matches.reads.first_steps import ANGLERS_LEAST
from matches.reads.weighers import people_of
from matches.reckon.sheets.names import names_read
from matches.writes.angler_files import anglers_import
from matches.writes.captains import captain_name, captain_take_back
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import form_act, refusal_say
from .form_numbers import number_or_none
from .undo import Done, done_say

FIELDS = ("names", "team")


@login_required
@shown_and_sent
def book(request: HttpRequest, slug: str) -> HttpResponse:
    """Everybody in the book; names written in; captains named and taken back."""
    club = club_for_secretary(person_of(request), slug=slug)
    form = FieldForm(dict.fromkeys(FIELDS, ""))
    here = reverse("desk:book", args=[club.slug])
    if request.method == "POST" and request.POST.get("do") == "names":
        form = form_sent(request.POST, names=FIELDS)
        answer = form_act(
            request, form, lambda: _names_add(request, club, form), here=here, onward=here
        )
        if answer is not None:
            return answer
    elif request.method == "POST":
        try:
            _captain_act(request, club)
        except Problem as refused:
            refusal_say(request, refused)
        return redirect(here)
    teams = book_of(club)
    return render(
        request,
        "desk/book.html",
        {
            "club": club,
            "form": form,
            "teams": teams,
            "few": sum(len(team.anglers) for team in teams) < ANGLERS_LEAST,
            "people": list(people_of(club)),
        },
    )


def _names_add(request: HttpRequest, club: Club, form: FieldForm) -> str:
    team = " ".join(form.values["team"].split())
    lines = names_read(form.values["names"], team=team)
    made = anglers_import(person_of(request), club=club, lines=lines)
    if not made.new:
        return _("Every one of them was in the book already.")
    said = ngettext("%(n)d angler is added.", "%(n)d anglers are added.", made.new)
    return said % {"n": made.new}


def _captain_act(request: HttpRequest, club: Club) -> None:
    """Do what was pressed, and say so. Raises Problem."""
    person = person_of(request)
    team = number_or_none(request.POST.get("team", "")) or 0
    chosen = number_or_none(request.POST.get("person", "")) or 0
    match request.POST.get("do", ""):
        case "captain":
            held = captain_name(person, club=club, team_id=team, captain_id=chosen)
            said = _("%(name)s captains %(team)s now: plans, shops and orders.")
            back = "captain-back"
        case "captain-back":
            held = captain_take_back(person, club=club, team_id=team, captain_id=chosen)
            said, back = _("%(name)s is no captain of %(team)s any more."), "captain"
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))
    here = reverse("desk:book", args=[club.slug])
    fields = {"do": back, "team": str(team), "person": str(chosen)}
    said = said % {"name": held.person.name, "team": held.team}
    done_say(request, Done(said, here, fields))
