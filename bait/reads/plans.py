"""Plans: who may see and change one, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, prefetch_related_objects
from django.utils.translation import gettext as _

from bait.models import Bait, Mix, MixPart, Plan, PlanSubstitute, Stage, StageFeed, ThrowSize
from bait.reckon.plans import (
    BaitTotal,
    Balls,
    Feed,
    PlannedMix,
    PlannedStage,
    Throws,
    plan_totals,
)
from bait.reckon.plans import MixPart as PlannedPart
from matches.models import Entry, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import DESK_ROLES, is_captain, match_seen, matches_of, memberships_of

from .baits import bait_facts


def plans_with_stages() -> QuerySet[Plan]:
    """Plans with everything reckoning needs: seven queries for any number of them."""
    return Plan.objects.select_related("entry__angler").prefetch_related(*_eaten(), _substitutes())


def plans_fill(plans: Iterable[Plan], *, substitutes: bool = False) -> None:
    """Fetch with plans what they come to, and what is taken instead where that is asked for.

    What is there already is not fetched again: five queries and one, for any number of plans.
    """
    wanted = (*_eaten(), _substitutes()) if substitutes else _eaten()
    prefetch_related_objects(list(plans), *wanted)


def _eaten() -> tuple[Prefetch[str], ...]:
    feeds = StageFeed.objects.select_related("bait").order_by("bait__name", "bait__key")
    stages = Stage.objects.order_by("position").select_related("mix")
    parts = MixPart.objects.select_related("bait").order_by("after_rest", "pk")
    mixes = Mix.objects.order_by("position")
    throws = ThrowSize.objects.select_related("bait").order_by("pk")
    return (
        Prefetch("stages", queryset=stages.prefetch_related(Prefetch("feeds", queryset=feeds))),
        Prefetch("mixes", queryset=mixes.prefetch_related(Prefetch("parts", queryset=parts))),
        Prefetch("entry__angler__throw_sizes", queryset=throws),
    )


def _substitutes() -> Prefetch[str]:
    return Prefetch(
        "substitutes", queryset=PlanSubstitute.objects.select_related("bait", "instead")
    )


def plan_of_entry(entry: Entry) -> Plan | None:
    return plans_with_stages().filter(entry=entry).first()


def own_entry_of(person: Person, *, match_id: int) -> Entry:
    """The person's own entry in a match. Raises Problem NOT_FOUND, with what to do.

    One query where there is one.
    """
    entry = (
        Entry.objects.filter(match__in=matches_of(person).filter(pk=match_id))
        .filter(angler__person=person.pk)
        .select_related("angler", "team", "match__club", "match__venue")
        .first()
    )
    if entry is None:
        match_seen(person, match_id=match_id)  # says so where there is no such match
        raise Problem(
            Code.NOT_FOUND,
            _("You are not entered in this match: ask your secretary to enter you first."),
        )
    return entry


def entry_for_plan(person: Person, *, match_id: int, entry_id: int) -> Entry:
    """An entry whose plan the person may write: their own, or one of a team they captain.

    One query where there is one. Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    captains = (
        memberships_of(person)
        .filter(club=OuterRef("team__club"))
        .filter(Q(role=Role.CAPTAIN, team=OuterRef("team")) | Q(role__in=DESK_ROLES))
    )
    entry = (
        Entry.objects.filter(match__in=matches_of(person), match=match_id, pk=entry_id)
        .select_related("angler", "team", "match__club", "match__venue")
        .annotate(captained=Exists(captains))
        .first()
    )
    if entry is None:
        match_seen(person, match_id=match_id)  # says so where there is no such match
        raise Problem(Code.NOT_FOUND, _("No such entry in this match."))
    if not entry.captained and entry.angler.person_id != person.pk:
        raise Problem(Code.NOT_ALLOWED, _("A plan belongs to its angler and the team's captain."))
    return entry


def may_plan(person: Person, *, entry: Entry) -> bool:
    """The entry's own person, and who captains its team."""
    if entry.angler.person_id is not None and entry.angler.person_id == person.pk:
        return True
    return entry.team is not None and is_captain(person, team=entry.team)


def plan_stages(plan: Plan) -> tuple[PlannedStage, ...]:
    """The plan's stages as reckoning takes them; expects a plan of `plans_with_stages`."""
    return tuple(
        PlannedStage(
            start_minute=stage.start_minute,
            end_minute=stage.end_minute,
            every_seconds=stage.every_seconds,
            feeds=tuple(
                Feed(feed.bait.key, Fraction(feed.amount), feed.unit) for feed in stage.feeds.all()
            ),
            kind=stage.kind,
            line=stage.line,
            balls=_balls(stage),
        )
        for stage in plan.stages.all()
    )


def _balls(stage: Stage) -> Balls | None:
    if stage.balls is None or stage.ball_mm is None or stage.mix is None:
        return None
    return Balls(count=stage.balls, mm=stage.ball_mm, mix=stage.mix.name)


def plan_mixes(plan: Plan) -> tuple[PlannedMix, ...]:
    """The plan's mixes as reckoning takes them, in their order."""
    return tuple(
        PlannedMix(
            name=mix.name,
            parts=tuple(
                PlannedPart(part.bait.key, Fraction(part.amount), part.unit, part.after_rest)
                for part in mix.parts.all()
            ),
            rest_minutes=mix.rest_minutes,
            water_per_dry=Fraction(mix.water_per_dry),
            swell=Fraction(mix.swell),
            squeeze=Fraction(mix.squeeze),
            packing=Fraction(mix.packing),
            film_mm=Fraction(mix.film_mm),
        )
        for mix in plan.mixes.all()
    )


def plan_throws(plan: Plan) -> Throws:
    """Millilitres of the throws the plan's angler has measured; the others are `THROW_ML`."""
    return throws_of(plan.entry.angler.throw_sizes.all())


def throws_of(sizes: Iterable[ThrowSize]) -> Throws:
    """Measured throws as reckoning takes them; expects their baits to be there."""
    return {(size.throw, size.bait.key if size.bait else None): Fraction(size.ml) for size in sizes}


def angler_throws(angler_id: int) -> Throws:
    """The throws an angler has measured. One query."""
    return throws_of(ThrowSize.objects.filter(angler=angler_id).select_related("bait"))


def plan_substitutes(plan: Plan) -> dict[str, Bait]:
    """What the member takes instead, by the key of the bait that cannot be had."""
    return {pair.bait.key: pair.instead for pair in plan.substitutes.all()}


def plan_baits(plan: Plan) -> dict[str, Bait]:
    """The baits a plan mixes, feeds or hooks, by key."""
    mixed = {part.bait.key: part.bait for mix in plan.mixes.all() for part in mix.parts.all()}
    return mixed | {feed.bait.key: feed.bait for s in plan.stages.all() for feed in s.feeds.all()}


def plan_totals_of(plan: Plan) -> tuple[BaitTotal, ...]:
    """What the plan comes to. Raises BadInput where a bait changed so that it no longer fits."""
    return plan_totals(
        plan_stages(plan),
        baits={key: bait_facts(bait) for key, bait in plan_baits(plan).items()},
        spare_percent=plan.spare_percent,
        mixes=plan_mixes(plan),
        throws=plan_throws(plan),
    )
