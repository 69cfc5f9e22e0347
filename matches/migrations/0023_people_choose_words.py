"""A person chooses a language, and the measures that amounts are said in."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("matches", "0022_second_factor")]

    operations = [
        migrations.AddField(
            model_name="person",
            name="language",
            field=models.CharField(blank=True, db_default="", default="", max_length=16),
        ),
        migrations.AddField(
            model_name="person",
            name="measures",
            field=models.CharField(
                choices=[
                    ("uk", "pints, pounds and ounces, feet"),
                    ("metric", "litres, kilograms, metres"),
                ],
                db_default="uk",
                default="uk",
                max_length=8,
            ),
        ),
    ]
