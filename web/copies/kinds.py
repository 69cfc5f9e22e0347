"""Which database is in use, and how one of its kind is copied and put back."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from django.db import connection
from django.utils.translation import gettext as _

from . import sqlite_kind
from .whole import Contents, CopyFault, Opened


@dataclass(frozen=True, slots=True)
class Kind:
    """`dump` writes the database to a file; `opened` makes a new database of such a file."""

    name: str
    dump: Callable[[Path], Contents]
    opened: Callable[[Path], AbstractContextManager[Opened]]


def in_use() -> Kind:
    """Raises CopyFault for a database we cannot copy."""
    if connection.vendor == "sqlite":
        return Kind("sqlite", sqlite_kind.dump, sqlite_kind.opened)
    if connection.vendor == "postgresql":
        from . import postgres_kind  # its driver is an extra

        return Kind("postgresql", postgres_kind.dump, postgres_kind.opened)
    raise CopyFault(_("%s cannot be copied by this command.") % connection.vendor)
