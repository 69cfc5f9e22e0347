"""How a venue's pegs have fished, for the secretary who cuts the sections."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.models import Peg
from matches.reads.access import club_for_secretary
from matches.reads.peg_form import venue_form
from matches.reads.venues import venue_of
from matches.reckon.peg_form import LEAST_MATCHES, PegForm
from web.people import person_of

WIDE = 160


@dataclass(frozen=True, slots=True)
class FormRow:
    """One peg: shares in whole percent, and where its interval lies on a line WIDE long."""

    peg: Peg
    form: PegForm
    beaten: int
    value: int
    low: int
    high: int
    x: int
    left: int
    wide: int


@login_required
@require_safe
def venue_pegs_form(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """Each peg against the others of its sections, over all published matches there."""
    club = club_for_secretary(person_of(request), slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    found = venue_form(venue)
    return render(
        request,
        "desk/venue_form.html",
        {
            "room": "desk",
            "club": club,
            "venue": venue,
            "matches": found.matches,
            "least": LEAST_MATCHES,
            "rows": [_row(peg, form) for peg, form in found.pegs if form is not None],
            "wide": WIDE,
            "half": WIDE // 2,
        },
    )


def _row(peg: Peg, form: PegForm) -> FormRow:
    believed = form.believed
    low, value, high = (
        round(100 * min(1.0, max(0.0, share)))
        for share in (believed.low, believed.value, believed.high)
    )
    left = WIDE * low // 100
    return FormRow(
        peg=peg,
        form=form,
        beaten=round(100 * form.beaten),
        value=value,
        low=low,
        high=high,
        x=WIDE * value // 100,
        left=left,
        wide=max(1, WIDE * high // 100 - left),
    )
