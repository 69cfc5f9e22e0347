"""An empty SQLite database with every migration done, kept from one test run to the next.

Migrating takes as long as a hundred tests, in each process of each run. What is kept goes by a
digest of everything it depends on, so a changed migration makes another.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
from pathlib import Path
from typing import Any

import django
import pytest
from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.backends.sqlite3.base import DatabaseWrapper


def kept_file() -> Path:
    """Where the database of today's migrations is, or would be."""
    digest = hashlib.sha256(f"{django.__version__} {sqlite3.sqlite_version}".encode())
    for config in sorted(apps.get_app_configs(), key=lambda config: config.label):
        for file in sorted(Path(config.path, "migrations").glob("*.py")):
            digest.update(f"{config.label} {file.name} {file.stat().st_size}\n".encode())
            digest.update(file.read_bytes())
    return settings.VAR_DIR / "tests" / f"migrated-{digest.hexdigest()[:16]}.sqlite3"


def kept_is_used(patch: pytest.MonkeyPatch) -> None:
    """From now on an empty database in memory that is to be migrated is filled with what is kept;
    `migrate` then finds nothing left to do, and would do what is."""

    def filled(self: Any) -> None:
        file = kept_file()
        if file.exists() and self.is_in_memory_db() and not self.introspection.table_names():
            kept = sqlite3.connect(f"file:{file}?mode=ro", uri=True)
            self.ensure_connection()
            kept.backup(self.connection)
            kept.close()

    patch.setattr(DatabaseWrapper, "prepare_database", filled)


def kept_is_made() -> None:
    """Keep the database as it is now, where none is kept. Two processes may do it at once."""
    file = kept_file()
    if connection.vendor != "sqlite" or not connection.is_in_memory_db() or file.exists():
        return
    file.parent.mkdir(exist_ok=True)
    for old in file.parent.glob("migrated-*.sqlite3"):
        old.unlink(missing_ok=True)
    made = file.with_suffix(f".{os.getpid()}")
    copy = sqlite3.connect(made)
    connection.ensure_connection()
    connection.connection.backup(copy)
    copy.close()
    made.replace(file)
