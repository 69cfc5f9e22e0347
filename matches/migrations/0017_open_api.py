"""Tokens for programs, addresses that are told what is published, and calendars of one's own."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0016_trail_is_fixed"),
    ]

    operations = [
        migrations.CreateModel(
            name="ApiToken",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=60)),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("scopes", models.JSONField(default=list)),
                ("password_mark", models.CharField(max_length=64)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("last_used_on", models.DateField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="api_tokens",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "API token",
                "ordering": ["-id"],
            },
        ),
        migrations.CreateModel(
            name="CalendarLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                (
                    "person",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="calendar_link",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Webhook",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("address", models.CharField(max_length=300)),
                ("salt", models.UUIDField(default=uuid.uuid4)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("off_at", models.DateTimeField(blank=True, null=True)),
                ("off_why", models.CharField(blank=True, max_length=200)),
                (
                    "club",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="webhooks",
                        to="matches.club",
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
            },
        ),
        migrations.CreateModel(
            name="Delivery",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("event", models.CharField(max_length=40)),
                ("about", models.JSONField(default=dict)),
                ("made_at", models.DateTimeField()),
                (
                    "state",
                    models.CharField(
                        choices=[("waiting", "waiting"), ("sent", "taken"), ("failed", "given up")],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("due_at", models.DateTimeField()),
                ("lease_until", models.DateTimeField(blank=True, null=True)),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("tried_at", models.DateTimeField(blank=True, null=True)),
                ("answer", models.CharField(blank=True, max_length=200)),
                (
                    "webhook",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="deliveries",
                        to="matches.webhook",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "deliveries",
                "ordering": ["-made_at", "-id"],
            },
        ),
        migrations.AddConstraint(
            model_name="webhook",
            constraint=models.UniqueConstraint(
                fields=("club", "address"), name="webhook_address_once_in_club"
            ),
        ),
        migrations.AddIndex(
            model_name="delivery",
            index=models.Index(fields=["state", "due_at"], name="delivery_due"),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(("due_at__gte", models.F("made_at"))),
                name="delivery_due_after_it_is_made",
            ),
        ),
    ]
