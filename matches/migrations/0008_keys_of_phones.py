"""Keys of phones, and who carried a fact for its author."""

from importlib import import_module

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

fixed = import_module("matches.migrations.0002_published_is_fixed")

BEFORE = {"matches_fact": fixed.FIXED["matches_fact"]}
AFTER = {"matches_fact": [*BEFORE["matches_fact"], "carried_by_id"]}


def guard(apps, schema_editor):
    fixed.unguard_tables(schema_editor, BEFORE)
    fixed.guard_tables(schema_editor, AFTER)


def unguard(apps, schema_editor):
    fixed.unguard_tables(schema_editor, AFTER)
    fixed.guard_tables(schema_editor, BEFORE)


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0007_refused_facts"),
    ]

    operations = [
        migrations.CreateModel(
            name="DeviceKey",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("public_key", models.CharField(max_length=87, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "device",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="keys",
                        to="matches.device",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="device_keys",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"ordering": ["-id"]},
        ),
        migrations.AddField(
            model_name="fact",
            name="carried_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="facts_carried",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        # Last, for a change of the table may make it anew without its guard.
        migrations.RunPython(guard, unguard),
    ]
