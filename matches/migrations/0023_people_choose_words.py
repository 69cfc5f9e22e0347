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
                    ("written", "as each is written"),
                    ("uk", "with pints, pounds and feet beside metric ones"),
                    ("metric", "with litres, kilograms and metres beside UK ones"),
                ],
                db_default="written",
                default="written",
                max_length=8,
            ),
        ),
    ]
