"""Files looked at before they are imported, membership numbers, and results of before."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

KINDS = [
    ("anglers", "anglers"),
    ("entrants", "entrants of a match"),
    ("pegs", "pegs of a venue"),
    ("prices", "prices of a shop"),
    ("results", "past results"),
]


def key():
    return models.BigAutoField(
        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
    )


def of_the(to, deletion, name="+", **options):
    return models.ForeignKey(on_delete=deletion, related_name=name, to=to, **options)


class Migration(migrations.Migration):
    dependencies = [
        ("matches", "0017_open_api"),
    ]

    operations = [
        migrations.AddField(
            model_name="angler",
            name="number",
            field=models.CharField(
                blank=True,
                default="",
                help_text="Of membership, as the club writes it.",
                max_length=16,
            ),
        ),
        migrations.AddConstraint(
            model_name="angler",
            constraint=models.UniqueConstraint(
                condition=models.Q(("number", ""), _negated=True),
                fields=("club", "number"),
                name="angler_number_once_in_club",
            ),
        ),
        migrations.CreateModel(
            name="ImportColumns",
            fields=[
                ("id", key()),
                ("kind", models.CharField(choices=KINDS, max_length=12)),
                ("heads", models.CharField(max_length=64)),
                ("columns", models.JSONField(default=dict)),
                ("club", of_the("matches.club", django.db.models.deletion.CASCADE)),
            ],
            options={
                "verbose_name_plural": "import columns",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("club", "kind", "heads"), name="import_columns_once_for_heads"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportFile",
            fields=[
                (
                    "id",
                    models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False),
                ),
                ("kind", models.CharField(choices=KINDS, max_length=12)),
                ("about", models.CharField(blank=True, max_length=80)),
                ("name", models.CharField(blank=True, max_length=120)),
                ("raw", models.BinaryField()),
                ("digest", models.CharField(max_length=64)),
                ("columns", models.JSONField(blank=True, default=dict)),
                ("done", models.JSONField(blank=True, null=True)),
                ("kept_at", models.DateTimeField()),
                ("club", of_the("matches.club", django.db.models.deletion.CASCADE)),
                (
                    "person",
                    of_the(settings.AUTH_USER_MODEL, django.db.models.deletion.CASCADE),
                ),
            ],
            options={
                "ordering": ["-kept_at"],
                "indexes": [models.Index(fields=["kept_at"], name="import_file_kept")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", [kind for kind, _ in KINDS])),
                        name="import_kind_known",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="PastMatch",
            fields=[
                ("id", key()),
                ("date", models.DateField()),
                ("name", models.CharField(blank=True, max_length=120)),
                (
                    "weight_unit",
                    models.CharField(
                        blank=True,
                        choices=[("g", "kilograms and grams"), ("dr", "pounds, ounces and drams")],
                        max_length=2,
                    ),
                ),
                (
                    "club",
                    of_the("matches.club", django.db.models.deletion.PROTECT, "past_matches"),
                ),
                (
                    "venue",
                    of_the("matches.venue", django.db.models.deletion.PROTECT, "past_matches"),
                ),
            ],
            options={
                "verbose_name_plural": "past matches",
                "ordering": ["-date", "venue"],
                "constraints": [
                    models.UniqueConstraint(fields=("venue", "date"), name="past_match_once_a_day"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("weight_unit", ""),
                            ("weight_unit__in", ["g", "dr"]),
                            _connector="OR",
                        ),
                        name="past_match_unit_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PastResult",
            fields=[
                ("id", key()),
                ("name", models.CharField(blank=True, max_length=120)),
                ("peg", models.CharField(blank=True, max_length=8)),
                ("section", models.CharField(blank=True, max_length=8)),
                ("weight", models.PositiveIntegerField(blank=True, null=True)),
                ("place", models.PositiveIntegerField(blank=True, null=True)),
                (
                    "points",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=7, null=True),
                ),
                (
                    "angler",
                    of_the(
                        "matches.angler",
                        django.db.models.deletion.PROTECT,
                        "past_results",
                        blank=True,
                        null=True,
                    ),
                ),
                (
                    "match",
                    of_the("matches.pastmatch", django.db.models.deletion.CASCADE, "results"),
                ),
            ],
            options={
                "ordering": ["match", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("angler__isnull", False)),
                        fields=("match", "angler"),
                        name="past_result_once_an_angler",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("name", ""), _negated=True),
                        fields=("match", "name"),
                        name="past_result_once_a_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("angler__isnull", True),
                                models.Q(("name", ""), _negated=True),
                            ),
                            models.Q(("angler__isnull", False), ("name", "")),
                            _connector="OR",
                        ),
                        name="past_result_is_somebodys",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("weight__isnull", True),
                            ("weight__lte", 2000000),
                            _connector="OR",
                        ),
                        name="past_weight_on_the_scales",
                    ),
                ],
            },
        ),
    ]
