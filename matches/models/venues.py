"""Waters and their pegs."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .people import Club


class Venue(models.Model):
    club = models.ForeignKey(Club, models.PROTECT, related_name="venues")
    name = models.CharField(max_length=120)
    water = models.CharField(max_length=120, blank=True)
    timezone = models.CharField(max_length=60, default="Europe/London")
    cautions = models.TextField(
        blank=True, help_text=_("Power lines, steep banks, floods: shown on every phone.")
    )

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="venue_name_in_club")]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Bank(models.TextChoices):
    """Which bank, as one looks downstream."""

    LEFT = "left", _("left bank")
    RIGHT = "right", _("right bank")


class Peg(models.Model):
    """A place to fish from; `position` counts downstream along the bank from 1.

    `along_m` is the way along the bank from the venue's first peg. A retired peg is fished no more,
    and stays for the matches that were fished from it.
    """

    venue = models.ForeignKey(Venue, models.PROTECT, related_name="pegs")
    number = models.CharField(max_length=8)
    position = models.PositiveIntegerField()
    depth_cm = models.PositiveIntegerField(null=True, blank=True)
    side = models.CharField(max_length=5, choices=Bank, blank=True)
    along_m = models.PositiveIntegerField(null=True, blank=True)
    latitude = models.DecimalField(max_digits=8, decimal_places=6, null=True, blank=True)
    longitude = models.DecimalField(max_digits=9, decimal_places=6, null=True, blank=True)
    accessible = models.BooleanField(default=False)
    power_lines = models.BooleanField(default=False)
    steep_bank = models.BooleanField(default=False)
    notes = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["venue", "number"], name="peg_number_in_venue"),
            models.UniqueConstraint(fields=["venue", "position"], name="peg_position_in_venue"),
            models.CheckConstraint(condition=Q(position__gte=1), name="peg_position_from_one"),
            models.CheckConstraint(condition=~Q(number=""), name="peg_has_number"),
            models.CheckConstraint(
                condition=Q(depth_cm__isnull=True) | Q(depth_cm__lte=5000), name="peg_depth_real"
            ),
            models.CheckConstraint(
                condition=Q(side="") | Q(side__in=Bank.values), name="peg_side_known"
            ),
            models.CheckConstraint(
                condition=Q(along_m__isnull=True) | Q(along_m__lte=100_000), name="peg_along_real"
            ),
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="peg_place_on_earth",
            ),
        ]
        ordering = ["position"]

    def __str__(self) -> str:
        return self.number
