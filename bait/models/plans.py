"""What a member means to feed, stage by stage."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from matches.models import Angler, Entry, Person, Team
from matches.reckon.decimals import decimal_plain

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
    HOOK = "hook", _("hook baits")


class Throw(models.TextChoices):
    """Amounts a hand or a tool gives; how much that is, each angler measures."""

    PINCH = "pinch", _("pinch")
    HANDFUL = "handful", _("handful")
    POUCH = "pouch", _("pouch")


BAG = "bag"
#: What an amount in a plan may be counted in: units, throws, and the bag a bait is known by.
PLAN_UNITS = [*Unit.choices, *Throw.choices, (BAG, _("bag"))]
PLAN_UNIT_VALUES = [value for value, _name in PLAN_UNITS]


class ThrowSize(models.Model):
    """How many millilitres one angler's throw is: of one bait, or of any."""

    angler = models.ForeignKey(Angler, models.CASCADE, related_name="throw_sizes")
    throw = models.CharField(max_length=7, choices=Throw)
    bait = models.ForeignKey(Bait, models.CASCADE, null=True, blank=True, related_name="+")
    ml = models.DecimalField(max_digits=6, decimal_places=1)

    class Meta:
        constraints = [
            models.UniqueConstraint("angler", "throw", Coalesce("bait", 0), name="throw_size_once"),
            models.CheckConstraint(
                condition=Q(ml__gt=0) & Q(ml__lte=2000), name="throw_size_of_a_hand"
            ),
            models.CheckConstraint(condition=Q(throw__in=Throw.values), name="throw_known"),
        ]
        ordering = ["throw", "id"]

    def __str__(self) -> str:
        return f"{self.get_throw_display()} {decimal_plain(self.ml)} ml"


class Mix(models.Model):
    """A groundbait mix of a plan: what is wetted, how long it rests, how it behaves.

    The last four are the mix calculator's: `swell` litres ready from a litre dry, `squeeze` litres
    of ball from a litre loose, `packing` solid part of loose particles, `film_mm` the coat of mix
    round each particle. A member measures them; the defaults are from memory.
    """

    plan = models.ForeignKey(Plan, models.CASCADE, related_name="mixes")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=40)
    water_per_dry = models.DecimalField(max_digits=4, decimal_places=3, default=Decimal("0.45"))
    rest_minutes = models.PositiveSmallIntegerField(default=25)
    swell = models.DecimalField(max_digits=4, decimal_places=2, default=Decimal("1"))
    squeeze = models.DecimalField(max_digits=3, decimal_places=2, default=Decimal("0.7"))
    packing = models.DecimalField(max_digits=3, decimal_places=2, default=Decimal("0.6"))
    film_mm = models.DecimalField(max_digits=4, decimal_places=2, default=Decimal("0.4"))

    class Meta:
        verbose_name_plural = _("mixes")
        constraints = [
            models.UniqueConstraint(fields=["plan", "position"], name="mix_position_in_plan"),
            models.UniqueConstraint(fields=["plan", "name"], name="mix_name_in_plan"),
            models.CheckConstraint(
                condition=Q(water_per_dry__gte=0) & Q(water_per_dry__lte=3),
                name="mix_water_in_range",
            ),
            models.CheckConstraint(condition=Q(rest_minutes__lte=240), name="mix_rest_in_range"),
            models.CheckConstraint(
                condition=Q(swell__gte=Decimal("0.3")) & Q(swell__lte=5), name="mix_swell_in_range"
            ),
            models.CheckConstraint(
                condition=Q(squeeze__gte=Decimal("0.2")) & Q(squeeze__lte=1),
                name="mix_squeeze_in_range",
            ),
            models.CheckConstraint(
                condition=Q(packing__gte=Decimal("0.3")) & Q(packing__lte=1),
                name="mix_packing_in_range",
            ),
            models.CheckConstraint(
                condition=Q(film_mm__gte=0) & Q(film_mm__lte=5), name="mix_film_in_range"
            ),
        ]
        ordering = ["position"]

    def __str__(self) -> str:
        return self.name


class MixPart(models.Model):
    """One thing that goes into a mix: dry before the water, or soil after the rest."""

    mix = models.ForeignKey(Mix, models.CASCADE, related_name="parts")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="mix_parts")
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=7, choices=PLAN_UNITS)
    after_rest = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["mix", "bait"], name="bait_once_in_mix"),
            models.CheckConstraint(condition=Q(amount__gt=0), name="mix_amount_above_zero"),
            models.CheckConstraint(condition=Q(unit__in=PLAN_UNIT_VALUES), name="mix_unit_known"),
        ]
        ordering = ["after_rest", "id"]

    def __str__(self) -> str:
        return f"{self.bait} {decimal_plain(self.amount)} {self.unit}"


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
    # A stage with balls: what it feeds is loaded into them, and they are made of a mix.
    balls = models.PositiveSmallIntegerField(null=True, blank=True)
    ball_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    mix = models.ForeignKey(Mix, models.RESTRICT, null=True, blank=True, related_name="stages")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(balls__isnull=True, ball_mm__isnull=True, mix__isnull=True)
                | Q(
                    balls__gte=1,
                    balls__lte=500,
                    ball_mm__gte=20,
                    ball_mm__lte=200,
                    mix__isnull=False,
                ),
                name="stage_balls_whole",
            ),
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
    """One bait of a stage: the whole amount, or the amount of each throw where it has a rhythm.

    In a stage with balls it is what all of its balls together are loaded with.
    """

    stage = models.ForeignKey(Stage, models.CASCADE, related_name="feeds")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="stage_feeds")
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=7, choices=PLAN_UNITS)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["stage", "bait"], name="bait_once_in_stage"),
            models.CheckConstraint(condition=Q(amount__gt=0), name="feed_amount_above_zero"),
            models.CheckConstraint(condition=Q(unit__in=PLAN_UNIT_VALUES), name="feed_unit_known"),
        ]
        ordering = ["bait__name"]

    def __str__(self) -> str:
        return f"{self.bait} {decimal_plain(self.amount)} {self.unit}"


class PlanSubstitute(models.Model):
    """What a member takes where the bait they planned cannot be had."""

    plan = models.ForeignKey(Plan, models.CASCADE, related_name="substitutes")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="+")
    instead = models.ForeignKey(Bait, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plan", "bait"], name="substitute_once_per_bait"),
            models.CheckConstraint(condition=~Q(bait=F("instead")), name="substitute_is_another"),
        ]
        ordering = ["bait__name"]

    def __str__(self) -> str:
        return f"{self.instead} ← {self.bait}"


class PlanTemplate(models.Model):
    """A plan a team starts from: `content` is what a plan is sent in as, without its version."""

    team = models.ForeignKey(Team, models.CASCADE, related_name="plan_templates")
    name = models.CharField(max_length=80)
    content = models.JSONField()
    made_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    made_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["team", "name"], name="template_name_in_team"),
            models.CheckConstraint(condition=~Q(name=""), name="template_has_name"),
        ]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
