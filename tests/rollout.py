"""Migrations that would stand in the way of rolling out a new version while the old one runs.

Rolled out one process after the other, old code meets new tables for a while: what it reads must
still be there, what it does not write must not be asked of it, and no statement may hold a large
table for long. Looked at are the operations of migrations newer than `BASELINE`, the last ones
that went out; what is written in SQL or Python is named too, unless it says why it is safe.

    .venv/bin/python -m tests.rollout
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from django.db import models
from django.db.migrations import Migration
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations import (
    AddConstraint,
    AddField,
    AddIndex,
    AlterField,
    AlterModelTable,
    CreateModel,
    DeleteModel,
    RemoveField,
    RenameField,
    RenameModel,
    RunPython,
    RunSQL,
    SeparateDatabaseAndState,
)
from django.db.models.fields import NOT_PROVIDED

#: The newest migration of each room that runs at people's sites.
BASELINE: Final = {"matches": "0020_names_are_replaced", "bait": "0007_seasons_are_answered"}
#: Tables that may hold millions of rows: an index or a check of all rows would hold them long.
LARGE: Final = frozenset({"fact", "weighin", "auditentry", "workrequest", "lotmove", "stagefeed"})
#: A migration's own word that somebody thought of it: `rollout = "why this is safe"`.
WORD: Final = "rollout"


@dataclass(frozen=True)
class Found:
    """One operation that needs a thought, and what to do instead."""

    migration: str
    operation: str
    instead: str

    def __str__(self) -> str:
        return f"{self.migration}: {self.operation}: {self.instead}"


def newer_than(baseline: dict[str, str]) -> list[Migration]:
    """The migrations of these rooms that come after the named ones, in order."""
    migrations = MigrationLoader(None).disk_migrations or {}
    return [
        migration
        for (room, name), migration in sorted(migrations.items())
        if room in baseline and name > baseline[room]
    ]


def looked_over(migrations: list[Migration]) -> list[Found]:
    """What needs a thought in these and has had none."""
    return [
        Found(f"{each.app_label}.{each.name}", operation.describe(), instead)
        for each in migrations
        if not getattr(each, WORD, "")
        for operation, instead in _operations(each, _made(each))
    ]


def _made(migration: Migration) -> set[str]:
    """Tables the migration itself makes: no old code knows them, and they are empty."""
    return {o.name_lower for o in migration.operations if isinstance(o, CreateModel)}


def _operations(migration: Migration, made: set[str]) -> Iterator[tuple[Any, str]]:
    for operation in _in_database(migration.operations):
        model = getattr(operation, "model_name_lower", getattr(operation, "name_lower", ""))
        if model not in made and (instead := _instead(operation, model)):
            yield operation, instead


def _in_database(operations: Sequence[Any]) -> Iterator[Any]:
    for operation in operations:
        if isinstance(operation, SeparateDatabaseAndState):
            yield from _in_database(operation.database_operations)
        else:
            yield operation


def _instead(operation: Any, model: str) -> str:
    match operation:
        case RenameField() | RenameModel() | AlterModelTable():
            return "old code asks for the old name; add the new one, fill it, drop the old later"
        case RemoveField() | DeleteModel():
            return "old code still reads it; drop it in the release after the one that stops"
        case AddField(field=field) if _asked_of_old_code(field):
            return "old code does not write it; give it a db_default or let it be null"
        case AlterField(field=field) if not field.null and not _has_default(field):
            return "may refuse what old code writes; say that it does not, or let it be null first"
        case AddIndex() if model in LARGE and type(operation) is AddIndex:
            return "holds a large table; AddIndexConcurrently in a migration that is not atomic"
        case AddConstraint() if model in LARGE and type(operation) is AddConstraint:
            return "reads a large table while holding it; add it NOT VALID, then VALIDATE it"
        case RunSQL() | RunPython():
            return "say whether old code can live with it and how long it holds what"
    return ""


def _asked_of_old_code(field: models.Field[Any, Any]) -> bool:
    """Django's own default is dropped from the table once the rows are filled."""
    return not (field.null or field.many_to_many) and not _has_default(field)


def _has_default(field: models.Field[Any, Any]) -> bool:
    return field.db_default is not NOT_PROVIDED


def main() -> None:
    for found in looked_over(newer_than(BASELINE)):
        print(found)


if __name__ == "__main__":
    import os

    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
    django.setup()
    main()
