"""A league's tables: numbered, never changed, each with what brought it on and what it changed."""

from __future__ import annotations

from typing import Any

from matches.models import Bulletin, League, LeagueTable, Person
from matches.reads.league_bodies import league_body, table_changes, table_said
from matches.reckon.canonical import canonical_digest

from .audit import audit_record
from .deliveries import league_table_tell


def league_tables_renew(person: Person, *, bulletin: Bulletin) -> list[LeagueTable]:
    """A new table of each league the bulletin's match is a round of, where it says something new.

    Call it in the transaction that publishes, behind the club's lock.
    """
    leagues = League.objects.filter(rounds__match=bulletin.match_id).select_related("club")
    because = {
        "kind": "bulletin",
        "match": bulletin.match.name,
        "slug": bulletin.match.slug,
        "bulletin": bulletin.number,
        "reason": bulletin.reason,
    }
    made = (
        league_table_make(person, league=league, because=because, bulletin=bulletin)
        for league in leagues
    )
    return [table for table in made if table is not None]


def league_table_make(
    person: Person, *, league: League, because: dict[str, Any], bulletin: Bulletin | None = None
) -> LeagueTable | None:
    """The league's next table, or None where it would say nothing new.

    The first needs a round that counts. Call it in the transaction of its cause, behind the
    club's lock; whose right that cause needs was checked there.
    """
    body = league_body(league)
    before = league.tables.order_by("-number").first()
    if before is None and not body["table"]:
        return None
    if before is not None and table_said(before.body) == table_said(body):
        return None
    body |= {
        "number": before.number + 1 if before else 1,
        "before": before.digest if before else None,
        "because": because,
        "changes": table_changes(before.body, body) if before else [],
    }
    table = LeagueTable.objects.create(
        league=league,
        number=body["number"],
        body=body,
        digest=canonical_digest(body),
        bulletin=bulletin,
        made_by=person,
    )
    audit_record(
        club=league.club,
        person=person,
        verb="league_table_make",
        subject=league,
        detail={"table": table.number, "digest": table.digest, "because": because},
    )
    league_table_tell(table)
    return table
