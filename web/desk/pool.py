"""The secretary's page of one pool: its terms, who is in, stakes, and the fish it is won by."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Match, Pool, WonBy
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.payouts import fish_logged
from matches.reads.pool_accounts import PoolAccount, match_money
from matches.reckon.errors import BadInput
from matches.reckon.weights import weight_from_parts
from matches.writes.facts import fact_log_at_desk
from matches.writes.pool_terms import FIELDS, pool_terms_parse, pool_typed
from matches.writes.pools import pool_change, pool_entries_set, pool_remove
from matches.writes.stakes import stake_give_back, stakes_take
from web.methods import shown_and_sent
from web.people import person_of
from web.templatetags.money import money

from .field_form import FieldForm, form_sent
from .form_act import refusal_say
from .form_numbers import key_read, number_or_none, numbers
from .pool_form import form_context
from .weigh_form import PARTS

TERMS = (*FIELDS, "reason")


@login_required
@shown_and_sent
def pool(request: HttpRequest, match_id: int, pool_id: int) -> HttpResponse:
    """One pool, and everything the secretary does with it."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    account = _account(match, pool_id)
    form = FieldForm({**pool_typed(account.pool), "reason": ""})
    chosen, why = FieldForm({"reason": ""}), FieldForm({"reason": ""})
    if request.method == "POST":
        do = request.POST.get("do", "")
        if do == "save":
            form = form_sent(request.POST, names=TERMS)
        try:
            _act(request, match, account.pool, do=do, form=form)
        except BadInput as bad:
            of = {"save": form, "choose": chosen, "remove": why}.get(do, FieldForm({}))
            of.faults_place(bad.faults)
            for said in of.others if do != "save" else ():
                messages.error(request, said)
            messages.error(request, _("Nothing is saved yet: mend what is marked."))
        except Problem as problem:
            refusal_say(request, problem)
            return redirect("desk:pool", match_id, pool_id)
        else:
            gone = do == "remove"
            return redirect("desk:pools", match_id) if gone else redirect(request.path)
    ticked = _ticked(request, account)
    return _page(request, match, account, form=form, chosen=chosen, why=why, ticked=ticked)


def _account(match: Match, pool_id: int) -> PoolAccount:
    found = next((a for a in match_money(match).accounts if a.pool.pk == pool_id), None)
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such pool in this match."))
    return found


def _ticked(request: HttpRequest, account: PoolAccount) -> set[int]:
    """Who is in as it stands, or as it was ticked when that was sent and refused."""
    if request.POST.get("do") == "choose":
        return {int(text) for text in request.POST.getlist("entry") if text.isdecimal()}
    return {s.entry.pk for s in account.is_in}


def _page(
    request: HttpRequest,
    match: Match,
    account: PoolAccount,
    *,
    form: FieldForm,
    chosen: FieldForm,
    why: FieldForm,
    ticked: set[int],
) -> HttpResponse:
    by_fish = account.pool.won_by == WonBy.BIGGEST_FISH
    return render(
        request,
        "desk/pool.html",
        {
            **form_context(match, form),
            "account": account,
            "pool": account.pool,
            "chosen": chosen,
            "why": why,
            "ticked": ticked,
            "started": timezone.now() >= match.start_at,
            "by_fish": by_fish,
            "fish": fish_logged(match) if by_fish else [],
            "parts": PARTS[match.weight_unit],
            "unit": match.weight_unit,
        },
    )


def _act(request: HttpRequest, match: Match, pool: Pool, *, do: str, form: FieldForm) -> None:
    """Do what was pressed, and say so. Raises BadInput, Problem."""
    person, typed = person_of(request), request.POST
    this: dict[str, Any] = {"match": match, "pool_id": pool.pk}
    reason = typed.get("reason", "")
    match do:
        case "save":
            pool_change(person, **this, terms=pool_terms_parse(form.values), reason=reason)
            messages.success(request, _("Saved."))
        case "choose":
            ids = numbers(typed.getlist("entry"))
            changed = pool_entries_set(person, **this, entry_ids=ids, reason=reason)
            said = _("Noted who is in.") if changed else _("Nothing differed: nothing is changed.")
            messages.success(request, said)
        case "take" | "take-all":
            ids = numbers(typed.getlist("entry" if do == "take" else "everybody"))
            made = stakes_take(person, **this, entry_ids=ids)
            pence = money(sum(p.pence for p in made), match.club.currency)
            said = ngettext(
                "%(n)d stake taken: %(pence)s.", "%(n)d stakes taken: %(pence)s.", len(made)
            )
            if made:
                messages.success(request, said % {"n": len(made), "pence": pence})
            else:
                messages.info(request, _("None of them owes anything: nothing is noted."))
        case "give-back":
            entry_id = number_or_none(typed.get("entry", "")) or 0
            back = stake_give_back(person, **this, entry_id=entry_id)
            if back is not None:
                said = _("Noted as given back: %(pence)s.")
                messages.success(request, said % {"pence": money(-back.pence, match.club.currency)})
            else:
                messages.info(request, _("Nothing of theirs is left here to give back."))
        case "remove":
            pool_remove(person, **this, reason=reason)
            messages.success(request, _("%(pool)s is taken away.") % {"pool": pool.name})
        case "fish" | "fish-back":
            _fish_note(request, match, back=do == "fish-back")
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))


def _fish_note(request: HttpRequest, match: Match, *, back: bool) -> None:
    """A single fish as the scales say, or one taken back. Both stay on record."""
    person, typed = person_of(request), request.POST
    if back:
        fact = key_read(typed.get("fact", ""))
        _fish_scratch(request, match, fact)
        messages.success(request, _("Taken back: this fish does not count."))
        return
    unit = match.unit
    weight = weight_from_parts({k: typed.get(k, "").strip() for k in PARTS[unit]}, unit=unit)
    species = typed.get("species", "").strip() or _("fish")
    fact_log_at_desk(
        person,
        match=match,
        kind="fish_note",
        peg=typed.get("peg", ""),
        body={"species": species, "count": 1, "weight": weight},
    )
    messages.success(request, _("The fish is logged."))


def _fish_scratch(request: HttpRequest, match: Match, fact: UUID) -> None:
    logged = next((f for f in fish_logged(match) if f.fact == fact), None)
    if logged is None:
        raise Problem(Code.CONFLICT, _("This fish was taken back already."))
    fact_log_at_desk(
        person_of(request),
        match=match,
        kind="scratch",
        peg=logged.peg,
        body={"why": request.POST.get("reason", "").strip() or _("Not the biggest fish.")},
        supersedes=fact,
    )
