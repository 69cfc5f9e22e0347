"""How the river ran at a match, where the secretary says so."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0011_lines_are_switched"),
    ]

    operations = [
        migrations.AddField(
            model_name="match",
            name="river_level",
            field=models.CharField(
                blank=True,
                choices=[("low", "low"), ("normal", "normal"), ("high", "high")],
                max_length=6,
            ),
        ),
        migrations.AddField(
            model_name="match",
            name="board_cm",
            field=models.SmallIntegerField(
                blank=True, help_text="What the gauge board read; below zero it may be.", null=True
            ),
        ),
        migrations.AddConstraint(
            model_name="match",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("river_level", ""),
                    ("river_level__in", ["low", "normal", "high"]),
                    _connector="OR",
                ),
                name="match_river_level_known",
            ),
        ),
        migrations.AddConstraint(
            model_name="match",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("board_cm__isnull", True),
                    models.Q(("board_cm__gte", -500), ("board_cm__lte", 2000)),
                    _connector="OR",
                ),
                name="match_board_real",
            ),
        ),
    ]
