"""The club's juniors: who is one, and whose name may be shown."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from matches.models import Angler
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary
from matches.reads.juniors import juniors_seen
from matches.writes.juniors import junior_set
from web.methods import shown_and_sent
from web.people import person_of

from .angler_choices import angler_choices
from .form_numbers import number_or_none

#: What is pressed: whether a junior from then on, and whether the name may be shown.
PRESSED = {
    "junior": (True, False),
    "agreed": (True, True),
    "hide": (True, False),
    "grown": (False, False),
}


@login_required
@shown_and_sent
def juniors(request: HttpRequest, slug: str) -> HttpResponse:
    """Each junior with what was agreed, and a form for another."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    if request.method == "POST":
        do = request.POST.get("do", "")
        if do not in PRESSED:
            raise Problem(Code.BAD_INPUT, _("Load the page again, then repeat it."))
        junior, consents = PRESSED[do]
        number = number_or_none(request.POST.get("angler", "")) or 0
        angler = junior_set(person, club=club, angler_id=number, junior=junior, consents=consents)
        said = _("The public reads “%(name)s” from now on.")
        messages.success(request, said % {"name": angler.public_name})
        return redirect("desk:juniors", club.slug)
    others = Angler.objects.filter(club=club, junior=False).order_by("name")
    return render(
        request,
        "desk/juniors.html",
        {
            "club": club,
            "juniors": juniors_seen(person, club=club),
            "others": angler_choices(others),
        },
    )
