"""The trail of who changed what."""

from __future__ import annotations

from typing import Any

from matches.models import AuditEntry, Club, Person


def audit_record(
    *, club: Club, person: Person | None, verb: str, subject: object, detail: dict[str, Any]
) -> AuditEntry:
    """Write one line of the trail; call it inside the transaction of the change."""
    return AuditEntry.objects.create(
        club=club, person=person, verb=verb, subject=str(subject)[:200], detail=detail
    )
