"""The page of a match's entries: the club reads who is in, its secretary enters and adds."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Entry, EntryStatus, Match
from matches.problems import Problem
from matches.reads import access
from matches.reads.entries import BookGroup, book_groups, entry_lists
from matches.reads.fees import fees_of
from matches.reckon.errors import BadInput
from matches.writes.anglers import angler_add
from matches.writes.entries import EntriesAdded, entries_add
from matches.writes.fees import fees_take
from web.methods import shown_and_sent
from web.people import person_of
from web.templatetags.money import money

from .field_form import FieldForm, form_sent
from .form_act import refusal_say
from .form_numbers import number_or_none, numbers

NEW = ("name", "team", "junior", "consent")


@login_required
@shown_and_sent
def entries(request: HttpRequest, match_id: int) -> HttpResponse:
    """Who is entered, stands by and waits; the secretary enters teams, singles and new anglers."""
    person = person_of(request)
    form = FieldForm(dict.fromkeys(NEW, ""))
    if request.method != "POST":
        match = access.match_seen(person, match_id=match_id)
        runs = access.is_secretary(person, club=match.club)
        return _page(request, match, runs=runs, form=form)
    match = access.match_for_secretary(person, match_id=match_id)
    try:
        if request.POST.get("do", "").startswith("book"):
            form = form_sent(request.POST, names=NEW)
            _book(request, match, form=form)
        elif request.POST.get("do") in ("take", "take-all"):
            _take(request, match)
        else:
            _enter(request, match)
    except BadInput as bad:
        form.faults_place(bad.faults)
        messages.error(request, _("Not added yet: mend what is marked."))
        return _page(request, match, runs=True, form=form)
    except Problem as problem:
        refusal_say(request, problem)
        if request.POST.get("do", "").startswith("book"):
            return _page(request, match, runs=True, form=form)
    return redirect("desk:entries", match_id)


def _enter(request: HttpRequest, match: Match) -> None:
    """Enter who was ticked or all who were listed, for their team or each alone."""
    listed = "everybody" if request.POST.get("do") == "enter-all" else "angler"
    alone = request.POST.get("for") == "alone"
    added = entries_add(
        person_of(request),
        match=match,
        angler_ids=numbers(request.POST.getlist(listed)),
        team_id=None if alone else number_or_none(request.POST.get("team", "")),
        status=request.POST.get("as", ""),
    )
    _added_say(request, added)


def _take(request: HttpRequest, match: Match) -> None:
    """Note that who was ticked, or all who were listed, paid the fee."""
    listed = "everybody" if request.POST.get("do") == "take-all" else "entry"
    ids = numbers(request.POST.getlist(listed))
    made = fees_take(person_of(request), match=match, entry_ids=ids)
    if not made:
        messages.info(request, _("None of them owes anything: nothing is noted."))
        return
    said = ngettext("%(n)d fee taken: %(pence)s.", "%(n)d fees taken: %(pence)s.", len(made))
    pence = money(sum(p.pence for p in made), match.club.currency)
    messages.success(request, said % {"n": len(made), "pence": pence})


def _book(request: HttpRequest, match: Match, *, form: FieldForm) -> None:
    """Write a new angler into the book, and enter them where that was pressed: both or neither."""
    person, typed = person_of(request), form.values
    team_id = number_or_none(typed["team"])
    with transaction.atomic():
        angler = angler_add(
            person,
            club=match.club,
            name=typed["name"],
            team_id=team_id,
            junior=typed["junior"] == "yes",
            guardian_consents=typed["consent"] == "yes",
        )
        added = None
        if request.POST.get("do") == "book-enter":
            added = entries_add(person, match=match, angler_ids=[angler.pk], team_id=team_id)
    messages.success(request, _("%(name)s is in the club’s book.") % {"name": angler.name})
    if added:
        _added_say(request, added)


def _added_say(request: HttpRequest, added: EntriesAdded) -> None:
    entered = [e for e in added.entered if e.status == EntryStatus.ENTERED]
    reserves = [e for e in added.entered if e.status == EntryStatus.RESERVE]
    if entered:
        said = ngettext("Entered: %(names)s.", "%(n)d entered: %(names)s.", len(entered))
        messages.success(request, said % _named(entered))
    if reserves:
        said = ngettext("Reserve: %(names)s.", "%(n)d reserves: %(names)s.", len(reserves))
        messages.success(request, said % _named(reserves))
    if added.waiting:
        messages.warning(
            request,
            _("All places are taken. On the waiting list, in this order: %(names)s.")
            % _named(added.waiting),
        )


def _named(rows: Iterable[Entry]) -> dict[str, object]:
    names = [e.angler.name for e in rows]
    return {"n": len(names), "names": ", ".join(names)}


def _page(request: HttpRequest, match: Match, *, runs: bool, form: FieldForm) -> HttpResponse:
    lists = entry_lists(match)
    groups: list[BookGroup] = book_groups(match, lists=lists) if runs else []
    fees = fees_of(match, [*lists.placed, *lists.standing_by, *lists.withdrawn]) if runs else {}
    drawn = any(hasattr(e, "drawn_peg") for e in lists.placed)
    return render(
        request,
        "desk/entries.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "match": match,
            "runs": runs,
            "lists": lists,
            "fees": fees,
            "taken": sum(fee.paid for fee in fees.values()),
            "owed": sum(fee.owes for fee in fees.values()),
            "owing": [e for e in lists.placed if e.pk in fees and fees[e.pk].owes],
            "to_give_back": sum(fee.to_give_back for fee in fees.values()),
            "free": None
            if match.places_most is None
            else max(0, match.places_most - len(lists.placed)),
            "groups": groups,
            "form": form,
            "drawn": drawn,
        },
    )
