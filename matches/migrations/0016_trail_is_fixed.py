"""The database refuses to change or delete a row of the trail; shortening its words, which drops
the salt, is all that is left open."""

from django.db import migrations, models

TABLE = "matches_auditentry"
COLUMNS = "id club_id person_id verb at number said digest".split()


def guard(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
    changed = " OR ".join(
        f"OLD.{c}::text IS DISTINCT FROM NEW.{c}::text" if postgres else f"OLD.{c} IS NOT NEW.{c}"
        for c in COLUMNS
    )
    changed = f"{changed} OR NEW.salt <> ''"
    if postgres:
        schema_editor.execute(
            f"CREATE OR REPLACE FUNCTION {TABLE}_fixed() RETURNS trigger AS $$ BEGIN "
            f"RAISE EXCEPTION '{TABLE} is fixed once written' "
            "USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql"
        )
        for name, when in (
            (f"{TABLE}_fixed", f"UPDATE ON {TABLE} FOR EACH ROW WHEN ({changed})"),
            (f"{TABLE}_kept", f"DELETE ON {TABLE} FOR EACH ROW"),
        ):
            schema_editor.execute(
                f"CREATE OR REPLACE TRIGGER {name} BEFORE {when} EXECUTE FUNCTION {TABLE}_fixed()"
            )
    else:
        refuse = f"BEGIN SELECT RAISE(ABORT, '{TABLE} is fixed once written'); END"
        schema_editor.execute(
            f"CREATE TRIGGER IF NOT EXISTS {TABLE}_fixed BEFORE UPDATE ON {TABLE} FOR EACH ROW "
            f"WHEN {changed} {refuse}"
        )
        schema_editor.execute(
            f"CREATE TRIGGER IF NOT EXISTS {TABLE}_kept BEFORE DELETE ON {TABLE} FOR EACH ROW {refuse}"
        )


def unguard(apps, schema_editor):
    on = f" ON {TABLE}" if schema_editor.connection.vendor == "postgresql" else ""
    for name in ("fixed", "kept"):
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {TABLE}_{name}{on}")


class Migration(migrations.Migration):
    dependencies = [("matches", "0015_trail_is_chained_back")]
    operations = [
        migrations.AlterField(
            model_name="auditentry",
            name="number",
            field=models.PositiveBigIntegerField(),
        ),
        migrations.AddConstraint(
            model_name="auditentry",
            constraint=models.UniqueConstraint(
                fields=("club", "number"), name="trail_number_in_club"
            ),
        ),
        migrations.AddConstraint(
            model_name="auditentry",
            constraint=models.UniqueConstraint(
                condition=models.Q(("club__isnull", True)),
                fields=("number",),
                name="trail_number_of_no_club",
            ),
        ),
        migrations.RunPython(guard, unguard),
    ]
