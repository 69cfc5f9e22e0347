"""The next plan as a review has it: an earlier match's plan with what was learnt put into it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import OuterRef, Subquery
from django.utils.translation import gettext as _

from bait.models import Plan
from bait.reckon.review import Earlier, better_line, stage_earlier
from matches.models import Entry, MatchState
from matches.problems import Code, Problem

from .phone import plan_json
from .plan_sources import content_fit
from .review import Review, review_of


@dataclass(frozen=True, slots=True)
class Learnt:
    """The plan's content fitted to the new match, and what differs from the one before."""

    content: dict[str, Any]
    earlier: Earlier
    then: Entry


@dataclass(frozen=True, slots=True)
class NextPlan:
    """The angler's next match, and the version its plan has now (0: none yet)."""

    entry: Entry
    version: int


def review_learnt(review: Review) -> Earlier | None:
    """What the review changes in the plan it is of; None where it changes nothing."""
    found = better_line(review.day)
    if review.plan is None or found is None:
        return None
    minute = review.first_fished(found[0].name) // 60
    return stage_earlier(review.plan.stages, review.day, first_fished=minute)


def next_plan(entry: Entry) -> NextPlan | None:
    """The angler's first match after this one that is still to be fished. One query."""
    later = (
        Entry.objects.filter(angler=entry.angler_id, match__start_at__gt=entry.match.start_at)
        .exclude(pk=entry.pk)
        .filter(match__state__in=(MatchState.PLANNED, MatchState.DRAWN), match__called_off="")
        .select_related("match")
        .annotate(version=Subquery(Plan.objects.filter(entry=OuterRef("pk")).values("version")[:1]))
        .order_by("match__start_at", "pk")
        .first()
    )
    return None if later is None else NextPlan(later, later.version or 0)


def learnt_content(entry: Entry, *, at: int) -> Learnt:
    """What the review of the angler's entry `at` makes of its plan, for `entry`.

    Raises Problem NOT_FOUND where that match has no plan of the angler's or teaches nothing.
    """
    then = (
        Entry.objects.filter(angler=entry.angler_id, pk=at)
        .exclude(pk=entry.pk)
        .select_related("angler", "team", "match__club", "match__venue")
        .first()
    )
    review = review_of(then) if then is not None else None
    earlier = review_learnt(review) if review is not None else None
    if then is None or review is None or review.plan is None or earlier is None:
        raise Problem(
            Code.NOT_FOUND, _("That review changes nothing in the plan: choose another to start.")
        )
    raw = plan_json(review.plan)
    stages = [
        {**stage, "start_minute": earlier.now} if n == earlier.place else stage
        for n, stage in enumerate(raw["stages"])
    ]
    content = content_fit(
        {**raw, "stages": stages}, was=then.match.minutes, now=entry.match.minutes
    )
    return Learnt(content, earlier, then)
