"""One plan for several of a team: what there is to give, and who would get it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from bait.models import PlanTemplate
from matches.models import Entry, Match, Team
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read

from .phone import plan_json
from .plan_shown import PlanShown
from .plan_sources import Source, Sources, template_content
from .plans import plan_of_entry


@dataclass(frozen=True, slots=True)
class Taker:
    """One who may get it. `own` is whether a plan of theirs would be replaced."""

    entry: Entry
    version: int
    own: bool


def giving_takers(plans: Sequence[PlanShown]) -> list[Taker]:
    """Everybody of the team, by the order of `plans`."""
    return [
        Taker(shown.entry, shown.plan.version if shown.plan else 0, _holds_something(shown))
        for shown in plans
    ]


def _holds_something(shown: PlanShown) -> bool:
    whole = shown.whole
    return whole is not None and bool(whole.stages or whole.mixes or whole.plan.note)


def giving_sources(team: Team, *, plans: Sequence[PlanShown]) -> Sources:
    """The team's templates, and the plans of the match that hold something. One query."""
    templates = PlanTemplate.objects.filter(team=team).only("pk", "name")
    return Sources(
        plans=tuple(
            Source(f"plan-{shown.entry.pk}", shown.entry.angler.name)
            for shown in plans
            if _holds_something(shown)
        ),
        templates=tuple(Source(f"template-{row.pk}", row.name) for row in templates),
    )


def giving_content(team: Team, *, match: Match, key: str) -> dict[str, Any]:
    """What would be given: one of the team's templates, or the plan of one of the team.

    Raises Problem NOT_FOUND for what is not there, or not the team's.
    """
    kind, _dash, number = key.partition("-")
    at = digits_read(number) or 0
    content = None
    if kind == "template":
        content = template_content(team.pk, match=match, at=at)
    elif kind == "plan":
        content = _mate_content(team, match=match, at=at)
    if content is None:
        raise Problem(Code.NOT_FOUND, _("That plan is no longer there to give: choose another."))
    return content


def _mate_content(team: Team, *, match: Match, at: int) -> dict[str, Any] | None:
    mate = Entry.objects.filter(team=team, match=match, pk=at).first()
    plan = plan_of_entry(mate) if mate is not None else None
    return plan_json(plan) if plan is not None else None
