"""A team's larder: what is there, bringing in, taking out, and the ledger."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.models import LarderLot, LotState, Unit
from bait.reads.baits import baits_of_club
from bait.reads.larder import (
    LarderSeen,
    larder_anglers,
    larder_ledger,
    larder_lots,
    larder_seen,
    lot_seen,
    move_seen,
)
from bait.reckon.larder import KEEPS_DAYS
from bait.words import amount_said, pack_said
from bait.writes.larder import (
    lot_bring,
    lot_count_again,
    lot_freeze,
    lot_take,
    lot_throw,
    move_undo,
)
from matches.comma_words import comma_words
from matches.models import Person
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of

from .larder_form import BringForm, amount_typed, key_typed


@login_required
@shown_and_sent
def larder(request: HttpRequest, team_id: int) -> HttpResponse:
    """The lots of a team, for its captain and members."""
    seen = larder_seen(person_of(request), team_id=team_id)
    form = BringForm(
        key=str(uuid.uuid4()),
        whose=_whose_first(seen),
        bought_on=timezone.localdate().isoformat(),
    )
    if request.method == "POST":
        if request.POST.get("do") == "bring":
            form = BringForm.typed(request.POST)
        if _done(request, seen=seen, form=form):
            return redirect("desk:larder", team_id)
    return _page(request, seen, form=form)


def _whose_first(seen: LarderSeen) -> str:
    return "" if seen.captain or seen.angler is None else str(seen.angler.pk)


def _done(request: HttpRequest, *, seen: LarderSeen, form: BringForm) -> bool:
    """Whether the page is to be opened anew: done, or refused in a message above it. Otherwise
    the form says what to mend."""
    try:
        if request.POST.get("do") == "bring":
            _bring(request, seen=seen, form=form)
        else:
            _move(request, seen=seen)
    except BadInput as bad:
        if request.POST.get("do") == "bring":
            form.refused(bad)
            return False
        messages.error(request, " ".join(fault.message for fault in bad.faults))
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        messages.error(request, problem.detail)
    return True


def _bring(request: HttpRequest, *, seen: LarderSeen, form: BringForm) -> None:
    baits = baits_of_club(seen.team.club_id)
    given = form.lot(baits=baits, anglers=larder_anglers(seen), today=timezone.localdate())
    lot = lot_bring(person_of(request), team=seen.team, **given)
    messages.success(request, _("Brought in: %(lot)s.") % {"lot": pack_said(lot)})


def _move(request: HttpRequest, *, seen: LarderSeen) -> None:
    person, do = person_of(request), request.POST.get("do", "")
    if do == "undo":
        move_undo(person, move=move_seen(seen, move_id=request.POST.get("move", "")))
        messages.success(request, _("Put back. Both movements stay in the ledger."))
        return
    lot = lot_seen(seen, lot_id=request.POST.get("lot", ""))
    if do == "freeze":
        lot_freeze(person, lot=lot, on=timezone.localdate())
        messages.success(
            request, _("%(lot)s counts as frozen from today.") % {"lot": lot.bait.name}
        )
        return
    _amount_move(request, person=person, lot=lot, do=do)


def _amount_move(request: HttpRequest, *, person: Person, lot: LarderLot, do: str) -> None:
    amount = amount_typed(request.POST.get("amount", ""), zero=do == "count")
    key = key_typed(request.POST.get("key", ""))
    if amount is None:
        words = _("Write an amount such as 1.5, then choose what to do.")
        typed = request.POST.get("amount", "")
        raise Problem(Code.CONFLICT, comma_words(typed, otherwise=words))
    said = {"amount": amount_said(amount, unit=lot.unit), "bait": lot.bait.name}
    match do:
        case "take":
            lot_take(person, lot=lot, amount=amount, key=key)
            messages.success(request, _("Taken out: %(amount)s of %(bait)s.") % said)
        case "throw":
            lot_throw(person, lot=lot, amount=amount, key=key)
            messages.success(request, _("Thrown away: %(amount)s of %(bait)s.") % said)
        case "count":
            seen = amount_typed(request.POST.get("seen", ""), zero=True)
            if seen is None:
                raise Problem(Code.CONFLICT, _("Open the page again, then repeat."))
            lot_count_again(person, lot=lot, found=amount, seen=seen, key=key)
            messages.success(request, _("Counted: %(amount)s of %(bait)s.") % said)
        case _:
            raise Problem(Code.CONFLICT, _("Open the page again, then repeat."))


def _page(request: HttpRequest, seen: LarderSeen, *, form: BringForm) -> HttpResponse:
    today = timezone.localdate()
    before = request.GET.get("before", "")
    lots = larder_lots(seen, today=today)
    return render(
        request,
        "desk/larder.html",
        {
            "club": seen.team.club,
            "team": seen.team,
            "seen": seen,
            "lots": [(shown, str(uuid.uuid4())) for shown in lots],
            "past": [shown for shown in lots if shown.past],
            "form": form,
            "baits": baits_of_club(seen.team.club_id).values(),
            "units": Unit.choices,
            "states": _states(),
            "anglers": larder_anglers(seen),
            "ledger": larder_ledger(seen, before=digits_read(before)),
        },
    )


def _states() -> list[tuple[str, str, int]]:
    """Each state, its word, and the days it is counted on for."""
    return [(str(value), str(text), KEEPS_DAYS[value]) for value, text in LotState.choices]
