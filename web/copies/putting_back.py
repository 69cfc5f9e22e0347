"""Putting a copy back: everything is tried on a new database before the one in use is touched."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.utils.translation import gettext as _

from . import kinds
from .folders import work_folder
from .taking import Taken, copy_take
from .whole import PARTS, CopyFault, Manifest, copy_prove

#: What `migrate` fills by itself, so that rows in them say nothing of a club.
OF_MIGRATE = frozenset({"django_migrations", "django_content_type", "auth_permission"})


@dataclass(frozen=True, slots=True)
class PutBack:
    """What was put back, and the copy of what was there before, if anything was."""

    manifest: Manifest
    before: Taken | None


def copy_put_back(file: Path, *, replace: bool, before: Path) -> PutBack:
    """Make the database in use hold what a copy holds, under a new epoch for the phones.

    `replace`: rows may be there; a copy of them is made first, in the folder `before`.
    Raises CopyFault; the database in use is then as it was.
    """
    kind = kinds.in_use()
    with work_folder(Path(settings.VAR_DIR)) as folder:
        part = folder / PARTS[kind.name]
        manifest = copy_prove(file, to=part)
        if manifest.kind != kind.name:
            raise CopyFault(
                _("The copy is of %(copy)s and the database in use is %(here)s.")
                % {"copy": manifest.kind, "here": kind.name}
            )
        older = _older(manifest)
        filled = _holds_rows()
        if filled and not replace:
            raise CopyFault(
                _("The database in use holds rows. With --replace a copy of them is made first.")
            )
        with kind.opened(part) as new:
            if new.held != manifest.contents:
                raise CopyFault(_("The copy’s rows or migrations are not what its manifest says."))
            if older:
                _manage(new.address, "migrate", "--noinput")
            _manage(new.address, "restored")  # after every check of the set-up
            taken = _before_take(before) if filled else None
            new.switch()
    return PutBack(manifest, taken)


def _older(manifest: Manifest) -> bool:
    """Whether the code knows migrations the copy lacks. Raises CopyFault if the copy has others."""
    known = {".".join(key) for key in MigrationLoader(None).disk_migrations or ()}
    if newer := [name for name in manifest.migrations if name not in known]:
        raise CopyFault(
            _("The copy is of a newer build than this one (%s): update first.") % newer[-1]
        )
    return bool(known - set(manifest.migrations))


def _holds_rows() -> bool:
    """Raises CopyFault where the database in use cannot even be read."""
    try:
        with connection.cursor() as cursor:
            tables = set(connection.introspection.table_names(cursor)) - OF_MIGRATE
            return any(_has_rows(cursor, name) for name in tables)
    except DatabaseError as error:
        raise _unreadable(error) from None


def _unreadable(why: Exception) -> CopyFault:
    return CopyFault(
        _("No copy can be made of what is there: move it away, then restore. %s") % why
    )


def _before_take(before: Path) -> Taken:
    try:
        return copy_take(before)
    except CopyFault as fault:
        raise _unreadable(fault) from None


def _has_rows(cursor: Any, table: str) -> bool:
    cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(table)} LIMIT 1")
    return cursor.fetchone() is not None


def _manage(address: str, *words: str) -> None:
    """Run a command of ours on the new database. Raises CopyFault with what it said last."""
    done = subprocess.run(
        [sys.executable, str(settings.BASE_DIR / "manage.py"), *words],
        env={**os.environ, "DATABASE_URL": address, "VAR_DIR": str(settings.VAR_DIR)},
        capture_output=True,
        text=True,
    )
    if done.returncode:
        said = done.stderr.strip().splitlines() or [""]
        raise CopyFault(
            _("The copy does not work with this build; `manage.py %(word)s` says: %(said)s")
            % {"word": words[0], "said": said[-1]}
        )
