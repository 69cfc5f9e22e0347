"""What a plan may start from: an earlier one, a team's template, what was really fed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from bait.models import Plan, PlanTemplate
from bait.reckon.fed import stages_fed
from bait.reckon.plans import PlannedStage, amount_text
from bait.reckon.spare import SPARE_USUAL
from matches.models import Entry, Fact, FactKind, Match
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read

from .fed import fed_notes
from .phone import plan_json
from .plan_whole import WholePlan, plans_whole
from .plans import plan_of_entry

EARLIER_MOST = 30
_NOTHING: dict[str, Any] = {
    "note": "",
    "spare_percent": SPARE_USUAL,
    "mixes": [],
    "stages": [],
    "substitutes": [],
}


@dataclass(frozen=True, slots=True)
class Source:
    """One thing to start from; `key` is "plan-12", "fed-12" (an entry) or "template-3"."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class Sources:
    """The angler's earlier plans and logged feed, newest first, and the team's templates."""

    plans: tuple[Source, ...] = ()
    fed: tuple[Source, ...] = ()
    templates: tuple[Source, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.plans or self.fed or self.templates)


def plan_sources(entry: Entry) -> Sources:
    """What the entry's plan may start from. Two queries. Call it for who may write the plan."""
    notes = Fact.objects.filter(
        match=OuterRef("match"), author=entry.angler.person_id, kind=FactKind.FEED_NOTE
    )
    earlier = (
        Entry.objects.filter(angler=entry.angler_id)
        .exclude(pk=entry.pk)
        .annotate(
            planned=Exists(Plan.objects.filter(entry=OuterRef("pk"))),
            fed=Exists(notes),
        )
        .select_related("match")
        .order_by("-match__date", "-pk")[:EARLIER_MOST]
    )
    named = [(e, f"{e.match.name}, {date_format(e.match.date, _('j M Y'))}") for e in earlier]
    return Sources(
        plans=tuple(Source(f"plan-{e.pk}", name) for e, name in named if e.planned),
        fed=tuple(Source(f"fed-{e.pk}", name) for e, name in named if e.fed),
        templates=tuple(
            Source(f"template-{row.pk}", row.name)
            for row in PlanTemplate.objects.filter(team=entry.team_id).only("pk", "name")
        )
        if entry.team_id is not None
        else (),
    )


def source_content(entry: Entry, *, key: str) -> dict[str, Any]:
    """The content behind a source's key, its stages fitted to the entry's match.

    "last" is the angler's latest other plan. Raises Problem NOT_FOUND for what the entry cannot
    start from.
    """
    kind, _dash, number = key.partition("-")
    at = digits_read(number) or 0
    content = None
    if kind == "last":
        latest = _other_plans(entry).order_by("-entry__match__date", "-pk")
        content = _plan_content(entry, plan=_whole(latest))
    elif kind == "plan":
        content = _plan_content(entry, plan=_whole(_other_plans(entry).filter(entry=at)))
    elif kind == "fed":
        content = _fed_content(entry, at=at)
    elif kind == "template":
        content = template_content(entry.team_id, match=entry.match, at=at)
    if content is None:
        raise Problem(Code.NOT_FOUND, _("That is no longer there to start from: choose another."))
    return content


def _other_plans(entry: Entry) -> QuerySet[Plan]:
    others = Plan.objects.filter(entry__angler=entry.angler_id).exclude(entry=entry.pk)
    return others.select_related("entry__match")


def _whole(plans: QuerySet[Plan]) -> WholePlan | None:
    """The first of them."""
    return next(iter(plans_whole(plans[:1])), None)


def _plan_content(entry: Entry, *, plan: WholePlan | None) -> dict[str, Any] | None:
    if plan is None:
        return None
    return content_fit(plan_json(plan), was=plan.plan.entry.match.minutes, now=entry.match.minutes)


def template_content(team_id: int | None, *, match: Match, at: int) -> dict[str, Any] | None:
    """What the team's template holds, its stages fitted to the match; None where it has no such."""
    row = PlanTemplate.objects.filter(team=team_id, pk=at).first()
    if row is None:
        return None
    ends = [stage["end_minute"] for stage in row.content["stages"]]
    return content_fit(row.content, was=max(ends, default=0), now=match.minutes)


def _fed_content(entry: Entry, *, at: int) -> dict[str, Any] | None:
    """Mixes, balls and hook baits as they were planned for that match; loose feed as logged."""
    then = (
        Entry.objects.filter(angler=entry.angler_id, pk=at)
        .exclude(pk=entry.pk)
        .select_related("match", "angler")
        .first()
    )
    notes = fed_notes(then) if then is not None else ()
    if then is None or not notes:
        return None
    plan = plan_of_entry(then)
    planned = _NOTHING if plan is None else plan_json(plan)
    kept = {
        n: stage
        for n, stage in enumerate(planned["stages"])
        if stage["balls"] or stage["kind"] == "hook"
    }
    fed = stages_fed([note for note in notes if note.stage not in kept])
    logged = [_stage_json(stage) for stage in fed]
    balls = [stage for stage in kept.values() if stage["balls"]]
    hooks = [stage for stage in kept.values() if not stage["balls"]]
    content = {**planned, "stages": [*balls, *logged, *hooks]}
    return content_fit(content, was=then.match.minutes, now=entry.match.minutes)


def _stage_json(stage: PlannedStage) -> dict[str, Any]:
    return {
        "kind": stage.kind,
        "line": stage.line,
        "start_minute": stage.start_minute,
        "end_minute": stage.end_minute,
        "every_seconds": stage.every_seconds,
        "note": "",
        "balls": None,
        "feeds": [
            {"bait": feed.bait, "amount": amount_text(feed.amount), "unit": feed.unit}
            for feed in stage.feeds
        ],
    }


def content_fit(content: Mapping[str, Any], *, was: int, now: int) -> dict[str, Any]:
    """The content with stages that ended with a match of `was` minutes ending with one of `now`,
    and none going on after it."""
    stages = []
    for stage in content["stages"]:
        start, end = stage.get("start_minute", 0), stage["end_minute"]
        end = now if end == was or end > now else end
        stages.append({**stage, "start_minute": min(start, end), "end_minute": end})
    return {**content, "stages": stages}
