"""What a member means to feed, stage by stage."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from matches.models import Entry, Person

from .shops import Bait, Unit


class Plan(models.Model):
    """One entry's plan for a match. `version` rises with every saved change."""

    entry = models.OneToOneField(Entry, models.CASCADE, related_name="plan")
    spare_percent = models.PositiveSmallIntegerField(default=0)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(spare_percent__lte=100), name="plan_spare_in_range")
        ]

    def __str__(self) -> str:
        return f"{self.entry}"


class StageKind(models.TextChoices):
    OPENING = "opening", _("opening")
    FEED = "feed", _("feed")
    TOP_UP = "top_up", _("top-up")
    SWITCH = "switch", _("switch")


class Stage(models.Model):
    """Minutes count from the start of the match; the opening may begin before it."""

    plan = models.ForeignKey(Plan, models.CASCADE, related_name="stages")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=8, choices=StageKind)
    line = models.CharField(max_length=40, blank=True, help_text=_("Long, short, shallow …"))
    start_minute = models.SmallIntegerField(default=0)
    end_minute = models.SmallIntegerField()
    every_seconds = models.PositiveIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plan", "position"], name="stage_position_in_plan"),
            models.CheckConstraint(condition=Q(kind__in=StageKind.values), name="stage_kind_known"),
            models.CheckConstraint(
                condition=Q(end_minute__gte=F("start_minute")), name="stage_ends_after_start"
            ),
            models.CheckConstraint(
                condition=Q(start_minute__gte=-60) & Q(end_minute__lte=1440),
                name="stage_within_a_day",
            ),
            models.CheckConstraint(
                condition=Q(every_seconds__isnull=True) | Q(every_seconds__gte=1),
                name="stage_rhythm_above_zero",
            ),
        ]
        ordering = ["position"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.start_minute}–{self.end_minute}"


class StageFeed(models.Model):
    """One bait of a stage: the whole amount, or the amount of each throw where it has a rhythm."""

    stage = models.ForeignKey(Stage, models.CASCADE, related_name="feeds")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="stage_feeds")
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=4, choices=Unit)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["stage", "bait"], name="bait_once_in_stage"),
            models.CheckConstraint(condition=Q(amount__gt=0), name="feed_amount_above_zero"),
            models.CheckConstraint(condition=Q(unit__in=Unit.values), name="feed_unit_known"),
        ]
        ordering = ["bait__name"]

    def __str__(self) -> str:
        return f"{self.bait} {self.amount.normalize():f} {self.unit}"
