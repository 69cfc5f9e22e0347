"""PostgreSQL: copied by `pg_dump`, tried in a database of its own, put back in one transaction.

The rows are counted under the snapshot that `pg_dump` reads, so both are of one moment
(https://www.postgresql.org/docs/current/functions-admin.html, snapshot synchronization).
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote
from uuid import uuid4

from django.db import DatabaseError, connection
from django.db.backends.postgresql.base import DatabaseWrapper
from django.utils.translation import gettext as _

from .whole import Contents, CopyFault, Opened

DUMP = ("--format=custom", "--no-owner")
LOCK_SECONDS = 20
AFRESH = "DROP SCHEMA public CASCADE; CREATE SCHEMA public"


def dump(to: Path) -> Contents:
    """Copy the database in use to a file in pg_dump's custom format. Raises CopyFault."""
    given = {**connection.settings_dict, "CONN_MAX_AGE": 0}
    apart = DatabaseWrapper(given, alias="copy")
    try:
        apart.set_autocommit(False)
        with apart.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            cursor.execute("SELECT pg_export_snapshot()")
            snapshot = cursor.fetchone()[0]
            _run("pg_dump", *DUMP, f"--snapshot={snapshot}", f"--file={to}", _used())
            return _contents(apart, cursor)
    except DatabaseError as error:
        raise CopyFault(_("The database cannot be copied: %s") % error) from None
    finally:
        apart.close()


@contextmanager
def opened(part: Path) -> Iterator[Opened]:
    """A new database made of the part, gone afterwards; the role must be allowed to make one.
    Raises CopyFault."""
    name = f"drawbag_copy_{uuid4().hex[:12]}"
    _run("psql", "-qc", f'CREATE DATABASE "{name}" TEMPLATE template0', _used())
    try:
        _run("pg_restore", "--no-owner", "--exit-on-error", f"--dbname={name}", str(part))
        apart = DatabaseWrapper({**connection.settings_dict, "NAME": name}, alias="copy")
        try:
            with apart.cursor() as cursor:
                held = _contents(apart, cursor)
        finally:
            apart.close()
        yield Opened(_address(name), held, lambda: _switch(name, part.with_suffix(".sql")))
    finally:
        _run("psql", "-qc", f'DROP DATABASE "{name}" WITH (FORCE)', _used())


def _switch(name: str, script: Path) -> None:
    """The database in use holds what `name` holds: one transaction, undone where it ends early."""
    _run("pg_dump", "--no-owner", f"--file={script}", name)
    connection.close()
    once = ("--single-transaction", "--set=ON_ERROR_STOP=1")
    _run("psql", "-q", *once, "-c", AFRESH, "-f", str(script), _used())


def _contents(apart: DatabaseWrapper, cursor: Any) -> Contents:
    rows = {}
    for name in sorted(apart.introspection.table_names(cursor)):
        cursor.execute(f"SELECT count(*) FROM {apart.ops.quote_name(name)}")
        rows[name] = cursor.fetchone()[0]
    cursor.execute("SELECT app || '.' || name FROM django_migrations")
    return Contents(sorted(row[0] for row in cursor.fetchall()), rows)


def _used() -> str:
    return str(connection.settings_dict["NAME"])


def _address(name: str) -> str:
    given = connection.settings_dict
    who = quote(given["USER"], safe="")
    if given["PASSWORD"]:
        who += ":" + quote(given["PASSWORD"], safe="")
    port = f":{given['PORT']}" if given["PORT"] else ""
    return f"postgres://{who}@{quote(given['HOST'], safe='')}{port}/{name}"


def _run(tool: str, *words: str) -> None:
    """Run one of PostgreSQL's own tools on our server. Raises CopyFault."""
    found = shutil.which(tool)
    if found is None:
        raise CopyFault(
            _("%s is not installed: on Debian, apt-get install postgresql-client.") % tool
        )
    given = connection.settings_dict
    keys = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD"}
    environment = {key: str(given[of]) for key, of in keys.items() if given[of]}
    environment["PGOPTIONS"] = f"-c lock_timeout={LOCK_SECONDS}s"
    done = subprocess.run(
        [found, *words], env={**os.environ, **environment}, capture_output=True, text=True
    )
    if done.returncode:
        said = (done.stderr.strip().splitlines() or [""])[0]
        raise CopyFault(_("%(tool)s says: %(said)s") % {"tool": tool, "said": said})
