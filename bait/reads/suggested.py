"""The plan suggested to an entry of a match to come, and what it was made from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from django.db.models import Q

from bait.models import Bait, Plan
from bait.reckon.plans import FEED, HOOK, MIX, Feed, PlannedMix, feed_amount, plan_totals
from bait.reckon.review import Earlier
from bait.reckon.spare import Spare
from bait.reckon.suggest import (
    USUAL_CELSIUS_TENTHS,
    USUAL_CM_S,
    Ask,
    Known,
    Lines,
    Record,
    Suggestion,
    records_for_member,
    suggest,
    warmth_of,
)
from bait.reckon.suggest.request import FED, GIVEN, HOOKED, LOAD, MEASURED, PLAN, REVIEW, USUAL
from matches.models import FISHING, Entry, EntryStatus, Fact, FactKind, Match, Person
from matches.reads.access import captained_teams
from matches.reads.water_before import WaterMeasured, water_measured
from matches.reckon.errors import BadInput

from .bags_back import BagBack, bags_back
from .baits import bait_facts, baits_of_club
from .learnt import review_learnt
from .limits import match_rules
from .phone import mixes_json, stages_json
from .plan_whole import WholePlan, plans_whole
from .review import review_of
from .season_seen import LEAST_ANGLERS
from .spare import orders_before, spare_learnt

#: So many earlier plans at most are looked at, and the reviews of so many.
PLANS_READ = 120
REVIEWS_READ = 4
_USES = {MIX: LOAD, FEED: FED, HOOK: HOOKED}


@dataclass(frozen=True, slots=True)
class Suggested:
    """`learnt` is what a review brought in, of the match `then`; `plans` were looked at."""

    entry: Entry
    ask: Ask
    suggestion: Suggestion
    spare: Spare
    learnt: tuple[Earlier, Match] | None
    baits: Mapping[str, Bait]
    plans: int

    def content(self) -> dict[str, Any]:
        """As a plan's content, without a note."""
        return {
            "note": "",
            "spare_percent": self.ask.spare_percent,
            "mixes": mixes_json(self.suggestion.mixes, baits=self.baits),
            "stages": stages_json(self.suggestion.stages, baits=self.baits),
            "substitutes": [],
        }


def plan_suggested(
    person: Person, *, entry: Entry, celsius_tenths: int | None = None, cm_s: int | None = None
) -> Suggested:
    """A plan for the entry, from its match's limits and time of year, the plans and bags of the
    angler and the team, and the water: as given, else as measured, else as is usual.

    Call it for who may write the entry's plan. The number of queries does not grow with records.
    """
    match = entry.match
    water = water_measured(person, entry=entry)
    plans = _plans_before(entry)
    bags = list(_bags(entry))
    baits = _preferred(baits_of_club(match.club_id), plans=plans)
    own = [plan for plan in plans if plan.plan.entry.angler_id == entry.angler_id]
    own.sort(key=lambda plan: plan.plan.entry.match.venue_id != match.venue_id)
    lines, learnt = _lines(own, entry=entry)
    spare = spare_learnt(bags)
    ask = Ask(
        minutes=match.minutes,
        celsius_tenths=_warmth(water, match=match, given=celsius_tenths),
        cm_s=_flow(water, given=cm_s),
        baits={key: bait_facts(bait) for key, bait in baits.items()},
        rules=match_rules(match),
        spare_percent=spare.percent,
        records=_records_for(person, _records(plans, entry=entry, bags=bags, water=water), entry),
        lines=lines,
        mix=next((mix for plan in own if (mix := _mix_own(plan))), None),
    )
    return Suggested(entry, ask, suggest(ask), spare, learnt, baits, len(plans))


def _plans_before(entry: Entry) -> list[WholePlan]:
    """Plans of the angler and the team for matches before this one, newest first. One query."""
    whose = Q(entry__angler=entry.angler_id)
    if entry.team_id is not None:
        whose |= Q(entry__team=entry.team_id)
    fished = Plan.objects.filter(
        whose,
        entry__match__club=entry.match.club_id,
        entry__match__start_at__lt=entry.match.start_at,
        entry__match__called_off="",
        entry__status__in=FISHING,
    ).exclude(entry__status=EntryStatus.ABSENT)
    newest = fished.exclude(entry=entry.pk).select_related(
        "entry__match__venue", "entry__match__club", "entry__team"
    )
    return plans_whole(newest.order_by("-entry__match__start_at", "-pk")[:PLANS_READ])


def _bags(entry: Entry) -> Iterable[BagBack]:
    if entry.team is None:
        return ()
    return bags_back(entry.team, orders=orders_before(entry.team, match=entry.match))


def _preferred(baits: Mapping[str, Bait], *, plans: Sequence[WholePlan]) -> dict[str, Bait]:
    """What was planned most often first; then by name."""
    many = Counter(key for plan in plans for key in plan.baits)
    return {key: baits[key] for key in sorted(baits, key=lambda key: -many[key])}


