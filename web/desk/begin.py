"""The first page of a new club: its name, and who begins it."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from matches.writes.clubs import club_begin
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent

FIELDS = ("name", "team", "angler")


@login_required
@shown_and_sent
def club_new(request: HttpRequest) -> HttpResponse:
    """Begin a club; whoever keeps the site only."""
    person = person_of(request)
    if not person.is_superuser:
        raise Problem(
            Code.NOT_ALLOWED, _("Only whoever runs this site adds a club to it: ask them.")
        )
    form = FieldForm({**dict.fromkeys(FIELDS, ""), "angler": person.get_full_name()})
    if request.method == "POST":
        form = form_sent(request.POST, names=FIELDS)
        try:
            club = club_begin(person, **form.values)
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            messages.success(
                request,
                _("%(club)s is here, and you are its secretary.") % {"club": club.name},
            )
            return redirect(reverse("desk:home"))
    return render(request, "desk/club_new.html", {"form": form})
