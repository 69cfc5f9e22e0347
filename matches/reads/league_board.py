"""What is public of leagues: their tables, for anybody. No person is asked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Max, QuerySet
from django.utils.translation import gettext as _

from matches.models import Angler, Club, League, LeagueOf, LeagueTable
from matches.problems import Code, Problem


def leagues_published(club: Club) -> QuerySet[League]:
    """A club's leagues with a table, by name."""
    return (
        League.objects.filter(club=club, tables__isnull=False)
        .annotate(latest=Max("tables__number"))
        .order_by("name", "pk")
    )


def league_public(club_slug: str, slug: str) -> League:
    """A league with a table. Raises Problem NOT_FOUND."""
    league = (
        League.objects.filter(club__slug=club_slug, slug=slug, tables__isnull=False)
        .select_related("club")
        .first()
    )
    if league is None:
        raise Problem(Code.NOT_FOUND, _("No table of a league of that name has been published."))
    return league


def tables_of(league: League) -> list[dict[str, Any]]:
    """Every table without what stands in it, latest first: number, made_at, because."""
    return [
        {"number": number, "made_at": made_at, "because": because}
        for number, made_at, because in league.tables.order_by("-number").values_list(
            "number", "made_at", "body__because"
        )
    ]


def table_public(league: League, *, number: int | None = None) -> LeagueTable:
    """One table, or the latest. Raises Problem NOT_FOUND."""
    rows = league.tables.all() if number is None else league.tables.filter(number=number)
    found = rows.order_by("-number").first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("There is no such table: look at the latest one."))
    return found


def league_zone(league: League) -> str:
    """The zone its moments are shown in: that of the first round's venue."""
    zones = league.rounds.order_by("number").values_list("match__venue__timezone", flat=True)
    return zones.first() or "UTC"


def seasons_hidden(league: League, keys: Iterable[str]) -> set[str]:
    """Of the rows with these ids, those without a page of their own: juniors whose guardian gave
    no consent, and whoever the club's book does not hold."""
    of = set(keys)
    if league.of == LeagueOf.TEAMS:
        return {key for key in of if not key.isdigit()}
    shown = Angler.objects.filter(
        club=league.club_id, pk__in=[int(k) for k in of if k.isdigit()]
    ).exclude(junior=True, guardian_consents=False)
    return of - {str(pk) for pk in shown.values_list("pk", flat=True)}


def season_public(league: League, *, key: str) -> tuple[LeagueTable, dict[str, Any]]:
    """The latest table and one row of it. Raises Problem NOT_FOUND, also for who has no page."""
    table = table_public(league)
    row = next((r for r in table.body["table"] if r["id"] == key), None)
    if row is None or seasons_hidden(league, [key]):
        raise Problem(Code.NOT_FOUND, _("There is no page of that season: look at the table."))
    return table, row
