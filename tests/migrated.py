"""An empty database with every migration done, kept for the next process that needs one.

Migrating takes as long as a hundred tests, in each process of each run. SQLite's is a file that is
kept from run to run; PostgreSQL's is a database of the same server, as long as that lives. What is
kept goes by a digest of everything it depends on, so a changed migration makes another.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import django
import pytest
from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.backends.sqlite3.base import DatabaseWrapper


@contextmanager
def one_migrates() -> Iterator[None]:
    """Others wait here until the first has kept what they need too."""
    folder = settings.VAR_DIR / "tests"
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "migrating.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def kept_file() -> Path:
    """Where the SQLite database of today's migrations is, or would be."""
    return settings.VAR_DIR / "tests" / f"migrated-{_digest(sqlite3.sqlite_version)}.sqlite3"


def kept_name() -> str:
    """What the PostgreSQL database of today's migrations is called."""
    return f"tests_migrated_{_digest('')}"


def _digest(version: str) -> str:
    digest = hashlib.sha256(f"{django.__version__} {version}".encode())
    for config in sorted(apps.get_app_configs(), key=lambda config: config.label):
        for file in sorted(Path(config.path, "migrations").glob("*.py")):
            digest.update(f"{config.label} {file.name} {file.stat().st_size}\n".encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def kept_is_used(patch: pytest.MonkeyPatch) -> bool:
    """From now on a database that is to be migrated begins as what is kept; `migrate` then finds
    nothing left to do, and would do what is. Whether anything is kept."""
    if connection.vendor == "postgresql":
        if kept_there := _kept_by_server():
            patch.setitem(connection.settings_dict["TEST"], "TEMPLATE", kept_name())
        return kept_there

    def filled(self: Any) -> None:
        file = kept_file()
        if file.exists() and self.is_in_memory_db() and not self.introspection.table_names():
            kept = sqlite3.connect(f"file:{file}?mode=ro", uri=True)
            self.ensure_connection()
            kept.backup(self.connection)
            kept.close()

    patch.setattr(DatabaseWrapper, "prepare_database", filled)
    return kept_file().exists()


def kept_is_made() -> None:
    """Keep the database as it is now, where none is kept."""
    if connection.vendor == "postgresql":
        if not _kept_by_server():
            name = connection.settings_dict["NAME"]
            connection.close()  # nobody may be in what is copied
            with connection._nodb_cursor() as cursor:
                cursor.execute(f'CREATE DATABASE "{kept_name()}" TEMPLATE "{name}"')
    elif connection.is_in_memory_db() and not kept_file().exists():
        _kept_file_make()


def _kept_by_server() -> bool:
    with connection._nodb_cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", [kept_name()])
        return cursor.fetchone() is not None


def _kept_file_make() -> None:
    file = kept_file()
    for old in file.parent.glob("migrated-*.sqlite3"):
        old.unlink(missing_ok=True)
    made = file.with_suffix(f".{os.getpid()}")
    copy = sqlite3.connect(made)
    connection.ensure_connection()
    connection.connection.backup(copy)
    copy.close()
    made.replace(file)
