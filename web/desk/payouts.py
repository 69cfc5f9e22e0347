"""The pay-out list of a match: ticked as each prize is handed over, and a receipt each."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Match
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.prizes import settlement
from matches.writes.prizes import prize_hand_over, prize_take_back
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import key_read, number_or_none


@login_required
@shown_and_sent
def payouts(request: HttpRequest, match_id: int) -> HttpResponse:
    """Who is to be handed what, who has it, and the tin."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    if request.method == "POST":
        try:
            _act(request, match)
        except Problem as problem:
            refusal_say(request, problem)
        return redirect("desk:payouts", match_id)
    return render(request, "desk/payouts.html", {**_context(match), "settled": settlement(match)})


@login_required
@require_safe
def prize_receipt(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """What one angler won and was handed, to read out, print or send."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    settled = settlement(match)
    prize = next((p for p in settled.prizes if p.entry.pk == entry_id), None)
    if prize is None:
        raise Problem(Code.NOT_FOUND, _("No prize of this match is theirs."))
    return render(
        request,
        "desk/prize_receipt.html",
        {**_context(match), "settled": settled, "prize": prize, "now": timezone.now()},
    )


def _act(request: HttpRequest, match: Match) -> None:
    """Note what was pressed, and say so. Raises Problem."""
    person, typed = person_of(request), request.POST
    entry_id = number_or_none(typed.get("entry", "")) or 0
    key = key_read(typed.get("key", ""))
    pence = number_or_none(typed.get("pence", "")) or 0
    match typed.get("do", ""):
        case "hand-over":
            prize_hand_over(person, match=match, entry_id=entry_id, pence=pence, key=key)
            messages.success(request, _("Noted as handed over."))
        case "got-back":
            prize_hand_over(person, match=match, entry_id=entry_id, pence=-pence, key=key)
            messages.success(request, _("Noted as got back."))
        case "take-back":
            prize_take_back(person, match=match, entry_id=entry_id, pence=pence, key=key)
            messages.success(request, _("Taken back: noted as not handed over."))
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))


def _context(match: Match) -> dict[str, object]:
    return {
        "club": match.club,
        "currency": match.club.currency,
        "match": match,
        "runs": True,
    }
