"""Plans: who may see and change one, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from bait.models import Bait, Plan, Stage, StageFeed
from bait.reckon.plans import BaitTotal, Feed, LimitUse, PlannedStage, limits_use, plan_totals
from matches.models import Entry, Match, Person
from matches.problems import Code, Problem
from matches.reads.access import is_captain, match_seen, own_entry

from .baits import bait_facts


def plans_with_stages() -> QuerySet[Plan]:
    """Plans with everything reckoning needs: three queries for any number of them."""
    feeds = StageFeed.objects.select_related("bait").order_by("bait__name", "bait__key")
    stages = Stage.objects.order_by("position").prefetch_related(Prefetch("feeds", queryset=feeds))
    return Plan.objects.prefetch_related(Prefetch("stages", queryset=stages))


def plan_of_entry(entry: Entry) -> Plan | None:
    return plans_with_stages().filter(entry=entry).first()


def last_plan_before(entry: Entry) -> Plan | None:
    """The same angler's latest plan for another match, to start from."""
    return (
        plans_with_stages()
        .filter(entry__angler_id=entry.angler_id)
        .exclude(entry=entry)
        .order_by("-entry__match__date", "-pk")
        .first()
    )


def own_entry_of(person: Person, *, match_id: int) -> Entry:
    """The person's own entry in a match. Raises Problem NOT_FOUND, with what to do."""
    match = match_seen(person, match_id=match_id)
    entry = own_entry(person, match=match)
    if entry is None:
        raise Problem(
            Code.NOT_FOUND,
            _("You are not entered in this match: ask your secretary to enter you first."),
        )
    return entry


def entry_for_plan(person: Person, *, match_id: int, entry_id: int) -> Entry:
    """An entry whose plan the person may write: their own, or one of a team they captain.

    Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    match = match_seen(person, match_id=match_id)
    entry = (
        Entry.objects.filter(match=match, pk=entry_id)
        .select_related("angler", "team", "match")
        .first()
    )
    if entry is None:
        raise Problem(Code.NOT_FOUND, _("No such entry in this match."))
    if not may_plan(person, entry=entry):
        raise Problem(Code.NOT_ALLOWED, _("A plan belongs to its angler and the team's captain."))
    return entry


def may_plan(person: Person, *, entry: Entry) -> bool:
    """The entry's own person, and who captains its team."""
    if entry.angler.person_id is not None and entry.angler.person_id == person.pk:
        return True
    return entry.team is not None and is_captain(person, team=entry.team)


def plan_stages(plan: Plan) -> tuple[PlannedStage, ...]:
    """The plan as reckoning takes it; expects its stages and feeds to be prefetched."""
    return tuple(
        PlannedStage(
            start_minute=stage.start_minute,
            end_minute=stage.end_minute,
            every_seconds=stage.every_seconds,
            feeds=tuple(
                Feed(feed.bait.key, Fraction(feed.amount), feed.unit) for feed in stage.feeds.all()
            ),
        )
        for stage in plan.stages.all()
    )


def plan_baits(plan: Plan) -> dict[str, Bait]:
    """The baits a plan uses, by key."""
    return {feed.bait.key: feed.bait for s in plan.stages.all() for feed in s.feeds.all()}


def plan_totals_of(plan: Plan) -> tuple[BaitTotal, ...]:
    """What the plan comes to. Raises BadInput where a bait changed so that it no longer fits."""
    facts = {key: bait_facts(bait) for key, bait in plan_baits(plan).items()}
    return plan_totals(plan_stages(plan), baits=facts, spare_percent=plan.spare_percent)


def plan_limits(
    totals: Iterable[BaitTotal], *, baits: dict[str, Bait], match: Match
) -> tuple[LimitUse, LimitUse]:
    """What the plan carries against the match's limits."""
    return limits_use(
        tuple(totals),
        baits={key: bait_facts(bait) for key, bait in baits.items()},
        groundbait_l=_litres(match.groundbait_limit_l),
        bait_l=_litres(match.bait_limit_l),
    )


def _litres(value: object) -> Fraction | None:
    return None if value is None else Fraction(str(value))
