"""What is recorded comes out the same each time: the clock stands still, rows are numbered from 1,
pegs are drawn with one seed, and what chance made is named by its turn."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
import uuid
from base64 import urlsafe_b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any, Final
from unittest.mock import patch

from django.db import connection

#: The evening after the June Open.
NOW: Final = dt.datetime(2026, 6, 20, 18, tzinfo=dt.UTC)
SEED: Final = bytes(range(32))
_KEY: Final = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_SEALED: Final = re.compile(r"[A-Za-z0-9_-]{72,}")


def rows_number(first: int, *, apart: int = 0) -> None:
    """Each table's next row has this number, or each table's one so far apart from the one of the
    table before; in a transaction, until it is undone."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT schemaname, sequencename FROM pg_sequences")
            for at, (schema, name) in enumerate(cursor.fetchall()):
                number = first + at * apart
                cursor.execute(f'ALTER SEQUENCE "{schema}"."{name}" RESTART WITH {number}')
        else:
            tables = connection.introspection.table_names(cursor)
            cursor.execute("DELETE FROM sqlite_sequence")
            for at, name in enumerate(tables):
                number = first + at * apart - 1
                cursor.execute("INSERT INTO sqlite_sequence VALUES (%s, %s)", [name, number])


@contextmanager
def steady() -> Iterator[None]:
    """Rows from 1, one moment, one draw. Needs a database without rows of a club."""
    rows_number(1)
    with (
        patch("django.utils.timezone.now", lambda: NOW),
        patch("matches.writes.draws.secrets", SimpleNamespace(token_bytes=lambda _size: SEED)),
    ):
        yield


def chance_named(value: Any) -> Any:
    """The same with another key, digest or sealed text in the place of each that chance made: by
    its turn, names of fields in their order, as databases give them back in one of their own."""
    names: dict[str, str] = {}

    def named(one: Any) -> Any:
        if isinstance(one, dict):
            parts = {key: named(one[key]) for key in sorted(one)}
            return {key: parts[key] for key in one}
        if isinstance(one, list):
            return [named(part) for part in one]
        if isinstance(one, str) and (make := _maker(one)):
            return names.setdefault(one, make(len(names) + 1, len(one)))
        return one

    return named(value)


def _maker(text: str) -> Any:
    makers = ((_KEY, _key), (_DIGEST, _digest), (_SEALED, _sealed))
    return next((make for form, make in makers if form.fullmatch(text)), None)


def _key(turn: int, _length: int) -> str:
    return str(uuid.UUID(int=turn, version=4))


def _digest(turn: int, _length: int) -> str:
    return hashlib.sha256(str(turn).encode()).hexdigest()


def _sealed(turn: int, length: int) -> str:
    return urlsafe_b64encode(hashlib.shake_256(str(turn).encode()).digest(length)).decode()[:length]
