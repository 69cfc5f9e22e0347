"""The captain's kitty page, and each member's own statement."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.models import Order
from bait.reads.kitty import kitty_of, payers_of
from bait.reads.orders import order_of, team_and_match
from bait.reads.statement import statement_entry, statement_of
from bait.writes.kitty import pay_back, payment_take_back, shop_charge, shop_pay
from matches.models import Angler, Entry, Person
from matches.problems import Code, Problem
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import key_read, pence_typed, whole_typed


@login_required
@shown_and_sent
def kitty(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Who paid the shops, who owes whom, and noting that it was paid."""
    person = person_of(request)
    team, match = team_and_match(person, team_id=team_id, match_id=match_id)
    order = order_of(team, match=match)
    if request.method == "POST":
        try:
            messages.success(request, _kitty_act(request, person, order=order))
        except Problem as problem:
            refusal_say(request, problem)
        return redirect("desk:kitty", team_id, match_id)
    found = kitty_of(order) if order else None
    payers = payers_of(order, kitty=found) if order and found else []
    return render(
        request,
        "desk/kitty.html",
        {
            "here": "kitty",
            "club": match.club,
            "currency": match.club.currency,
            "team": team,
            "match": match,
            "order": order,
            "kitty": found,
            "payers": payers,
            "me": next((p.angler.pk for p in payers if _is(p.angler, person)), None),
            "shops": [(shop, uuid.uuid4()) for shop in found.shops] if found else [],
            "owed": [(owed, uuid.uuid4()) for owed in found.owed] if found else [],
            "entries": {p.angler.pk: p.entry_id for p in payers},
        },
    )


def _is(angler: Angler, person: Person) -> bool:
    return angler.person_id is not None and angler.person_id == person.pk


def _kitty_act(request: HttpRequest, person: Person, *, order: Order | None) -> str:
    """Do what was pressed, and say so. Raises Problem."""
    if order is None:
        raise Problem(Code.CONFLICT, _("Nothing is placed yet, so there is nothing to pay."))
    typed = request.POST
    do = typed.get("do", "")
    if do == "charge":
        shop, pence = _number(typed.get("shop", "")), pence_typed(typed.get("amount", ""))
        shop_charge(person, order=order, shop_id=shop, pence=pence)
        return _("Noted what the shop charged: everybody’s part follows it.")
    key = key_read(typed.get("key", ""))
    if do == "take_back":
        payment_take_back(person, order=order, key=key)
        return _("Taken back: it does not count any more.")
    pence = pence_typed(typed.get("amount", ""))
    if do == "pay":
        shop, angler = _number(typed.get("shop", "")), _number(typed.get("angler", ""))
        shop_pay(person, order=order, shop_id=shop, angler_id=angler, pence=pence, key=key)
        return _("Noted who paid the shop.")
    payer, payee = _number(typed.get("payer", "")), _number(typed.get("payee", ""))
    pay_back(person, order=order, payer_id=payer, payee_id=payee, pence=pence, key=key)
    return _("Noted that it was paid back.")


def _number(text: str) -> int:
    number = whole_typed(text)
    if number is None:
        raise Problem(Code.BAD_INPUT, _("Choose a name from the list."))
    return number


@login_required
@require_safe
def my_statement(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own statement of the team's order."""
    entry = statement_entry(person_of(request), match_id=match_id)
    return _statement_page(request, entry=entry, own=True)


@login_required
@require_safe
def member_statement(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's statement, for their captain."""
    person = person_of(request)
    entry = statement_entry(person, match_id=match_id, entry_id=entry_id)
    return _statement_page(request, entry=entry, own=_is(entry.angler, person))


def _statement_page(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    statement = statement_of(entry)
    name = statement.name_of if statement else str
    club = statement.order.team.club if statement else entry.match.club
    return render(
        request,
        "desk/statement.html",
        {
            "club": club,
            "currency": club.currency,
            "match": entry.match,
            "entry": entry,
            "own": own,
            "statement": statement,
            "order": statement.order if statement else None,
            "pays": [(name(o.payee), o.pence) for o in statement.pays] if statement else [],
            "gets": [(name(o.payer), o.pence) for o in statement.gets] if statement else [],
        },
    )
