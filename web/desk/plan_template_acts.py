"""Keeping, taking out and bringing back a team's template from the plan editor."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext as _

from bait.writes.plan_templates import template_drop, template_keep
from matches.models import Entry, Team
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput
from web.people import person_of

from .plan_form import PlanForm

#: Where the session holds the template taken out last, so that it may come back.
GONE = "template_gone"


def template_act(request: HttpRequest, form: PlanForm, *, entry: Entry, action: str) -> bool:
    """Whether the action was one on templates; the form stays as it is, with faults if any."""
    dropped = action.removeprefix("drop-template-")
    if action not in ("keep-template", "bring-template-back") and dropped == action:
        return False
    if entry.team is None:
        raise Problem(Code.NOT_ALLOWED, _("Templates belong to a team: this entry has none."))
    try:
        if action == "keep-template":
            _keep(request, form, team=entry.team)
        elif action == "bring-template-back":
            _bring_back(request, team=entry.team)
        else:
            _drop(request, team=entry.team, number=dropped)
    except BadInput as bad:
        form.trimmed().faults_place(bad.faults)
        messages.error(request, _("The template is not kept yet: mend what is marked."))
    except Problem as problem:
        if problem.code is not Code.NOT_FOUND:
            raise
        messages.error(request, problem.detail)
    return True


def _keep(request: HttpRequest, form: PlanForm, *, team: Team) -> None:
    raw, faults = form.trimmed().as_raw()
    if faults:
        raise BadInput(*faults)
    name = request.POST.get("template", "")
    row = template_keep(person_of(request), team=team, name=name, content=raw)
    words = _("“%(name)s” is kept: all of %(team)s may start from it.")
    messages.success(request, words % {"name": row.name, "team": team.name})


def _drop(request: HttpRequest, *, team: Team, number: str) -> None:
    row = template_drop(person_of(request), team=team, template_id=digits_read(number) or 0)
    gone: dict[str, Any] = {"team": team.pk, "name": row.name, "content": row.content}
    request.session[GONE] = gone
    messages.success(request, _("“%(name)s” is taken out.") % {"name": row.name})


def _bring_back(request: HttpRequest, *, team: Team) -> None:
    gone = request.session.get(GONE)
    if gone is None or gone["team"] != team.pk:
        raise Problem(Code.NOT_FOUND, _("There is no template to bring back."))
    template_keep(person_of(request), team=team, name=gone["name"], content=gone["content"])
    del request.session[GONE]
    messages.success(request, _("“%(name)s” is back.") % {"name": gone["name"]})
