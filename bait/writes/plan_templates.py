"""Plans a team starts from: its captain keeps them, and takes them out again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import PlanTemplate
from matches.models import Person, Team
from matches.problems import Code, Problem
from matches.reads.access import is_captain
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable
from matches.writes.audit import audit_record

from .plan_content import plan_content_parse

MOST_TEMPLATES = 50
NAME_MOST = 80


def template_keep(
    person: Person, *, team: Team, name: str, content: Mapping[str, Any]
) -> PlanTemplate:
    """Keep a plan's content for the team, in place of the one of that name.

    `content` is what `plan_content_parse` reads. Raises Problem NOT_ALLOWED (not the team's
    captain) and BadInput (no name, too many, a plan that cannot be read).
    """
    _captain_check(person, team=team)
    name = " ".join(name.split())
    if not name or len(name) > NAME_MOST or not is_storable(name):
        words = _("Give the template a name of 1 to %(n)d plain letters.") % {"n": NAME_MOST}
        raise BadInput(Fault("/template", words))
    plan_content_parse({**content, "version": 0})
    kept = {key: value for key, value in content.items() if key != "version"}
    with transaction.atomic():
        others = PlanTemplate.objects.filter(team=team).exclude(name=name)
        if others.count() >= MOST_TEMPLATES:
            words = _("The team has %(n)d templates: take one out first.")
            raise BadInput(Fault("/template", words % {"n": MOST_TEMPLATES}))
        row, _made = PlanTemplate.objects.update_or_create(
            team=team, name=name, defaults={"content": kept, "made_by": person}
        )
        audit_record(
            club=team.club,
            person=person,
            verb="template.kept",
            subject=f"template {row.pk}",
            detail={"name": name},
        )
    return row


def template_drop(person: Person, *, team: Team, template_id: int) -> PlanTemplate:
    """Take a template out; what comes back still holds its content, to keep it again.

    Raises Problem NOT_ALLOWED and NOT_FOUND.
    """
    _captain_check(person, team=team)
    with transaction.atomic():
        row = PlanTemplate.objects.select_for_update().filter(team=team, pk=template_id).first()
        if row is None:
            raise Problem(Code.NOT_FOUND, _("This template was taken out already."))
        audit_record(
            club=team.club,
            person=person,
            verb="template.dropped",
            subject=f"template {row.pk}",
            detail={"name": row.name},
        )
        PlanTemplate.objects.filter(pk=row.pk).delete()
    return row


def _captain_check(person: Person, *, team: Team) -> None:
    if not is_captain(person, team=team):
        raise Problem(Code.NOT_ALLOWED, _("Only the team's captain keeps its templates."))
