"""The database itself refuses to change a published bulletin or a stored fact's identity."""

from django.db import migrations

FIXED = {
    "matches_bulletin": "id match_id number confirmed body digest reason published_at".split(),
    "matches_fact": (
        "id club_id match_id device seq kind peg recorded_at supersedes digest author_id cseq"
    ).split(),
}


def guard(apps, schema_editor):
    guard_tables(schema_editor, FIXED)


def guard_tables(schema_editor, fixed):
    """Refuse every later change of these columns, table by table."""
    for table, columns in fixed.items():
        changed = " OR ".join(
            f"OLD.{c}::text IS DISTINCT FROM NEW.{c}::text"
            if schema_editor.connection.vendor == "postgresql"
            else f"OLD.{c} IS NOT NEW.{c}"
            for c in columns
        )
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(
                f"CREATE OR REPLACE FUNCTION {table}_fixed() RETURNS trigger AS $$ BEGIN "
                f"RAISE EXCEPTION '{table} is fixed once written' "
                "USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql"
            )
            schema_editor.execute(
                f"CREATE OR REPLACE TRIGGER {table}_fixed BEFORE UPDATE ON {table} FOR EACH ROW "
                f"WHEN ({changed}) EXECUTE FUNCTION {table}_fixed()"
            )
        else:
            schema_editor.execute(
                f"CREATE TRIGGER IF NOT EXISTS {table}_fixed BEFORE UPDATE ON {table} "
                f"FOR EACH ROW WHEN {changed} BEGIN "
                f"SELECT RAISE(ABORT, '{table} is fixed once written'); END"
            )


def unguard(apps, schema_editor):
    unguard_tables(schema_editor, FIXED)


def unguard_tables(schema_editor, fixed):
    for table in fixed:
        on = f" ON {table}" if schema_editor.connection.vendor == "postgresql" else ""
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {table}_fixed{on}")


class Migration(migrations.Migration):
    dependencies = [("matches", "0001_first")]
    operations = [migrations.RunPython(guard, unguard)]
