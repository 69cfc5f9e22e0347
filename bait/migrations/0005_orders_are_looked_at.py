"""What an order's inputs came to when they were last read."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("bait", "0004_shops_charge_otherwise")]

    operations = [
        migrations.CreateModel(
            name="OrderLook",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("trail", models.PositiveBigIntegerField()),
                ("digest", models.CharField(blank=True, max_length=64)),
                ("placed_fits", models.BooleanField(default=False)),
                ("takes", models.JSONField(default=list)),
                ("read_at", models.DateTimeField()),
                (
                    "order",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="look",
                        to="bait.order",
                    ),
                ),
                (
                    "placed",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="bait.orderversion",
                    ),
                ),
            ],
        ),
    ]
