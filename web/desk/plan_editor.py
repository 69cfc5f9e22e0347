"""The plan editor: a form that grows and shrinks row by row, with or without script."""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.models import Bait, StageKind, Unit
from bait.reads.baits import bait_facts, baits_of_club
from bait.reads.limits import plan_limits
from bait.reads.plans import last_plan_before, plan_of_entry
from bait.reckon.limits import LimitUse
from bait.reckon.plans import BaitTotal, plan_totals
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry, Match
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from web.people import person_of

from .plan_form import PlanForm, form_first, form_of_plan, form_sent


@dataclass(frozen=True, slots=True)
class LimitBar:
    """One limit as a bar in picture units of 100; a bar that is over is full and marked."""

    name: str
    use: LimitUse
    width: str
    unjudged: tuple[str, ...]


def plan_edit(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    """Show an entry's plan, change its rows, look at what it comes to, or save it."""
    match = entry.match
    baits = baits_of_club(match.club_id)
    if request.method != "POST":
        form = _form_kept(entry)
        return _editor(request, form, entry=entry, own=own, baits=baits)
    form, action = form_sent(request.POST), request.POST.get("do", "save")
    if action == "from-last":
        before = last_plan_before(entry)
        if before is not None:
            form = form_of_plan(before, version=_version(form))
    elif not form.edit(action) and action in ("save", "save-over"):
        form.trim()
        if _save(request, form, entry=entry, over=action == "save-over"):
            return redirect(request.path)
    return _editor(request, form, entry=entry, own=own, baits=baits, sent=True)


def _form_kept(entry: Entry) -> PlanForm:
    plan = plan_of_entry(entry)
    if plan is not None:
        return form_of_plan(plan)
    length = entry.match.end_at - entry.match.start_at
    return form_first(length_minutes=int(length.total_seconds() // 60))


def _version(form: PlanForm) -> int:
    text = form.version
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def _save(request: HttpRequest, form: PlanForm, *, entry: Entry, over: bool) -> bool:
    """Whether it was saved; if not, the form says why and keeps everything typed."""
    if over:
        form.version = request.POST.get("newer", form.version)
    raw, faults = form.as_raw()
    try:
        if faults:
            raise BadInput(*faults)
        plan = plan_save(person_of(request), entry=entry, content=plan_content_parse(raw))
    except BadInput as bad:
        form.faults_place(bad.faults)
        messages.error(request, _("Nothing is saved yet: mend what is marked, then save again."))
        return False
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        form.faults["version"] = problem.detail
        return False
    messages.success(request, _("Plan saved, version %(n)d.") % {"n": plan.version})
    return True


def _editor(
    request: HttpRequest,
    form: PlanForm,
    *,
    entry: Entry,
    own: bool,
    baits: dict[str, Bait],
    sent: bool = False,
) -> HttpResponse:
    match = entry.match
    kept = plan_of_entry(entry) if "version" in form.faults else None
    totals, limits = _comes_to(form, baits=baits, match=match)
    context: dict[str, Any] = {
        "room": "desk",
        "club": match.club,
        "match": match,
        "entry": entry,
        "own": own,
        "form": form,
        "newer": kept,
        "unsaved": sent,
        "baits": list(baits.values()),
        "kinds": StageKind.choices,
        "units": Unit.choices,
        "totals": [(baits[total.bait], total) for total in totals],
        "limits": limits,
        "has_last": not sent and form.version == "0" and last_plan_before(entry) is not None,
    }
    return render(request, "desk/plan.html", context)


def _comes_to(
    form: PlanForm, *, baits: dict[str, Bait], match: Match
) -> tuple[Sequence[BaitTotal], list[LimitBar]]:
    """What stands in the form adds up to; nothing while it cannot be read."""
    trial = _trial(form)
    raw, faults = trial.as_raw()
    try:
        if faults:
            return (), []
        content = plan_content_parse(raw)
        totals = plan_totals(
            tuple(stage.planned for stage in content.stages),
            baits={key: bait_facts(bait) for key, bait in baits.items()},
            spare_percent=content.spare_percent,
        )
    except BadInput:
        return (), []
    return totals, [_bar(use, baits=baits) for use in plan_limits(totals, baits=baits, match=match)]


def _trial(form: PlanForm) -> PlanForm:
    """The form without its blank rows, so that half a form already adds up."""
    trial = deepcopy(form)
    trial.trim()
    return trial


def _bar(use: LimitUse, *, baits: dict[str, Bait]) -> LimitBar:
    names = {
        "groundbait": _("Groundbait, soil and particles"),
        "bait": _("Animal bait"),
    }
    part = Fraction(0)
    if use.allowed_l is not None and use.used_l > 0:
        part = min(Fraction(1), use.used_l / use.allowed_l) if use.allowed_l else Fraction(1)
    return LimitBar(
        name=names[use.name],
        use=use,
        width=str(round(part * 100)),
        unjudged=tuple(baits[key].name for key in use.unjudged),
    )
