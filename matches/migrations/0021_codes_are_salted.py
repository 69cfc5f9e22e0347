"""Recovery codes are kept as passwords are, under a salt of their own.

Codes that stand are not taken over, since nobody knows them: they let nobody in any more, and
whoever has one asks for another.
"""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("matches", "0020_names_are_replaced")]
    rollout = "only widened: what old code writes fits, and its codes let nobody in where new is"

    operations = [
        migrations.AlterField(
            model_name="recoverycode",
            name="digest",
            field=models.CharField(max_length=128),
        ),
    ]
