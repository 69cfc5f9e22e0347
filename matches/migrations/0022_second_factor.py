"""A code besides the password, for who turns it on; and word in the app that a way in was changed."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

KINDS = [
    ("password", "Your password was changed."),
    ("address", "The e-mail address of your account was changed."),
    ("code", "A code was made that sets a new password for your account."),
    ("second_on", "Signing in with a code besides the password was turned on."),
    ("second_off", "Signing in with a code besides the password was turned off."),
    ("spare", "A spare code was used to sign in."),
]
KEY = {"auto_created": True, "primary_key": True, "serialize": False, "verbose_name": "ID"}


class Migration(migrations.Migration):
    dependencies = [("matches", "0021_codes_are_salted")]

    operations = [
        migrations.CreateModel(
            name="SecondFactor",
            fields=[
                ("id", models.BigAutoField(**KEY)),
                ("secret", models.CharField(max_length=255)),
                ("spares", models.JSONField(default=list)),
                ("last_step", models.BigIntegerField(default=0)),
                ("made_at", models.DateTimeField()),
                ("on_since", models.DateTimeField(blank=True, null=True)),
                (
                    "person",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="second_factor",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Notice",
            fields=[
                ("id", models.BigAutoField(**KEY)),
                ("kind", models.CharField(choices=KINDS, max_length=10)),
                ("at", models.DateTimeField(db_index=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="notices",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"ordering": ["-id"]},
        ),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", [kind for kind, _words in KINDS])),
                name="notice_kind_known",
            ),
        ),
    ]
