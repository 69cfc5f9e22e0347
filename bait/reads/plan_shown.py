"""A plan with what it comes to, as pages and the API show it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bait.models import Bait, Plan
from bait.reckon.limits import LimitRule, LimitUse
from bait.reckon.plans import BaitTotal
from matches.models import Entry, EntryStatus, Match, Team
from matches.reckon.errors import BadInput, Fault

from .limit_bars import LimitsShown, limits_shown
from .limits import match_rules, plan_limits
from .plan_whole import WholePlan, plans_whole
from .plans import plan_of_entry, plan_totals_of


@dataclass(frozen=True, slots=True)
class PlanShown:
    """One entry's plan, or that there is none. `faults` say why it cannot be added up."""

    entry: Entry
    whole: WholePlan | None
    baits: Mapping[str, Bait]
    totals: tuple[BaitTotal, ...]
    limits: tuple[LimitUse, ...]
    faults: tuple[Fault, ...]

    @property
    def plan(self) -> Plan | None:
        return self.whole.plan if self.whole else None

    @property
    def over(self) -> bool:
        return any(use.within is False for use in self.limits)

    @property
    def unjudged(self) -> bool:
        """Whether some bait cannot be held against a limit there is."""
        return any(use.unjudged for use in self.limits if use.allowed_l is not None)

    @property
    def bars(self) -> LimitsShown:
        """The limits as bars, with what to leave out to fit."""
        spare = self.plan.spare_percent if self.plan else 0
        return limits_shown(self.limits, baits=self.baits, spare_percent=spare)

    @property
    def empty(self) -> bool:
        """Whether the member asks for nothing yet."""
        return self.plan is None or not self.baits


def plan_shown(entry: Entry, *, match: Match) -> PlanShown:
    """The entry's plan: two queries, however long it is."""
    return _shown(entry, whole=plan_of_entry(entry), rules=match_rules(match))


def team_plans(team: Team, *, match: Match) -> list[PlanShown]:
    """The plans of a team's entries that will fish, by name: three queries for any number."""
    entries = list(
        Entry.objects.filter(match=match, team=team, status=EntryStatus.ENTERED)
        .select_related("angler")
        .order_by("angler__name", "angler_id")
    )
    plans = {w.plan.entry_id: w for w in plans_whole(Plan.objects.filter(entry__in=entries))}
    rules = match_rules(match)
    return [_shown(entry, whole=plans.get(entry.pk), rules=rules) for entry in entries]


def _shown(entry: Entry, *, whole: WholePlan | None, rules: tuple[LimitRule, ...]) -> PlanShown:
    if whole is None:
        return PlanShown(entry, None, {}, (), (), ())
    try:
        totals = plan_totals_of(whole)
    except BadInput as bad:
        return PlanShown(entry, whole, whole.baits, (), (), bad.faults)
    limits = plan_limits(
        totals, baits=whole.baits, rules=rules, mixes=whole.mixes, throws=whole.throws
    )
    return PlanShown(entry, whole, whole.baits, totals, limits, ())
