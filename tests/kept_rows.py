"""Rows made once in a process and put back whole for each test that asks for them.

By their models the few people of `tests/conftest.py` take some thirty questions to the database,
and nearly every test begins with them.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator
from typing import Any

from django.apps import apps
from django.db import connection, transaction
from django.db.models import Model
from django.db.models.sql import InsertQuery

from tests.steady import rows_number

#: No two rows that are kept have one number, though they lie in two tables: a number that is
#: taken for another's finds nothing.
APART = 20
FIRST_KEPT = 1_000_003
FIRST_OTHER = 1_010_003


def rows_kept(make: Callable[[], Any]) -> Callable[[], dict[str, Any]]:
    """What puts all that `make` wrote into the database again, and gives the parts of its answer
    as new objects. Nothing is left there now."""
    with transaction.atomic():
        rows_number(FIRST_KEPT, apart=APART)
        parts = pickle.dumps(vars(make()))
        statements = list(_statements())
        transaction.set_rollback(True)

    def again() -> dict[str, Any]:
        with transaction.atomic(savepoint=False), connection.cursor() as cursor:
            for sql, values in statements:
                cursor.execute(sql, values)
        given: dict[str, Any] = pickle.loads(parts)
        return given

    return again


def _statements() -> Iterator[tuple[str, Any]]:
    """One for each table with rows; PostgreSQL takes all of them at once."""
    inserts = [
        insert
        for label in ("matches", "bait")
        for model in apps.get_app_config(label).get_models(include_auto_created=True)
        for insert in _insert(model)
    ]
    if connection.vendor == "postgresql":
        yield ";".join(connection.ops.compose_sql(*insert) for insert in inserts), None
    else:
        yield from inserts


def _insert(model: type[Model]) -> list[tuple[str, Any]]:
    rows = list(model._base_manager.all())
    if not rows:
        return []
    assert len(rows) <= APART
    query = InsertQuery(model)
    query.insert_values(model._meta.local_concrete_fields, rows, raw=True)
    return query.get_compiler(connection=connection).as_sql()
