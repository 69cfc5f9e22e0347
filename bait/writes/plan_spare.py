"""The same spare for every plan of a team, in one go."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Order, Plan
from matches.models import Entry, EntryStatus, Match, Person, Team
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record
from matches.writes.page_marks import page_mark

from .orders import captain_check


def spares_mark(spares: Mapping[int, int]) -> str:
    """A mark of what spare the plans have, by entry: another one once any of it changed."""
    return page_mark({str(entry): str(percent) for entry, percent in spares.items()})


def plans_spare_set(
    person: Person, *, team: Team, match: Match, percent: int, mark: str = ""
) -> int:
    """Give every plan of the team's for the match this spare; how many changed.

    Each changed plan is a new version, so that whoever has it open is told. `mark`: of the spares
    that the person saw. Raises Problem NOT_ALLOWED, CONFLICT once the order is placed or where the
    spares are others by now, and BadInput for a percentage outside 0 to 100.
    """
    captain_check(person, team=team)
    if not 0 <= percent <= 100:
        raise BadInput(Fault("/percent", _("Take 0 to 100 percent spare.")))
    with transaction.atomic():
        held = list(
            Entry.objects.select_for_update()
            .filter(match=match, team=team, status=EntryStatus.ENTERED)
            .order_by("pk")
        )
        if Order.objects.filter(team=team, match=match, placed__isnull=False).exists():
            raise Problem(
                Code.CONFLICT,
                _("The order is placed already: change the spare in the plans one by one."),
            )
        every = list(Plan.objects.filter(entry__in=held))
        if mark and mark != spares_mark({plan.entry_id: plan.spare_percent for plan in every}):
            raise Problem(
                Code.CONFLICT,
                _(
                    "The spare in the plans was changed after you opened the page, and nothing is "
                    "changed now. Look at what they have, then press again."
                ),
            )
        plans = [plan for plan in every if plan.spare_percent != percent]
        for plan in plans:
            plan.spare_percent = percent
            plan.version += 1
            plan.changed_by = person
            plan.save()
        if plans:
            audit_record(
                club=match.club,
                person=person,
                verb="plans.spare_set",
                subject=f"match {match.pk} team {team.pk}",
                detail={"percent": percent, "plans": [plan.entry_id for plan in plans]},
            )
    return len(plans)
