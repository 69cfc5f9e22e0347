"""What a team's season said, kept by the digest of its inputs."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("bait", "0006_orders_are_read_each_time"),
        ("matches", "0011_lines_are_switched"),
    ]

    operations = [
        migrations.CreateModel(
            name="SeasonAnswer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("inputs_digest", models.CharField(max_length=64, unique=True)),
                ("answer", models.JSONField()),
                ("seconds", models.DecimalField(decimal_places=3, max_digits=8, null=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("read_at", models.DateTimeField()),
                (
                    "team",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="season_answers",
                        to="matches.team",
                    ),
                ),
            ],
            options={"ordering": ["-read_at", "-id"]},
        ),
    ]
