"""The trail of who changed what."""

from __future__ import annotations

import json
import secrets
from typing import Any, Final

from django.db import connection, transaction
from django.utils import timezone

from matches.models import AuditEntry, Club, Person, TrailHead
from matches.reads.trail import chain_of, trail_row
from matches.reckon.trail import row_digest, said_digest

#: Letters of a reason that somebody gives, and rows of a file that one line names.
REASON_MOST: Final = 200
TOLD_MOST: Final = 200


def audit_record(
    *, club: Club | None, person: Person | None, verb: str, subject: object, detail: dict[str, Any]
) -> AuditEntry:
    """Write one line of the trail; call it inside the transaction of the change.

    The line follows the club's last, whose chain is locked from here to the end of the transaction:
    call it after whatever else the change has to lock.
    """
    with transaction.atomic(savepoint=False):
        chain = chain_of(club.pk if club else None)
        _referred_lock(club, person)
        length, before = _head_lock(chain)
        entry = AuditEntry(
            club=club,
            person=person,
            verb=verb,
            subject=str(subject)[:200],
            detail=json.loads(json.dumps(detail)),
            at=timezone.now(),
            number=length,
            salt=secrets.token_hex(16),
        )
        entry.said = said_digest(salt=entry.salt, subject=entry.subject, detail=entry.detail)
        entry.digest = row_digest(trail_row(entry), before=before)
        entry.save(force_insert=True)
        TrailHead.objects.filter(pk=chain).update(digest=entry.digest)
        return entry


def _referred_lock(club: Club | None, person: Person | None) -> None:
    """Have PostgreSQL lock now what it would look for at the commit: rows that others point to.

    Until then it waits with that, and would ask for a club's row while the end of its trail is
    held, when somebody who holds the club waits for that end: neither could go on.
    """
    if connection.vendor != "postgresql":
        return
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE; SET CONSTRAINTS ALL DEFERRED")
        for table, row in (("matches_club", club), ("matches_person", person)):
            if row is not None:
                cursor.execute(f"SELECT 1 FROM {table} WHERE id = %s FOR KEY SHARE", [row.pk])


def _head_lock(chain: int) -> tuple[int, str]:
    """Count one more row of the chain and lock its end until the transaction ends: the row's
    number, and the digest it follows. One statement on both databases, the first row's too."""
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO matches_trailhead (chain, length, digest) VALUES (%s, 1, '')"
            " ON CONFLICT (chain) DO UPDATE SET length = matches_trailhead.length + 1"
            " RETURNING length, digest",
            [chain],
        )
        length, digest = cursor.fetchone()
    return int(length), str(digest)
