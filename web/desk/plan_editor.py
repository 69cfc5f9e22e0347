"""The plan editor: a form that grows and shrinks row by row, with or without script."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.models import PLAN_UNITS, Bait, Plan, StageKind
from bait.reads.baits import baits_of_club
from bait.reads.learnt import learnt_content
from bait.reads.orders import is_order_placed
from bait.reads.phone import plan_json
from bait.reads.plan_sources import Sources, plan_sources, source_content
from bait.reads.plan_whole import WholePlan, angler_throws
from bait.reads.plans import plan_of_entry
from bait.reckon.plans import Throws
from bait.writes.plan_content import NOTE_LONGEST, plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry, Person
from matches.problems import Code, Problem
from matches.reads.access import is_captain
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput
from web.people import person_of
from web.review_words import earlier_said
from web.templatetags.choices import Options
from web.throw_words import throw_lines

from .form_numbers import whole_typed
from .plan_comes_to import comes_to
from .plan_filled import form_first, form_of_content, form_sent
from .plan_form import PlanForm
from .plan_said import rows_say, throws_said
from .plan_template_acts import GONE, template_act
from .suggested import suggested_content

SAVES = ("save", "save-over")


def plan_edit(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    """Show an entry's plan, change its rows, look at what it comes to, or save it."""
    baits = baits_of_club(entry.match.club_id)
    if request.method != "POST":
        plan = plan_of_entry(entry)
        form = _form_kept(entry, plan=plan)
        throws = plan.throws if plan else angler_throws(entry.angler_id)
        return _editor(request, form, entry=entry, own=own, baits=baits, throws=throws)
    form, action = form_sent(request.POST), request.POST.get("do", "save")
    if action in ("from-last", "start"):
        key = "last" if action == "from-last" else request.POST.get("source", "")
        form = _started(request, form, entry=entry, key=key)
    elif action == "sum":
        return _sums(request, form, entry=entry, baits=baits)
    elif action in SAVES:
        if _save(request, form, entry=entry, over=action == "save-over"):
            return redirect(request.path)
    elif not template_act(request, form, entry=entry, action=action):
        form.edit(action, length_minutes=entry.match.minutes)
    throws = angler_throws(entry.angler_id)
    return _editor(request, form, entry=entry, own=own, baits=baits, throws=throws, sent=action)


def _form_kept(entry: Entry, *, plan: WholePlan | None) -> PlanForm:
    if plan is None:
        return form_first(length_minutes=entry.match.minutes)
    return form_of_content(plan_json(plan), version=plan.plan.version)


def _started(request: HttpRequest, form: PlanForm, *, entry: Entry, key: str) -> PlanForm:
    """The form filled from a source; as it was, with a word why, where that is not there."""
    try:
        content = _content(person_of(request), entry=entry, key=key)
    except Problem as problem:
        if problem.code is not Code.NOT_FOUND:
            raise
        messages.error(request, problem.detail)
        return form
    return form_of_content(content, version=_version(form))


def _content(person: Person, *, entry: Entry, key: str) -> dict[str, Any]:
    """The content behind a source's key; a review's and a suggestion's say in their note what they
    are from."""
    kind, _dash, number = key.partition("-")
    if kind == "suggest":
        return suggested_content(person, entry=entry, water=number)
    if kind != "learnt":
        return source_content(entry, key=key)
    learnt = learnt_content(entry, at=whole_typed(number) or 0)
    why = earlier_said(learnt.earlier, match=learnt.then.match.name)
    note = "\n".join(part for part in (learnt.content["note"], why) if part)
    return {**learnt.content, "note": note[:NOTE_LONGEST]}


def _version(form: PlanForm) -> int:
    return digits_read(form.version) or 0


def _save(request: HttpRequest, form: PlanForm, *, entry: Entry, over: bool) -> bool:
    """Whether it was saved; if not, the form says why and keeps everything typed."""
    if over:
        form.version = request.POST.get("newer", form.version)
    trimmed = form.trimmed()
    raw, faults = trimmed.as_raw()
    try:
        if faults:
            raise BadInput(*faults)
        plan = plan_save(person_of(request), entry=entry, content=plan_content_parse(raw))
    except BadInput as bad:
        trimmed.faults_place(bad.faults)
        messages.error(request, _("Nothing is saved yet: mend what is marked, then save again."))
        return False
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        form.faults["version"] = problem.detail
        return False
    messages.success(request, _("Plan saved, version %(n)d.") % {"n": plan.version})
    if is_order_placed(entry):
        messages.warning(
            request,
            _(
                "The bait order is placed already. What changed is bought only if the captain "
                "accepts it as a late change."
            ),
        )
    return True


def _sums(
    request: HttpRequest, form: PlanForm, *, entry: Entry, baits: dict[str, Bait]
) -> HttpResponse:
    """What the form comes to and what its folded rows say, alone: nothing to type into."""
    throws = angler_throws(entry.angler_id)
    rows_say(form, baits=baits)
    context = {
        "match": entry.match,
        "form": form,
        "comes_to": comes_to(form, entry=entry, baits=baits, throws=throws),
    }
    return render(request, "desk/_plan_sums.html", context)


def _editor(
    request: HttpRequest,
    form: PlanForm,
    *,
    entry: Entry,
    own: bool,
    baits: dict[str, Bait],
    throws: Throws,
    sent: str = "",
) -> HttpResponse:
    match = entry.match
    added = comes_to(form, entry=entry, baits=baits, throws=throws)
    if sent == "check" and added.faults:
        form.trimmed().faults_place(added.faults)
    rows_say(form, baits=baits)
    starting = form.version == "0" or "start" in request.GET
    sources = plan_sources(entry) if starting else Sources()
    context: dict[str, Any] = {
        "club": match.club,
        "match": match,
        "entry": entry,
        "own": own,
        "form": form,
        "newer": Plan.objects.filter(entry=entry).select_related("changed_by").first()
        if "version" in form.faults
        else None,
        "unsaved": bool(sent),
        "bait_options": Options((bait.key, bait.name) for bait in baits.values()),
        "kind_options": Options((key, str(name).capitalize()) for key, name in StageKind.choices),
        "unit_options": Options((key, str(name)) for key, name in PLAN_UNITS),
        "comes_to": added,
        "throws": throws_said(throws, baits=baits),
        "throws_kept": throw_lines(entry, measures=person_of(request).measures)
        if form.version != "0"
        else [],
        "starting": starting,
        "fresh": not sent,
        "sources": sources,
        "may_keep": starting
        and entry.team is not None
        and is_captain(person_of(request), team=entry.team),
        "template_gone": request.session.get(GONE) if starting else None,
    }
    return render(request, "desk/plan.html", context)
