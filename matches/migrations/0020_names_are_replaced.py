"""Somebody may ask to be erased; then names in what was published are replaced.

The database still refuses any other change to it: the body of a bulletin or a league table changes
only together with the digest of what it says since.
"""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

#: By table: what is fixed for good, and what changes when names are replaced.
FIXED = {
    "matches_bulletin": (
        "id match_id number confirmed digest published_at objections_until".split(),
        ["body", "reason"],
    ),
    "matches_leaguetable": (
        "id league_id number digest bulletin_id made_at".split(),
        ["body"],
    ),
}
BEFORE = {
    "matches_bulletin": (
        "id match_id number confirmed body digest reason published_at objections_until"
    ).split(),
    "matches_leaguetable": "id league_id number body digest bulletin_id made_at".split(),
}


def guard(apps, schema_editor):
    for table, (fixed, replaced) in FIXED.items():
        changed = " OR ".join(differs(schema_editor, c) for c in fixed)
        words = " OR ".join(differs(schema_editor, c) for c in replaced)
        trigger(
            schema_editor,
            table,
            f"{changed} OR (NEW.redacted = '' AND (OLD.redacted <> '' OR {words}))",
        )


def guard_as_before(apps, schema_editor):
    """Names that were replaced stay so; their digests are no longer known."""
    for table, columns in BEFORE.items():
        trigger(schema_editor, table, " OR ".join(differs(schema_editor, c) for c in columns))


def differs(schema_editor, column):
    if schema_editor.connection.vendor == "postgresql":
        return f"OLD.{column}::text IS DISTINCT FROM NEW.{column}::text"
    return f"OLD.{column} IS NOT NEW.{column}"


def trigger(schema_editor, table, when):
    unguard(schema_editor, table)
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(
            f"CREATE TRIGGER {table}_fixed BEFORE UPDATE ON {table} FOR EACH ROW "
            f"WHEN ({when}) EXECUTE FUNCTION {table}_fixed()"
        )
    else:
        schema_editor.execute(
            f"CREATE TRIGGER {table}_fixed BEFORE UPDATE ON {table} FOR EACH ROW WHEN {when} "
            f"BEGIN SELECT RAISE(ABORT, '{table} is fixed once written'); END"
        )


def unguard(schema_editor, table):
    on = f" ON {table}" if schema_editor.connection.vendor == "postgresql" else ""
    schema_editor.execute(f"DROP TRIGGER IF EXISTS {table}_fixed{on}")


def unguard_all(apps, schema_editor):
    """The columns that it names are to go."""
    for table in FIXED:
        unguard(schema_editor, table)


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0019_the_door"),
    ]

    operations = [
        migrations.RunPython(migrations.RunPython.noop, guard_as_before),
        migrations.CreateModel(
            name="ErasureAsked",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("asked_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("due_at", models.DateTimeField()),
                (
                    "person",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="erasure_asked",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.AddField(
            model_name="bulletin",
            name="redacted",
            field=models.CharField(blank=True, default="", max_length=64),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="leaguetable",
            name="redacted",
            field=models.CharField(blank=True, default="", max_length=64),
            preserve_default=False,
        ),
        migrations.RunPython(guard, unguard_all),
    ]
