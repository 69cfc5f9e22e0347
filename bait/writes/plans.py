"""A plan is saved whole: one version after another, nobody's change lost under another's."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Bait, Mix, MixPart, Plan, PlanSubstitute, Stage, StageFeed
from bait.reads.baits import bait_facts, baits_of_club
from bait.reads.plan_whole import angler_throws
from bait.reads.plans import may_plan
from bait.reckon.plan_checks import stages_faults
from bait.reckon.plans import Throws, plan_totals
from matches.models import Entry, Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault, pointer
from matches.writes.audit import audit_record

from .plan_content import PlanContent, StageContent


def plan_save(person: Person, *, entry: Entry, content: PlanContent) -> Plan:
    """Make the entry's plan `content`. A plan over the match's limits is saved, and shown as such.

    Raises Problem NOT_ALLOWED (neither the angler nor the captain), CONFLICT (somebody saved
    another version meanwhile; nothing was changed) and BadInput (unknown bait, unit that does not
    fit, absurd amounts, stages that overlap or never end).
    """
    if not may_plan(person, entry=entry):
        raise Problem(Code.NOT_ALLOWED, _("A plan belongs to its angler and the team's captain."))
    with transaction.atomic():
        held = Entry.objects.select_for_update().select_related("match__club").get(pk=entry.pk)
        baits = baits_of_club(held.match.club_id)
        throws = angler_throws(held.angler_id)
        content_check(content, entry=held, baits=baits, throws=throws)
        plan = _plan_next_version(person, entry=held, content=content)
        # Stages hold on to their mixes, so they go first.
        plan.stages.all().delete()
        plan.mixes.all().delete()
        _mixes_add(plan, content=content, baits=baits)
        _stages_add(plan, content=content, baits=baits)
        _substitutes_replace(plan, content=content, baits=baits)
        audit_record(
            club=held.match.club,
            person=person,
            verb="plan.saved",
            subject=f"entry {held.pk}",
            detail={"version": plan.version, "stages": len(content.stages)},
        )
    return plan


def content_check(
    content: PlanContent, *, entry: Entry, baits: dict[str, Bait], throws: Throws
) -> None:
    """Raise BadInput, with every fault in its place, for what no plan of the entry can be.

    `throws` are those of the entry's angler.
    """
    faults = [
        *stages_faults(
            content.planned,
            length_minutes=entry.match.minutes,
            names={key: bait.name for key, bait in baits.items()},
        ),
        *_substitute_faults(content, baits=baits),
    ]
    try:
        plan_totals(
            content.planned,
            baits={key: bait_facts(bait) for key, bait in baits.items()},
            spare_percent=content.spare_percent,
            mixes=content.mixes,
            throws=throws,
        )
    except BadInput as bad:
        faults += bad.faults
    if faults:
        raise BadInput(*faults)


def _substitute_faults(content: PlanContent, *, baits: dict[str, Bait]) -> list[Fault]:
    return [
        Fault(pointer("substitutes", at, key), "The club has no such bait: choose another.")
        for at, pair in enumerate(content.substitutes)
        for key, bait in (("bait", pair.bait), ("instead", pair.instead))
        if bait not in baits
    ]


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


def _mixes_add(plan: Plan, *, content: PlanContent, baits: dict[str, Bait]) -> None:
    rows = Mix.objects.bulk_create(
        Mix(
            plan=plan,
            position=position,
            name=mix.name,
            rest_minutes=mix.rest_minutes,
            water_per_dry=_decimal(mix.water_per_dry),
            swell=_decimal(mix.swell),
            squeeze=_decimal(mix.squeeze),
            packing=_decimal(mix.packing),
            film_mm=_decimal(mix.film_mm),
        )
        for position, mix in enumerate(content.mixes, 1)
    )
    MixPart.objects.bulk_create(
        MixPart(
            mix=row,
            bait=baits[part.bait],
            amount=_decimal(part.amount),
            unit=part.unit,
            after_rest=part.after_rest,
        )
        for row, mix in zip(rows, content.mixes, strict=True)
        for part in mix.parts
    )


def _stages_add(plan: Plan, *, content: PlanContent, baits: dict[str, Bait]) -> None:
    mixes = {mix.name: mix for mix in plan.mixes.all()} if content.mixes else {}
    stages = Stage.objects.bulk_create(
        _stage_row(plan, stage=stage, position=position, mixes=mixes)
        for position, stage in enumerate(content.stages, 1)
    )
    StageFeed.objects.bulk_create(
        StageFeed(stage=row, bait=baits[feed.bait], amount=_decimal(feed.amount), unit=feed.unit)
        for row, stage in zip(stages, content.stages, strict=True)
        for feed in stage.planned.feeds
    )


def _stage_row(plan: Plan, *, stage: StageContent, position: int, mixes: dict[str, Mix]) -> Stage:
    planned, balls = stage.planned, stage.planned.balls
    return Stage(
        plan=plan,
        position=position,
        kind=planned.kind,
        line=planned.line,
        note=stage.note,
        start_minute=planned.start_minute,
        end_minute=planned.end_minute,
        every_seconds=planned.every_seconds,
        balls=None if balls is None else balls.count,
        ball_mm=None if balls is None else balls.mm,
        mix=None if balls is None else mixes[balls.mix],
    )


def _substitutes_replace(plan: Plan, *, content: PlanContent, baits: dict[str, Bait]) -> None:
    plan.substitutes.all().delete()
    PlanSubstitute.objects.bulk_create(
        PlanSubstitute(plan=plan, bait=baits[pair.bait], instead=baits[pair.instead])
        for pair in content.substitutes
    )


def _decimal(amount: Fraction) -> Decimal:
    """Exact: what was read has at most four places."""
    return Decimal(amount.numerator) / Decimal(amount.denominator)
