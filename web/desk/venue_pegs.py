"""One peg of a venue: added, changed, moved along the bank, retired, brought back, deleted."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.models import Bank, Peg
from matches.reads.access import club_for_secretary
from matches.reads.venues import peg_of, pegs_of, venue_of
from matches.reckon.errors import BadInput
from matches.reckon.peg_fields import COLUMNS, peg_read
from matches.writes.pegs import (
    peg_add,
    peg_bring_back,
    peg_change,
    peg_delete,
    peg_move,
    peg_retire,
    peg_typed,
)
from web.methods import shown_and_sent
from web.people import person_of

from .club_page import club_page
from .field_form import FieldForm, form_sent, mark_shown
from .form_act import form_act
from .form_numbers import whole_typed
from .undo import Done


@login_required
@shown_and_sent
def peg_new(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """A form for one more peg, and where along the bank it is."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    form = FieldForm(dict.fromkeys((*COLUMNS, "behind"), ""))
    if request.method == "POST":
        form = form_sent(request.POST, names=(*COLUMNS, "behind"))
        try:
            line = peg_read({name: form.values[name] for name in COLUMNS})
            made = peg_add(
                person,
                venue=venue,
                line=line,
                behind=whole_typed(form.values["behind"]),
            )
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            messages.success(request, _("Peg %(peg)s is added.") % {"peg": made.number})
            return redirect("desk:venue", club.slug, venue.pk)
    return club_page(
        request,
        "peg_new",
        club,
        venue=venue,
        form=form,
        sides=Bank.choices,
        others=[peg for peg in pegs_of(venue) if not peg.retired],
    )


@login_required
@shown_and_sent
def peg(request: HttpRequest, slug: str, venue_id: int, peg_id: int) -> HttpResponse:
    """One peg: what is known of it, and where it stands between its neighbours."""
    club = club_for_secretary(person_of(request), slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    found = peg_of(venue, peg_id=peg_id)
    form = FieldForm(peg_typed(found))
    if request.method == "POST":
        act = request.POST.get("do", "save")
        if act == "save":
            form = form_sent(request.POST, names=COLUMNS)
        here = reverse("desk:peg", args=[club.slug, venue.pk, found.pk])
        list_page = reverse("desk:venue", args=[club.slug, venue.pk])
        onward = here if act in ("up", "down") else list_page
        answer = form_act(
            request, form, lambda: _act(request, found, form, act), here=here, onward=onward
        )
        if answer is not None:
            return answer
    before, after = _neighbours(list(pegs_of(venue)), found)
    return club_page(
        request,
        "peg",
        club,
        venue=venue,
        peg=found,
        form=form,
        mark=mark_shown(request.POST, stands=peg_typed(found), told=form.told),
        sides=Bank.choices,
        before=before,
        after=after,
    )


def _act(request: HttpRequest, peg: Peg, form: FieldForm, act: str) -> str | Done:
    """Do what was pressed; what to say of it."""
    person, name = person_of(request), {"peg": peg.number}
    match act:
        case "up" | "down":
            if not peg_move(person, peg=peg, downstream=act == "down"):
                return _("Peg %(peg)s is the last on that side already.") % name
            return _("Peg %(peg)s is moved past its neighbour.") % name
        case "retire":
            counted_on = peg_retire(person, peg=peg)
            said = _("Peg %(peg)s is retired: no new match fishes it.") % name
            if counted_on:
                said = _("Peg %(peg)s is retired. Leave it out of %(matches)s too.") % {
                    **name,
                    "matches": ", ".join(match.name for match in counted_on),
                }
            here = reverse("desk:peg", args=[peg.venue.club.slug, peg.venue_id, peg.pk])
            return Done(said, here, {"do": "back"})
        case "back":
            peg_bring_back(person, peg=peg)
            return _("Peg %(peg)s is fished again.") % name
        case "delete":
            peg_delete(person, peg=peg)
            return _("Peg %(peg)s is deleted.") % name
        case _:
            mark = request.POST.get("mark", "")
            changed = peg_change(person, peg=peg, line=peg_read(form.values), mark=mark)
            return _("Saved.") if changed else _("Nothing differed: nothing is changed.")


def _neighbours(pegs: Sequence[Peg], peg: Peg) -> tuple[Peg | None, Peg | None]:
    """The pegs next upstream and downstream that are fished."""
    fished = [p for p in pegs if not p.retired]
    before = [p for p in fished if p.position < peg.position]
    after = [p for p in fished if p.position > peg.position]
    return (before[-1] if before else None, after[0] if after else None)
