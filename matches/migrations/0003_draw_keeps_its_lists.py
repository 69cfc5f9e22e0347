"""A draw keeps what the calculator was asked, so that it can be checked later."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0002_published_is_fixed"),
    ]

    operations = [
        migrations.AddField(
            model_name="draw",
            name="asked",
            field=models.JSONField(blank=True, default=dict),
        ),
    ]
