"""Plans: who may see and change one, and what it comes to."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _

from bait.models import Plan
from bait.reckon.plans import BaitTotal, plan_totals
from matches.models import Entry, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import DESK_ROLES, is_captain, match_seen, matches_of, memberships_of

from .baits import bait_facts
from .plan_whole import WholePlan, plans_whole


def plan_of_entry(entry: Entry) -> WholePlan | None:
    """One query."""
    return next(iter(plans_whole(Plan.objects.filter(entry=entry))), None)


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
        Entry.objects.filter(match__in=matches_of(person), match__pk=match_id, pk=entry_id)
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


def plan_totals_of(whole: WholePlan) -> tuple[BaitTotal, ...]:
    """What the plan comes to. Raises BadInput where a bait changed so that it no longer fits."""
    return plan_totals(
        whole.stages,
        baits={key: bait_facts(bait) for key, bait in whole.baits.items()},
        spare_percent=whole.plan.spare_percent,
        mixes=whole.mixes,
        throws=whole.throws,
    )
