"""Files kept between the look at them and their import, and how a club's files are read."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any, Final

from django.db import transaction
from django.utils import timezone

from matches.models import Club, ImportColumns, ImportFile, Person
from matches.reads.imports import KEPT_FOR

#: Of one person at once: the oldest goes when one more comes.
KEPT_MOST: Final = 20


def import_file_keep(
    person: Person,
    *,
    club: Club,
    kind: str,
    about: str,
    name: str,
    raw: bytes,
    columns: Mapping[str, int],
) -> ImportFile:
    """Keep a file for its sender until tomorrow, in place of the same file sent before. Check
    first that the person may import it."""
    digest = hashlib.sha256(raw).hexdigest()
    with transaction.atomic():
        import_files_sweep()
        same = {"person": person, "club": club, "kind": kind, "about": about, "digest": digest}
        ImportFile.objects.filter(**same, done__isnull=True).delete()
        held = ImportFile.objects.filter(person=person).order_by("-kept_at")
        over = list(held.values_list("pk", flat=True)[KEPT_MOST - 1 :])
        ImportFile.objects.filter(pk__in=over).delete()
        return ImportFile.objects.create(
            **same,
            name=name,
            raw=raw,
            columns=dict(columns),
            kept_at=timezone.now(),
        )


def import_columns_choose(file: ImportFile, *, columns: Mapping[str, int]) -> None:
    """Read the kept file's columns so."""
    file.columns = dict(columns)
    file.save(update_fields=["columns"])


def import_file_done(file: ImportFile, *, done: Mapping[str, Any]) -> None:
    """Note what its import did; the file itself is not needed any more."""
    file.done, file.raw = dict(done), b""
    file.save(update_fields=["done", "raw"])


def import_columns_remember(
    club: Club, *, kind: str, heads: str, columns: Mapping[str, int]
) -> None:
    """The club's next file of that kind with these heads (their digest) is read the same way."""
    ImportColumns.objects.update_or_create(
        club=club, kind=kind, heads=heads, defaults={"columns": dict(columns)}
    )


def import_files_sweep() -> int:
    """Forget files that were kept for more than a day; how many."""
    gone, _by_model = ImportFile.objects.filter(kept_at__lt=timezone.now() - KEPT_FOR).delete()
    return gone
