"""New migrations can be rolled out while the old version runs, or say why they need not."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import models
from django.db.migrations import Migration
from django.db.migrations import operations as o

from tests.rollout import BASELINE, looked_over, newer_than

INDEX = models.Index(fields=["kind"], name="an_index")
CHECK = models.CheckConstraint(condition=models.Q(seq__gte=0), name="a_check")


class Concurrently(o.AddIndex):
    """As PostgreSQL's own operation is one, which wants its driver to be imported."""


CASES: list[tuple[Any, str]] = [
    (o.RenameField("match", "slug", "name"), "old name"),
    (o.RenameModel("Match", "Meeting"), "old name"),
    (o.AlterModelTable("Match", "meetings"), "old name"),
    (o.RemoveField("match", "slug"), "still reads"),
    (o.DeleteModel("Match"), "still reads"),
    (o.AddField("match", "level", models.IntegerField()), "does not write"),
    (o.AddField("match", "level", models.IntegerField(default=0)), "does not write"),
    (o.AddField("match", "level", models.IntegerField(null=True)), ""),
    (o.AddField("match", "level", models.IntegerField(db_default=0)), ""),
    (o.AddField("match", "people", models.ManyToManyField("matches.Person")), ""),
    (o.AlterField("match", "level", models.IntegerField()), "may refuse"),
    (o.AlterField("match", "level", models.IntegerField(null=True)), ""),
    (o.AddIndex("fact", INDEX), "large table"),
    (o.AddIndex("match", INDEX), ""),
    (Concurrently("fact", INDEX), ""),
    (o.AddConstraint("fact", CHECK), "large table"),
    (o.AddConstraint("match", CHECK), ""),
    (o.RunSQL("SELECT 1"), "how long"),
    (o.RunPython(o.RunPython.noop), "how long"),
    (o.SeparateDatabaseAndState([o.RunSQL("SELECT 1")], []), "how long"),
    (o.SeparateDatabaseAndState([], [o.RemoveField("match", "slug")]), ""),
    (o.CreateModel("Level", [("id", models.BigAutoField(primary_key=True))]), ""),
]


def migration(*operations: Any, **words: str) -> Migration:
    made = Migration("9999_tried", "matches")
    made.operations = list(operations)
    for name, word in words.items():
        setattr(made, name, word)
    return made


@pytest.mark.parametrize(("operation", "said"), CASES)
def test_operation_that_old_code_cannot_live_with_is_named(operation: Any, said: str) -> None:
    found = looked_over([migration(operation)])
    assert (said in str(found[0])) if said else found == []


def test_table_made_in_the_same_migration_is_nobodys_yet() -> None:
    made = o.CreateModel("Level", [("id", models.BigAutoField(primary_key=True))])
    added = o.AddField("level", "height", models.IntegerField())
    assert looked_over([migration(made, added)]) == []


def test_migration_that_says_why_it_is_safe_is_believed() -> None:
    dropped = o.RemoveField("match", "slug")
    assert looked_over([migration(dropped, rollout="not read since the release before")]) == []


def test_migrations_newer_than_those_that_are_out_can_be_rolled_out() -> None:
    names = {f"{room}.{name}" for room, name in BASELINE.items()}
    known = newer_than(dict.fromkeys(BASELINE, ""))
    assert names <= {f"{each.app_label}.{each.name}" for each in known}
    assert [str(found) for found in looked_over(newer_than(BASELINE))] == []
