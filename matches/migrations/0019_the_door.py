"""Codes that let in whoever lost the password, sessions that know whose they are, and letters.

Sessions are copied as they are: nobody is signed out by this, and code of before goes on with its
own until it is gone.
"""

import django.db.models.deletion
from django.conf import settings
from django.contrib.sessions.serializers import JSONSerializer
from django.core import signing
from django.db import migrations, models
from django.utils import timezone

# As Django signs what a session holds, for a store of this name.
SALT = "django.contrib.sessions.SessionStore"


def sessions_move(apps, schema_editor):
    Old = apps.get_model("sessions", "Session")
    New = apps.get_model("matches", "SignedIn")
    people = set(apps.get_model("matches", "Person").objects.values_list("pk", flat=True))
    for row in Old.objects.filter(expire_date__gt=timezone.now()).iterator():
        person = person_in(row.session_data)
        if person in people:
            New.objects.get_or_create(
                session_key=row.session_key,
                defaults={
                    "session_data": row.session_data,
                    "expire_date": row.expire_date,
                    "person_id": person,
                },
            )


def person_in(session_data):
    try:
        data = signing.loads(session_data, salt=SALT, serializer=JSONSerializer)
        return int(data["_auth_user_id"])
    except (signing.BadSignature, KeyError, ValueError):
        return None


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0018_files_come_in"),
        ("sessions", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="RecoveryCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                ("used_at", models.DateTimeField(blank=True, null=True)),
                (
                    "club",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="matches.club",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="recovery_codes",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"ordering": ["-id"]},
        ),
        migrations.AddConstraint(
            model_name="recoverycode",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_at__gte", models.F("made_at"))),
                name="recovery_ends_after_it_is_made",
            ),
        ),
        migrations.CreateModel(
            name="Letter",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("recover", "a way in for who has lost the password"),
                            ("confirm", "a new address, to be confirmed"),
                            ("changed", "word that the password was changed"),
                        ],
                        max_length=8,
                    ),
                ),
                ("address", models.EmailField(max_length=254)),
                ("asked_at", models.DateTimeField()),
                ("not_before", models.DateTimeField()),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="letters",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"ordering": ["id"]},
        ),
        migrations.AddConstraint(
            model_name="letter",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", ["recover", "confirm", "changed"])),
                name="letter_kind_known",
            ),
        ),
        migrations.CreateModel(
            name="SignedIn",
            fields=[
                (
                    "session_key",
                    models.CharField(
                        max_length=40,
                        primary_key=True,
                        serialize=False,
                        verbose_name="session key",
                    ),
                ),
                ("session_data", models.TextField(verbose_name="session data")),
                (
                    "expire_date",
                    models.DateTimeField(db_index=True, verbose_name="expire date"),
                ),
                ("device", models.UUIDField(null=True)),
                ("agent", models.CharField(blank=True, max_length=60)),
                ("since", models.DateTimeField(null=True)),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sessions",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name": "session",
                "verbose_name_plural": "sessions",
                "abstract": False,
            },
        ),
        # Beside the data only: the tables stand before rows go in on either database.
        migrations.RunPython(sessions_move, migrations.RunPython.noop),
    ]
