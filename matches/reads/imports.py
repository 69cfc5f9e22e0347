"""Files that wait for their import, each its sender's alone."""

from __future__ import annotations

import datetime as dt
from typing import Final
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Club, ImportColumns, ImportFile, Person
from matches.problems import Code, Problem

KEPT_FOR: Final = dt.timedelta(days=1)


def import_file_of(person: Person, *, club: Club, file_id: UUID, lock: bool = False) -> ImportFile:
    """A file the person sent for that club within a day. Raises Problem NOT_FOUND."""
    rows = ImportFile.objects.filter(
        person=person, club=club, pk=file_id, kept_at__gte=timezone.now() - KEPT_FOR
    )
    found = (rows.select_for_update() if lock else rows).first()
    if found is None:
        raise Problem(
            Code.NOT_FOUND, _("A file is kept for a day, for who sent it: choose it again.")
        )
    return found


def columns_remembered(club: Club, *, kind: str, heads: str) -> dict[str, int] | None:
    """How the club last read a file of that kind with these heads (their digest)."""
    row = ImportColumns.objects.filter(club=club, kind=kind, heads=heads).first()
    return dict(row.columns) if row else None
