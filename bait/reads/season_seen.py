"""What a person may read of their team's season."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from bait.models import Bait, SeasonAnswer
from matches.models import (
    Angler,
    AuditEntry,
    Bulletin,
    Entry,
    Fact,
    FactKind,
    Match,
    Person,
    Team,
    WorkRequest,
)
from matches.problems import Code, Problem
from matches.reads.access import captained_teams, clubs_of, matches_of

from .fed import DAY_KINDS

SEASON_WORK = "bait.tasks.season_work_out"
#: From fewer anglers' notes together a member could make out a mate's: these are the captain's.
LEAST_ANGLERS: Final = 3
CALLED: Final = ("match_call_off", "match_call_back")


@dataclass(frozen=True, slots=True)
class LeftOutDay:
    """A day that was not reckoned with, of one angler in one match."""

    match: Match
    angler: Angler
    why: str


@dataclass(frozen=True, slots=True)
class SeasonSeen:
    """The newest answer of a team, as the person may read it, and the latest work on another.

    `all_days`: they read whose days were left out, and what stands on few anglers; others read
    that of their own days (`left_out`), and how many there are of each reason (`reasons`).
    `newer`: notes or results have come since. `published`: there is something to work out.
    """

    team: Team
    all_days: bool
    answer: SeasonAnswer | None
    work: WorkRequest | None
    newer: bool
    published: bool
    effects: tuple[Mapping[str, Any], ...]
    kept_back: int
    left_out: tuple[LeftOutDay, ...]
    reasons: Mapping[str, int]
    names: Mapping[str, str]


def season_team(person: Person, *, team_id: int) -> tuple[Team, bool]:
    """A team whose season the person may read, and whether as its captain or secretary.

    The rule is that of reviews: a member reads of their own days, the captain of everybody's.
    Raises Problem NOT_FOUND, or NOT_ALLOWED for another team of the person's clubs.
    """
    team = captained_teams(person).filter(pk=team_id).first()
    if team is not None:
        return team, True
    team = Team.objects.filter(pk=team_id, club__in=clubs_of(person)).select_related("club").first()
    if team is None:
        raise Problem(Code.NOT_FOUND, _("No such team in your clubs."))
    if not Angler.objects.filter(team=team, person=person.pk).exists():
        raise Problem(Code.NOT_ALLOWED, _("A team's season is for its members to read."))
    return team, False


def season_seen(person: Person, *, team_id: int) -> SeasonSeen:
    """Raises as `season_team`. The number of queries does not depend on how much was noted."""
    team, all_days = season_team(person, team_id=team_id)
    answer = SeasonAnswer.objects.filter(team=team).first()
    body = answer.answer if answer else {"effects": [], "left_out": []}
    few = [] if all_days else [e for e in body["effects"] if e["anglers"] < LEAST_ANGLERS]
    return SeasonSeen(
        team=team,
        all_days=all_days,
        answer=answer,
        work=season_work(team),
        newer=answer is not None and _is_newer(team, answer=answer),
        published=answer is not None or _results(team).exists(),
        effects=tuple(e for e in body["effects"] if e not in few),
        kept_back=len(few),
        left_out=_left_out(person, body["left_out"], all_days=all_days),
        reasons=_counts(body["left_out"]),
        names=dict(Bait.objects.filter(club=team.club_id).values_list("key", "name")),
    )


def season_work(team: Team) -> WorkRequest | None:
    """The latest work on this team's season."""
    return (
        WorkRequest.objects.filter(kind=SEASON_WORK, key=str(team.pk)).order_by("-asked_at").first()
    )


def season_stands(team: Team) -> bool:
    """Whether there is an answer, and no note or result came since it was read."""
    answer = SeasonAnswer.objects.filter(team=team).first()
    return answer is not None and not _is_newer(team, answer=answer)


def _results(team: Team) -> QuerySet[Bulletin]:
    """The bulletins of every match that the team was entered in."""
    return Bulletin.objects.filter(match__in=Entry.objects.filter(team=team).values("match"))


def _is_newer(team: Team, *, answer: SeasonAnswer) -> bool:
    """Whether a note of a published match or a result came, or one was called off or back, since it
    was read. Three queries."""
    entered = Entry.objects.filter(team=team)
    results = _results(team)
    if results.filter(published_at__gt=answer.read_at).exists():
        return True
    called = AuditEntry.objects.filter(club=team.club_id, verb__in=CALLED, at__gt=answer.read_at)
    pks = list(called.values_list("detail__match", flat=True))
    if pks and results.filter(match__in=pks).exists():
        return True
    since = Q(received_at__gt=answer.read_at, match__in=results.values("match"))
    people = entered.filter(angler__person__isnull=False).values("angler__person")
    kinds = (*DAY_KINDS, FactKind.SCRATCH)
    return Fact.objects.filter(since, kind__in=kinds, author__in=people).exists()


def _left_out(
    person: Person, rows: list[dict[str, str]], *, all_days: bool
) -> tuple[LeftOutDay, ...]:
    """The newest first; matches and anglers that are gone are left out."""
    anglers = {str(a.pk): a for a in Angler.objects.filter(pk__in={row["angler"] for row in rows})}
    matches = {
        str(m.pk): m for m in matches_of(person).filter(pk__in={row["match"] for row in rows})
    }
    days = [
        LeftOutDay(matches[row["match"]], anglers[row["angler"]], row["why"])
        for row in rows
        if row["match"] in matches and row["angler"] in anglers
    ]
    mine = [day for day in days if all_days or day.angler.person_id == person.pk]
    mine.sort(key=lambda day: day.angler.name)
    return tuple(sorted(mine, key=lambda day: day.match.start_at, reverse=True))


def _counts(rows: list[dict[str, str]]) -> dict[str, int]:
    """How many days each reason left out, the most first."""
    every = [row["why"] for row in rows]
    return {why: every.count(why) for why in sorted(set(every), key=lambda w: (-every.count(w), w))}
