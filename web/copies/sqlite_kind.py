"""SQLite: copied and put back by its online backup API, while others read and write.

https://www.sqlite.org/backup.html: a copy is what was there at one moment. Putting back is one
transaction of the database in use, which others see whole or not at all and a kill undoes.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import quote

from django.db import DatabaseError, connection
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.utils.translation import gettext as _

from .whole import Contents, CopyFault, Opened

BUSY_SECONDS = 20


def dump(to: Path) -> Contents:
    """Copy the database in use to a file of its own. Raises CopyFault."""
    if connection.in_atomic_block:  # SQLite would wait for our own transaction for ever
        raise CopyFault(_("A copy cannot be taken inside a transaction."))
    try:
        connection.ensure_connection()
        with closing(sqlite3.connect(to)) as taken:
            connection.connection.backup(taken)
            taken.execute("PRAGMA journal_mode=DELETE")  # one file, with nothing beside it
        with to.open("rb") as file:
            os.fsync(file.fileno())
        return contents(to)
    except (sqlite3.Error, DatabaseError) as error:
        raise CopyFault(_("The database cannot be copied: %s") % error) from None


def contents(file: Path) -> Contents:
    """What a database file holds, once SQLite itself finds nothing wrong. Raises CopyFault."""
    try:
        with _apart(file) as db:
            said = [row[0] for row in db.execute("PRAGMA integrity_check")]
            if said != ["ok"]:
                raise CopyFault(_("The database is damaged: %s") % "; ".join(said[:3]))
            if db.execute("PRAGMA foreign_key_check").fetchone():
                raise CopyFault(
                    _("The database is damaged: a row points to one that is not there.")
                )
            return _contents(db)
    except (sqlite3.Error, DatabaseError) as error:
        raise CopyFault(_("This is no sound SQLite database: %s") % error) from None


@contextmanager
def _apart(file: Path) -> Iterator[sqlite3.Connection]:
    """The file through a connection of Django's: its checks of rows ask for Django's functions."""
    given = {**connection.settings_dict, "NAME": str(file), "OPTIONS": {}}
    apart = DatabaseWrapper(given, alias="copy")
    try:
        apart.connect()
        yield apart.connection
    finally:
        apart.close()


def _contents(db: sqlite3.Connection) -> Contents:
    named = "SELECT name FROM sqlite_master WHERE type = 'table'"
    tables = sorted(row[0] for row in db.execute(named) if not row[0].startswith("sqlite_"))
    rows = {
        name: db.execute('SELECT count(*) FROM "{}"'.format(name.replace('"', '""'))).fetchone()[0]
        for name in tables
    }
    applied = db.execute("SELECT app || '.' || name FROM django_migrations ORDER BY 1").fetchall()
    return Contents([row[0] for row in applied], rows)


@contextmanager
def opened(part: Path) -> Iterator[Opened]:
    """The part as a database of its own. Raises CopyFault."""
    yield Opened(f"sqlite:///{quote(str(part))}", contents(part), lambda: _switch(part))


def _switch(part: Path) -> None:
    """The database in use holds what `part` holds. Raises CopyFault, with nothing changed."""
    name = str(connection.settings_dict["NAME"])
    connection.close()
    try:
        with (
            closing(sqlite3.connect(part)) as new,
            closing(sqlite3.connect(name, timeout=BUSY_SECONDS)) as used,
        ):
            used.execute("PRAGMA journal_mode=WAL")
            used.execute("PRAGMA synchronous=FULL")
            new.backup(used)
    except sqlite3.Error as error:
        raise CopyFault(_("The database in use cannot be written: %s") % error) from None
