"""Rows of the trail get a number, and a digest that follows from the row before."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0013_tries_are_counted"),
    ]

    operations = [
        migrations.CreateModel(
            name="TrailHead",
            fields=[
                ("chain", models.PositiveBigIntegerField(primary_key=True, serialize=False)),
                ("length", models.PositiveBigIntegerField(default=0)),
                ("digest", models.CharField(blank=True, max_length=64)),
            ],
        ),
        migrations.AddField(
            model_name="auditentry",
            name="number",
            field=models.PositiveBigIntegerField(null=True),
        ),
        migrations.AddField(
            model_name="auditentry",
            name="salt",
            field=models.CharField(blank=True, max_length=32),
        ),
        migrations.AddField(
            model_name="auditentry",
            name="said",
            field=models.CharField(default="", max_length=64),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="auditentry",
            name="digest",
            field=models.CharField(default="", max_length=64),
            preserve_default=False,
        ),
        migrations.AlterField(
            model_name="auditentry",
            name="at",
            field=models.DateTimeField(default=django.utils.timezone.now),
        ),
        migrations.AlterField(
            model_name="auditentry",
            name="club",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="audit",
                to="matches.club",
            ),
        ),
        migrations.AlterField(
            model_name="auditentry",
            name="person",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
    ]
