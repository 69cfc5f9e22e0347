"""The database refuses to change a league's table, and a bulletin's time for objections."""

from importlib import import_module

from django.db import migrations

fixed = import_module("matches.migrations.0002_published_is_fixed")

BULLETIN = {"matches_bulletin": [*fixed.FIXED["matches_bulletin"], "objections_until"]}
TABLES = {"matches_leaguetable": "id league_id number body digest bulletin_id made_at".split()}


def guard(apps, schema_editor):
    fixed.unguard_tables(schema_editor, BULLETIN)
    fixed.guard_tables(schema_editor, BULLETIN | TABLES)


def unguard(apps, schema_editor):
    fixed.unguard_tables(schema_editor, BULLETIN | TABLES)
    fixed.guard_tables(schema_editor, {"matches_bulletin": fixed.FIXED["matches_bulletin"]})


class Migration(migrations.Migration):
    dependencies = [("matches", "0004_match_desk")]
    operations = [migrations.RunPython(guard, unguard)]
