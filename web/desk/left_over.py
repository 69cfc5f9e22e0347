"""What is left after a match goes back into the larder in two taps."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import LotState
from bait.reads.left_over import LeftOver, LeftPart, LeftRow, is_to_come, left_over, left_text
from bait.writes.left_over import LeftBack, leftovers_put
from matches.comma_words import comma_words
from matches.models import Angler
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of

from .larder_form import amount_typed

OWN, TEAM = "own", "team"


@dataclass(frozen=True, slots=True)
class RowTyped:
    """A row with what stands in its fields."""

    row: LeftRow
    name: str
    amount: str
    state: str
    fault: str = ""


@dataclass(frozen=True, slots=True)
class PartTyped:
    part: LeftPart
    rows: tuple[RowTyped, ...]


@login_required
@shown_and_sent
def left_over_page(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """First the bags less what was fed, then what is to be frozen, then it is put back."""
    found = left_over(person_of(request), team_id=team_id, match_id=match_id)
    do = request.POST.get("do", "")
    parts = [_typed(part, post=request.POST, freeze=do == "freeze") for part in found.parts]
    if do == "save" and not _faulty(parts):
        try:
            _put(request, found=found, parts=parts)
            return redirect("desk:left-over", team_id, match_id)
        except Problem as problem:
            if problem.code is not Code.CONFLICT:
                raise
            messages.error(request, problem.detail)
        except BadInput as bad:
            messages.error(request, " ".join(fault.message for fault in bad.faults))
    return _page(request, found=found, parts=parts, frozen=do == "freeze")


def _typed(part: LeftPart, *, post: Mapping[str, str], freeze: bool) -> PartTyped:
    rows = []
    for row in part.rows:
        name = f"{part.source}-{row.bait.key}"
        amount = post.get(f"left-{name}", left_text(row))
        state = post.get(f"state-{name}", row.state)
        if freeze and row.freezes:
            state = LotState.FROZEN.value
        bad = row.put is None and bool(amount.strip()) and amount_typed(amount, zero=True) is None
        wrong = _("Write an amount such as 1.5, or nothing.")
        words = comma_words(amount, otherwise=wrong) if bad else ""
        rows.append(RowTyped(row, name, amount, state, words))
    return PartTyped(part, tuple(rows))


def _faulty(parts: list[PartTyped]) -> bool:
    return any(row.fault for part in parts for row in part.rows)


def _put(request: HttpRequest, *, found: LeftOver, parts: list[PartTyped]) -> None:
    to_team = found.seen.captain and request.POST.get("whose") == TEAM
    done = leftovers_put(
        person_of(request),
        team=found.seen.team,
        match=found.match,
        rows=[row for part in parts for row in _back(part, to_team=to_team)],
        today=_today(),
    )
    if done.now:
        words = ngettext(
            "%(n)d lot is in the larder now.", "%(n)d lots are in the larder now.", done.now
        )
        messages.success(request, words % {"n": done.now})
    if done.before:
        words = ngettext(
            "%(n)d was put back before and stays as it is.",
            "%(n)d were put back before and stay as they are.",
            done.before,
        )
        messages.info(request, words % {"n": done.before})
    if not done.now and not done.before:
        messages.info(request, _("Nothing was left, so nothing went back."))


def _back(part: PartTyped, *, to_team: bool) -> Iterator[LeftBack]:
    owner: Angler | None = None if to_team else part.part.angler
    for typed in part.rows:
        amount = amount_typed(typed.amount)
        if typed.row.put is None and amount is not None:
            yield LeftBack(part.part.angler, owner, typed.row.bait, amount, typed.state)


def _today() -> dt.date:
    return timezone.localdate()


def _page(
    request: HttpRequest, *, found: LeftOver, parts: list[PartTyped], frozen: bool
) -> HttpResponse:
    return render(
        request,
        "desk/left_over.html",
        {
            "club": found.match.club,
            "team": found.seen.team,
            "match": found.match,
            "seen": found.seen,
            "parts": parts,
            "found": found,
            "to_come": is_to_come(found.match, today=_today()),
            "states": LotState.choices,
            "frozen": frozen,
            "whose": request.POST.get("whose", OWN),
            "any_frozen_before": any(r.row.was_frozen for p in parts for r in p.rows),
        },
    )