def _mix_own(plan: WholePlan) -> PlannedMix | None:
    """The plan's first mix with its parts in the baits' own units; None where one does not fit."""
    if not plan.mixes:
        return None
    facts = {key: bait_facts(bait) for key, bait in plan.baits.items()}
    try:
        parts = tuple(
            replace(
                part,
                amount=feed_amount(
                    Feed(part.bait, part.amount, part.unit), baits=facts, throws=plan.throws
                ),
                unit=facts[part.bait].unit,
            )
            for part in plan.mixes[0].parts
        )
    except BadInput:
        return None
    return replace(plan.mixes[0], parts=parts)


def _lines(
    own: Sequence[WholePlan], *, entry: Entry
) -> tuple[Lines | None, tuple[Earlier, Match] | None]:
    """The lines of the angler's plan, one for this venue first; as its review has them, where one
    teaches something."""
    planned = [(plan, lines) for plan in own if (lines := _lines_planned(plan))]
    noted = _matches_noted(entry)
    reviewed = [one for one in planned if one[0].plan.entry.match_id in noted]
    for plan, lines in reviewed[:REVIEWS_READ]:
        earlier = review_learnt(review_of(plan.plan.entry))
        if earlier is not None and plan.stages[earlier.place].line == lines.second:
            learnt = replace(lines, minute=earlier.now, by=REVIEW)
            return learnt, (earlier, plan.plan.entry.match)
    return (planned[0][1] if planned else None), None


def _matches_noted(entry: Entry) -> set[int]:
    """Where the angler noted fish. One query."""
    if entry.angler.person_id is None:
        return set()
    noted = Fact.objects.filter(
        author=entry.angler.person_id, club=entry.match.club_id, kind=FactKind.FISH_NOTE
    )
    return set(noted.order_by().values_list("match_id", flat=True).distinct())


def _lines_planned(plan: WholePlan) -> Lines | None:
    """The first line of the plan that is fed, and the next one with its minute."""
    fed = [stage for stage in plan.stages if stage.kind != HOOK and stage.line]
    if not fed:
        return None
    first, name = fed[0].line, plan.plan.entry.match.name
    second = next((s for s in fed if s.line != first and s.start_minute > 0), None)
    if second is None:
        return Lines(first, by=PLAN, match=name)
    return Lines(first, second.line, second.start_minute, by=PLAN, match=name)


def _warmth(water: WaterMeasured, *, match: Match, given: int | None) -> Known:
    if given is not None:
        return Known(given, GIVEN)
    if water.celsius_tenths is not None:
        return Known(water.celsius_tenths, MEASURED, water.celsius_times)
    return Known(USUAL_CELSIUS_TENTHS[match.date.month - 1], USUAL)


def _flow(water: WaterMeasured, *, given: int | None) -> Known:
    if given is not None:
        return Known(given, GIVEN)
    if water.cm_s is not None:
        return Known(water.cm_s, MEASURED, water.cm_s_times)
    return Known(USUAL_CM_S, USUAL)


def _records_for(person: Person, records: Iterable[Record], entry: Entry) -> tuple[Record, ...]:
    """All to the team's captain, or where there is no team; one query."""
    every = tuple(records)
    if entry.team is None or captained_teams(person).filter(pk=entry.team.pk).exists():
        return every
    return tuple(records_for_member(every, least=LEAST_ANGLERS))


def _records(
    plans: Sequence[WholePlan], *, entry: Entry, bags: Sequence[BagBack], water: WaterMeasured
) -> Iterable[Record]:
    shares = {(bag.match, bag.member, bag.bait): bag.share for bag in bags}
    for plan in plans:
        used = _used(plan, shares=shares)
        if used:
            then = plan.plan.entry
            tenths = water.by_match.get(
                then.match_id, USUAL_CELSIUS_TENTHS[then.match.date.month - 1]
            )
            balls = next((stage.balls for stage in plan.stages if stage.balls), None)
            yield Record(
                match=then.match_id,
                angler=then.angler_id,
                own=then.angler_id == entry.angler_id,
                here=then.match.venue_id == entry.match.venue_id,
                warmth=warmth_of(tenths),
                minutes=then.match.minutes,
                used=used,
                told=any((then.match_id, str(then.angler_id), bait) in shares for bait, _u in used),
                balls=(balls.count, balls.mm) if balls else None,
            )


def _used(
    plan: WholePlan, *, shares: Mapping[tuple[int, str, str], Fraction]
) -> dict[tuple[str, str], Fraction]:
    """By bait and use: as planned, less what came back. Nothing of a plan that no longer adds
    up."""
    then = plan.plan.entry
    facts = {key: bait_facts(bait) for key, bait in plan.baits.items()}
    try:
        totals = plan_totals(plan.stages, baits=facts, spare_percent=0, throws=plan.throws)
    except BadInput:
        return {}
    return {
        (total.bait, _USES[use]): amount
        * shares.get((then.match_id, str(then.angler_id), total.bait), Fraction(1))
        for total in totals
        for use, amount in total.uses.items()
        if amount
    }
