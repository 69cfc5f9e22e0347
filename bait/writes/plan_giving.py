"""A captain gives one plan to several of the team in one step, and takes it back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bait.reads.phone import plan_json
from bait.reads.plan_giving import giving_content
from bait.reads.plans import plan_of_entry
from matches.models import Entry, EntryStatus, Match, Person, Team
from matches.problems import Code, Problem
from matches.reads.access import is_captain
from matches.reckon.errors import BadInput
from matches.writes.audit import audit_record

from .plan_content import plan_content_parse
from .plans import plan_save

_NOTHING: dict[str, Any] = {"stages": []}


@dataclass(frozen=True, slots=True)
class Given:
    """An entry's new version, and the content that stood before it; None where none did."""

    entry_id: int
    name: str
    version: int
    before: dict[str, Any] | None


@dataclass(frozen=True, slots=True)
class PlansGiven:
    """Who has the plan now, and who was left out: the name, and why."""

    given: tuple[Given, ...]
    left_out: tuple[tuple[str, str], ...]


def plans_give(
    person: Person, *, team: Team, match: Match, key: str, seen: Mapping[int, int]
) -> PlansGiven:
    """Give what `key` names (`giving_content`) to the entries of `seen`, each with its rows of the
    trail; `seen` has the version of each one's plan that was looked at, 0 for none.

    Who saved another version meanwhile, or whose plan it cannot be, is left out. Raises Problem
    NOT_ALLOWED (not the team's captain) and NOT_FOUND (nothing of that key).
    """
    with transaction.atomic():
        given: list[Given] = []
        left_out: list[tuple[str, str]] = []
        entries = _entries(person, team=team, match=match, ids=list(seen))
        content = giving_content(team, match=match, key=key)
        for entry in entries:
            if key == f"plan-{entry.pk}":
                continue
            own = {**content, "version": seen[entry.pk]}
            _save(person, entry=entry, content=own, given=given, left_out=left_out)
        if given:
            audit_record(
                club=team.club,
                person=person,
                verb="plans.given",
                subject=f"team {team.pk}",
                detail={
                    "match": match.pk,
                    "plan": key,
                    "entries": len(given),
                    "replaced": sum(one.before is not None for one in given),
                },
            )
    return PlansGiven(tuple(given), tuple(left_out))


def plans_take_back(
    person: Person, *, team: Team, match: Match, given: Sequence[Given]
) -> PlansGiven:
    """Give each their plan of before; where there was none, an empty one. A plan that was changed
    since stays as it is. Raises Problem NOT_ALLOWED."""
    by_entry = {one.entry_id: one for one in given}
    with transaction.atomic():
        back: list[Given] = []
        left_out: list[tuple[str, str]] = []
        for entry in _entries(person, team=team, match=match, ids=list(by_entry)):
            one = by_entry[entry.pk]
            content = {**(one.before or _NOTHING), "version": one.version}
            _save(person, entry=entry, content=content, given=back, left_out=left_out)
        if back:
            audit_record(
                club=team.club,
                person=person,
                verb="plans.taken_back",
                subject=f"team {team.pk}",
                detail={"match": match.pk, "entries": len(back)},
            )
    return PlansGiven(tuple(back), tuple(left_out))


def _entries(person: Person, *, team: Team, match: Match, ids: list[int]) -> list[Entry]:
    """By their ids, so that two who give at once wait for each other in the same order."""
    if not is_captain(person, team=team):
        raise Problem(Code.NOT_ALLOWED, _("Only the team's captain gives a plan to several."))
    entries = Entry.objects.filter(
        match=match, team=team, status=EntryStatus.ENTERED, pk__in=ids
    ).select_related("angler", "team", "match__club")
    return list(entries.order_by("pk"))


def _save(
    person: Person,
    *,
    entry: Entry,
    content: dict[str, Any],
    given: list[Given],
    left_out: list[tuple[str, str]],
) -> None:
    name, stood = entry.angler.name, plan_of_entry(entry)
    before = plan_json(stood) if stood is not None else None
    try:
        plan = plan_save(person, entry=entry, content=plan_content_parse(content))
    except BadInput as bad:
        left_out.append((name, bad.faults[0].message))
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        left_out.append((name, _("the plan was changed meanwhile, and stays.")))
    else:
        given.append(Given(entry.pk, name, plan.version, before))
