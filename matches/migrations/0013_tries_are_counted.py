"""Tries to sign in that did not fit are counted, by name and by address."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0012_river_of_the_day"),
    ]

    operations = [
        migrations.CreateModel(
            name="Attempts",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("failures", models.PositiveIntegerField(default=0)),
                ("last_at", models.DateTimeField(db_index=True)),
                ("wait_until", models.DateTimeField(blank=True, null=True)),
            ],
            options={"verbose_name_plural": "attempts"},
        ),
    ]
