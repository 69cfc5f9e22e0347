"""Files looked at before they are imported, and the past results that came out of such files."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .matches import WeightUnit
from .people import Angler, Club, Person
from .venues import Venue


class ImportKind(models.TextChoices):
    ANGLERS = "anglers", _("anglers")
    ENTRANTS = "entrants", _("entrants of a match")
    PEGS = "pegs", _("pegs of a venue")
    PRICES = "prices", _("prices of a shop")
    RESULTS = "results", _("past results")


class ImportFile(models.Model):
    """A file between the look at it and its import: its sender's alone, swept after a day.

    `about` is what it is for: a match's, venue's or shop's key, or empty. `columns` says which of
    the file's columns is read as what. `done` is what its import did, null until then.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    club = models.ForeignKey(Club, models.CASCADE, related_name="+")
    person = models.ForeignKey(Person, models.CASCADE, related_name="+")
    kind = models.CharField(max_length=12, choices=ImportKind)
    about = models.CharField(max_length=80, blank=True)
    name = models.CharField(max_length=120, blank=True)
    raw = models.BinaryField()
    digest = models.CharField(max_length=64)
    columns: models.JSONField[Any] = models.JSONField(default=dict, blank=True)
    done: models.JSONField[Any] = models.JSONField(null=True, blank=True)
    kept_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=ImportKind.values), name="import_kind_known"
            )
        ]
        indexes = [models.Index(fields=["kept_at"], name="import_file_kept")]
        ordering = ["-kept_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.name}"


class ImportColumns(models.Model):
    """How a club last read a file with these heads: `heads` is their digest."""

    club = models.ForeignKey(Club, models.CASCADE, related_name="+")
    kind = models.CharField(max_length=12, choices=ImportKind)
    heads = models.CharField(max_length=64)
    columns: models.JSONField[Any] = models.JSONField(default=dict)

    class Meta:
        verbose_name_plural = _("import columns")
        constraints = [
            models.UniqueConstraint(
                fields=["club", "kind", "heads"], name="import_columns_once_for_heads"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.heads[:8]}"


class PastMatch(models.Model):
    """A match of before, from the club's own book: no draw and no bulletin of it was made here."""

    club = models.ForeignKey(Club, models.PROTECT, related_name="past_matches")
    venue = models.ForeignKey(Venue, models.PROTECT, related_name="past_matches")
    date = models.DateField()
    name = models.CharField(max_length=120, blank=True)
    weight_unit = models.CharField(max_length=2, choices=WeightUnit, blank=True)

    class Meta:
        verbose_name_plural = _("past matches")
        constraints = [
            models.UniqueConstraint(fields=["venue", "date"], name="past_match_once_a_day"),
            models.CheckConstraint(
                condition=Q(weight_unit="") | Q(weight_unit__in=WeightUnit.values),
                name="past_match_unit_known",
            ),
        ]
        ordering = ["-date", "venue"]

    def __str__(self) -> str:
        return f"{self.name} {self.date:%d %b %Y}".strip()


class PastResult(models.Model):
    """One line of it. `name` only where nobody of that name is in the club's book of anglers.

    `weight` in the match's unit; `points` as they were written, half ones too.
    """

    match = models.ForeignKey(PastMatch, models.CASCADE, related_name="results")
    angler = models.ForeignKey(
        Angler, models.PROTECT, null=True, blank=True, related_name="past_results"
    )
    name = models.CharField(max_length=120, blank=True)
    peg = models.CharField(max_length=8, blank=True)
    section = models.CharField(max_length=8, blank=True)
    weight = models.PositiveIntegerField(null=True, blank=True)
    place = models.PositiveIntegerField(null=True, blank=True)
    points = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["match", "angler"],
                condition=Q(angler__isnull=False),
                name="past_result_once_an_angler",
            ),
            models.UniqueConstraint(
                fields=["match", "name"], condition=~Q(name=""), name="past_result_once_a_name"
            ),
            models.CheckConstraint(
                condition=(Q(angler__isnull=True) & ~Q(name=""))
                | (Q(angler__isnull=False) & Q(name="")),
                name="past_result_is_somebodys",
            ),
            models.CheckConstraint(
                condition=Q(weight__isnull=True) | Q(weight__lte=2_000_000),
                name="past_weight_on_the_scales",
            ),
        ]
        ordering = ["match", "pk"]

    def __str__(self) -> str:
        return f"{self.match} · {self.angler or self.name}"
