"""Which facts were refused, so that a hole in the numbers of a phone says what it is."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0006_objections_noted"),
    ]

    operations = [
        migrations.CreateModel(
            name="RefusedFact",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("device", models.UUIDField()),
                ("seq", models.PositiveIntegerField()),
                ("fact", models.UUIDField(db_index=True)),
                ("code", models.CharField(max_length=20)),
                ("received_at", models.DateTimeField(auto_now_add=True)),
                (
                    "match",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="refused_facts",
                        to="matches.match",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("device", "seq", "person"), name="refusal_once_per_number"
                    )
                ],
            },
        ),
    ]
