"""A member's mixing sheet, and the squeeze test that measures a mix."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.models import PLAN_UNITS, StageKind
from bait.reads.mixing import MixingShown, mixing_shown
from bait.reads.plans import entry_for_plan, own_entry_of
from bait.reckon.mixing import BallsSheet, MixSheet
from bait.writes.mix_measured import mix_measured_keep
from matches.models import Entry
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of
from web.throw_words import throw_lines

from .squeeze_form import SqueezeForm, squeeze_forms


@login_required
@shown_and_sent
def my_mixing(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own mixing sheet."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return _mixing(request, entry=entry, own=True)


@login_required
@shown_and_sent
def member_mixing(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's mixing sheet, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return _mixing(request, entry=entry, own=entry.angler.person_id == person.pk)


def _mixing(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    shown = mixing_shown(entry)
    forms = squeeze_forms(shown, sent=request.POST)
    if request.method == "POST":
        form = next((form for form in forms if form.sent), None)
        if form is None:
            messages.error(request, _("The plan has no such mix any more: look at it again."))
            return redirect(request.path)
        form.measure()
        if request.POST.get("do") == "keep" and _keep(request, form, entry=entry):
            return redirect(f"{request.path}#mix-{form.at}")
    context: dict[str, Any] = {
        "club": entry.match.club,
        "match": entry.match,
        "entry": entry,
        "own": own,
        "shown": shown,
        "throws_kept": throw_lines(entry, measures=person_of(request).measures),
        "units": dict(PLAN_UNITS),
        "mixes": [
            _mix_shown(sheet, form, shown=shown)
            for sheet, form in zip(shown.sheets, forms, strict=True)
        ],
    }
    return render(request, "desk/mixing.html", context)


def _keep(request: HttpRequest, form: SqueezeForm, *, entry: Entry) -> bool:
    """Whether what was measured is saved in the plan; if not, the form says why."""
    if form.faults or not form.found:
        return False
    try:
        mix_measured_keep(
            person_of(request),
            entry=entry,
            version=form.version,
            mix=form.mix.name,
            figures=form.found,
        )
    except BadInput as bad:
        form.faults["squeeze_test"] = " ".join(fault.message for fault in bad.faults)
        return False
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        form.faults["squeeze_test"] = problem.detail
        return False
    words = _("Kept in the plan: the mix “%(mix)s” is reckoned as you measured it from here on.")
    messages.success(request, words % {"mix": form.mix.name})
    return True


def _mix_shown(sheet: MixSheet, form: SqueezeForm, *, shown: MixingShown) -> dict[str, Any]:
    stages = shown.whole.stages if shown.whole else ()
    return {
        "sheet": sheet,
        "form": form,
        "unmeasured": [shown.baits[key].name for key in sheet.unmeasured],
        "balls": [
            {
                "sheet": balls,
                "kind": StageKind(stages[balls.stage].kind).label,
                "line": stages[balls.stage].line,
                "unmeasured": [shown.baits[key].name for key in balls.unmeasured],
                "possible": _possible(sheet, balls),
            }
            for balls in sheet.balls
        ],
    }


def _possible(sheet: MixSheet, balls: BallsSheet) -> int | None:
    """How many of these balls all of the mix makes; None where some of it cannot be measured."""
    return None if sheet.ready_l is None else balls.outcome.balls_possible
