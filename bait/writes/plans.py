"""A plan is saved whole: one version after another, nobody's change lost under another's."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Bait, Plan, Stage, StageFeed
from bait.reads.baits import bait_facts, baits_of_club
from bait.reads.plans import may_plan
from bait.reckon.plans import plan_totals
from matches.models import Entry, Person
from matches.problems import Code, Problem
from matches.writes.audit import audit_record

from .plan_content import PlanContent


def plan_save(person: Person, *, entry: Entry, content: PlanContent) -> Plan:
    """Make the entry's plan `content`. A plan over the match's limits is saved, and shown as such.

    Raises Problem NOT_ALLOWED (neither the angler nor the captain), CONFLICT (somebody saved
    another version meanwhile; nothing was changed) and BadInput (unknown bait, unit that does not
    fit, absurd amounts).
    """
    if not may_plan(person, entry=entry):
        raise Problem(Code.NOT_ALLOWED, _("A plan belongs to its angler and the team's captain."))
    with transaction.atomic():
        held = Entry.objects.select_for_update().select_related("match__club").get(pk=entry.pk)
        baits = baits_of_club(held.match.club_id)
        _content_check(content, baits=baits)
        plan = _plan_next_version(person, entry=held, content=content)
        _stages_replace(plan, content=content, baits=baits)
        audit_record(
            club=held.match.club,
            person=person,
            verb="plan.saved",
            subject=f"entry {held.pk}",
            detail={"version": plan.version, "stages": len(content.stages)},
        )
    return plan


def _content_check(content: PlanContent, *, baits: dict[str, Bait]) -> None:
    plan_totals(
        tuple(stage.planned for stage in content.stages),
        baits={key: bait_facts(bait) for key, bait in baits.items()},
        spare_percent=content.spare_percent,
    )


def _plan_next_version(person: Person, *, entry: Entry, content: PlanContent) -> Plan:
    plan = Plan.objects.filter(entry=entry).first()
    if content.version != (plan.version if plan else 0):
        raise Problem(
            Code.CONFLICT,
            _("This plan was changed meanwhile. Look at the new one, then save yours again."),
        )
    plan = plan or Plan(entry=entry, version=0)
    plan.version += 1
    plan.spare_percent = content.spare_percent
    plan.note = content.note
    plan.changed_by = person
    plan.save()
    return plan


def _stages_replace(plan: Plan, *, content: PlanContent, baits: dict[str, Bait]) -> None:
    plan.stages.all().delete()
    stages = Stage.objects.bulk_create(
        Stage(
            plan=plan,
            position=position,
            kind=stage.kind,
            line=stage.line,
            note=stage.note,
            start_minute=stage.planned.start_minute,
            end_minute=stage.planned.end_minute,
            every_seconds=stage.planned.every_seconds,
        )
        for position, stage in enumerate(content.stages, 1)
    )
    StageFeed.objects.bulk_create(
        StageFeed(stage=row, bait=baits[feed.bait], amount=_decimal(feed.amount), unit=feed.unit)
        for row, stage in zip(stages, content.stages, strict=True)
        for feed in stage.planned.feeds
    )


def _decimal(amount: Fraction) -> Decimal:
    """Exact: what was read has at most four places."""
    return Decimal(amount.numerator) / Decimal(amount.denominator)
