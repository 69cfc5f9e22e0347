"""The secretary's page of one entry: the day's status, place and peg, the fee, its receipt."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import FISHING, Angler, Entry, EntryStatus, Match
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.entries import entry_lists
from matches.reads.fees import fee_of, fee_rows
from matches.reads.weighers import people_of
from matches.reckon.money import pence_format
from matches.writes.anglers import angler_account_set
from matches.writes.entries import entry_access_set, entry_let_in, entry_status_set
from matches.writes.fees import fee_give_back, fee_take
from matches.writes.withdrawals import Withdrawn, entry_withdraw
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import key_read, number_or_none, pence_typed
from .undo import Done, done_say


@login_required
@shown_and_sent
def entrant(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """One entry, and everything the secretary does with it."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    if request.method == "POST":
        try:
            _act(request, match, entry_id)
        except Problem as problem:
            refusal_say(request, problem)
            return _page(request, match, entry_id, typed=request.POST)
        return redirect("desk:entrant", match_id, entry_id)
    return _page(request, match, entry_id, typed={})


@login_required
@require_safe
def receipt(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """What an entry paid, to read out, print or send."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    entry = _entry(match, entry_id)
    return render(
        request,
        "desk/receipt.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "match": match,
            "entry": entry,
            "fee": fee_of(match, entry),
            "rows": fee_rows(entry),
            "now": timezone.now(),
        },
    )


def _entry(match: Match, entry_id: int) -> Entry:
    lists = entry_lists(match)
    rows = (*lists.placed, *lists.standing_by, *lists.withdrawn)
    found = next((e for e in rows if e.pk == entry_id), None)
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such entry in this match."))
    return found


def _page(
    request: HttpRequest, match: Match, entry_id: int, *, typed: dict[str, str]
) -> HttpResponse:
    entry = _entry(match, entry_id)
    fee = fee_of(match, entry)
    open_pence = fee.owes or fee.to_give_back
    return render(
        request,
        "desk/entrant.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "match": match,
            "entry": entry,
            "drawn": getattr(entry, "drawn_peg", None),
            "placed": entry.status in FISHING,
            "standing_by": [e for e in entry_lists(match).standing_by if e.pk != entry_id],
            "started": timezone.now() >= match.start_at,
            "fee": fee,
            "rows": fee_rows(entry),
            "amount": typed.get("amount") or (pence_format(open_pence) if open_pence else ""),
            "statuses": [(status.value, status.label) for status in FISHING],
            "status": typed.get("status") or entry.status,
            "why": typed.get("why", ""),
            "reason": typed.get("reason", ""),
            "note": typed.get("note", ""),
            "accounts": _accounts(match),
            "account": typed.get("account", str(entry.angler.person_id or "")),
            "key": uuid.uuid4(),
        },
    )


def _accounts(match: Match) -> list[tuple[str, str]]:
    """Who could be this angler: everybody who signs in for the club."""
    people = people_of(match.club)
    return [("", _("nobody yet")), *((str(p.pk), p.name) for p in people)]


def _act(request: HttpRequest, match: Match, entry_id: int) -> None:
    """Do what was pressed, and say so. Raises Problem."""
    person, typed = person_of(request), request.POST
    match typed.get("do", ""):
        case "status":
            _status_set(request, match, entry_id)
        case "withdraw":
            done = entry_withdraw(
                person,
                match=match,
                entry_id=entry_id,
                substitute_id=number_or_none(typed.get("substitute", "")),
                reason=typed.get("reason", ""),
            )
            _withdrawn_say(request, done)
        case "let-in":
            entry = entry_let_in(person, match=match, entry_id=entry_id)
            messages.success(request, _("%(name)s has a place now.") % {"name": entry.angler.name})
        case "access":
            entry_access_set(
                person, match=match, entry_id=entry_id, needs=typed.get("needs") == "yes"
            )
            messages.success(request, _("Noted, for the desk only."))
        case "account":
            angler = angler_account_set(
                person,
                club=match.club,
                angler_id=_entry(match, entry_id).angler_id,
                account_id=number_or_none(typed.get("account", "")),
            )
            messages.success(request, _account_said(angler))
        case "take" | "give-back" as do:
            _fee_note(request, match, entry_id, give_back=do == "give-back")
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))


def _status_set(request: HttpRequest, match: Match, entry_id: int) -> None:
    before = _entry(match, entry_id).status
    entry = entry_status_set(
        person_of(request),
        match=match,
        entry_id=entry_id,
        status=request.POST.get("status", ""),
        reason=request.POST.get("why", ""),
    )
    said = _("%(angler)s is now marked %(status)s.")
    said = said % {"angler": entry.angler.name, "status": entry.get_status_display()}
    # A disqualification put back needs its reason again.
    undone = before not in (entry.status, EntryStatus.DISQUALIFIED) and before in FISHING
    here = reverse("desk:entrant", args=[match.pk, entry_id])
    done_say(request, Done(said, here, {"do": "status", "status": before}) if undone else said)


def _account_said(angler: Angler) -> str:
    if angler.person is None:
        return _("Nobody’s phone logs for %(angler)s now.") % {"angler": angler.name}
    said = _("Who signs in as %(account)s logs for %(angler)s now.")
    return said % {"account": angler.person.username, "angler": angler.name}


def _fee_note(request: HttpRequest, match: Match, entry_id: int, *, give_back: bool) -> None:
    typed = request.POST
    note = fee_give_back if give_back else fee_take
    note(
        person_of(request),
        match=match,
        entry_id=entry_id,
        pence=pence_typed(typed.get("amount", "")),
        key=key_read(typed.get("key", "")),
        note=typed.get("note", ""),
    )
    messages.success(request, _("Noted as given back.") if give_back else _("Noted as taken."))


def _withdrawn_say(request: HttpRequest, done: Withdrawn) -> None:
    name = {"name": done.entry.angler.name, "peg": done.peg}
    if done.substitute is not None:
        said = (
            _("%(name)s has withdrawn. %(substitute)s takes the place and peg %(peg)s.")
            if done.peg
            else _("%(name)s has withdrawn. %(substitute)s takes the place.")
        )
        messages.success(request, said % {**name, "substitute": done.substitute.angler.name})
    elif done.peg and done.entry.status in FISHING:
        messages.success(
            request,
            _(
                "%(name)s is marked absent: peg %(peg)s stays empty, and the team scores an absent "
                "angler there."
            )
            % name,
        )
    elif done.peg:
        said = _("%(name)s has withdrawn. Peg %(peg)s stays empty.")
        messages.success(request, said % name)
    else:
        messages.success(request, _("%(name)s has withdrawn.") % name)
    for entry in done.taken_in:
        messages.info(
            request,
            _("%(name)s had waited longest and has a place now.") % {"name": entry.angler.name},
        )
