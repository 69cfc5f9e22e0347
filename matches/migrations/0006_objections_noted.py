"""Objections to a provisional result, as the secretary notes them."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0005_league_tables_are_fixed"),
    ]

    operations = [
        migrations.CreateModel(
            name="Objection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "peg",
                    models.CharField(
                        blank=True, help_text="Who objects, or which peg it is about.", max_length=8
                    ),
                ),
                ("words", models.CharField(max_length=400)),
                ("noted_at", models.DateTimeField(auto_now_add=True)),
                ("answer", models.CharField(blank=True, max_length=400)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                (
                    "answered_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "match",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="objections",
                        to="matches.match",
                    ),
                ),
                (
                    "noted_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["noted_at", "id"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("answer", ""),
                                ("answered_at__isnull", True),
                                ("answered_by__isnull", True),
                            ),
                            models.Q(
                                models.Q(("answer", ""), _negated=True),
                                ("answered_at__isnull", False),
                                ("answered_by__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="objection_answered_whole",
                    )
                ],
            },
        ),
    ]
