"""A match: its sections, its pegs, and who entered."""

from __future__ import annotations

from typing import Any, cast

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from matches.reckon import weights

from .people import Angler, Club, Team
from .venues import Peg, Venue


class WeightUnit(models.TextChoices):
    GRAMS = "g", _("kilograms and grams")
    DRAMS = "dr", _("pounds, ounces and drams")


class MatchState(models.TextChoices):
    PLANNED = "planned", _("planned")
    DRAWN = "drawn", _("drawn")
    WEIGHING = "weighing", _("weighing")
    PROVISIONAL = "provisional", _("provisional")
    CONFIRMED = "confirmed", _("confirmed")


class NetCapRule(models.TextChoices):
    """What a net over the match's cap counts."""

    CAP = "cap", _("the cap")
    NOTHING = "nothing", _("nothing")


class ScoredBy(models.TextChoices):
    WEIGHT = "weight", _("weight")
    FISH = "fish", _("fish, by the points of their species")


class RiverLevel(models.TextChoices):
    """How the river ran on the day, against what is usual there."""

    LOW = "low", _("low")
    NORMAL = "normal", _("normal")
    HIGH = "high", _("high")


def default_tie_breaks() -> list[str]:
    return ["weight", "best_place", "best_weight"]


def default_scheme() -> Any:
    return "international"


class Match(models.Model):
    club = models.ForeignKey(Club, models.PROTECT, related_name="matches")
    venue = models.ForeignKey(Venue, models.PROTECT, related_name="matches")
    name = models.CharField(max_length=120)
    slug = models.SlugField(max_length=80)
    date = models.DateField(help_text=_("The local date at the venue."))
    # The signals of the day in their order; the last warning comes `last_call_min` before the end.
    draw_at = models.DateTimeField(null=True, blank=True)
    prepare_at = models.DateTimeField(null=True, blank=True)
    feed_at = models.DateTimeField(null=True, blank=True)
    start_at = models.DateTimeField()
    end_at = models.DateTimeField()
    last_call_min = models.PositiveSmallIntegerField(default=5)
    called_off = models.CharField(
        max_length=200, blank=True, help_text=_("Why the match is not fished; empty while it is.")
    )
    state = models.CharField(max_length=12, choices=MatchState, default=MatchState.PLANNED)
    weight_unit = models.CharField(max_length=2, choices=WeightUnit, default=WeightUnit.GRAMS)
    # As the placings calculator takes it: a name, or the rules one by one.
    scheme = models.JSONField(default=default_scheme)
    team_tie_breaks = models.JSONField(default=default_tie_breaks)
    net_cap = models.PositiveIntegerField(
        null=True, blank=True, help_text=_("In the match's unit: the most one net may hold.")
    )
    net_cap_rule = models.CharField(max_length=8, choices=NetCapRule, default=NetCapRule.CAP)
    scored_by = models.CharField(max_length=8, choices=ScoredBy, default=ScoredBy.WEIGHT)
    # Where fish are scored: [{"name": "Roach", "points": 1}], whole points.
    species = models.JSONField(default=list, blank=True)
    objection_min = models.PositiveSmallIntegerField(
        default=30, help_text=_("Minutes a provisional result is open to objection.")
    )
    places_most = models.PositiveIntegerField(
        null=True, blank=True, help_text=_("Who enters after so many waits.")
    )
    fee_pence = models.PositiveIntegerField(default=0)
    groundbait_limit_l = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    bait_limit_l = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    limits_source = models.CharField(max_length=200, blank=True)
    order_by = models.DateTimeField(
        null=True, blank=True, help_text=_("The cut-off for bait orders.")
    )

    river_level = models.CharField(max_length=6, choices=RiverLevel, blank=True)
    board_cm = models.SmallIntegerField(
        null=True, blank=True, help_text=_("What the gauge board read; below zero it may be.")
    )

    class Meta:
        verbose_name_plural = _("matches")
        constraints = [
            models.UniqueConstraint(fields=["club", "slug"], name="match_slug_in_club"),
            models.CheckConstraint(
                condition=Q(end_at__gt=F("start_at")), name="match_ends_after_start"
            ),
            models.CheckConstraint(
                condition=Q(weight_unit__in=WeightUnit.values), name="match_unit_known"
            ),
            models.CheckConstraint(
                condition=Q(state__in=MatchState.values), name="match_state_known"
            ),
            models.CheckConstraint(
                condition=(Q(prepare_at__isnull=True) | Q(prepare_at__lte=F("start_at")))
                & (Q(feed_at__isnull=True) | Q(feed_at__lte=F("start_at"))),
                name="match_signals_before_start",
            ),
            models.CheckConstraint(
                condition=Q(net_cap__isnull=True) | Q(net_cap__gte=1), name="match_cap_positive"
            ),
            models.CheckConstraint(
                condition=Q(net_cap_rule__in=NetCapRule.values), name="match_cap_rule_known"
            ),
            models.CheckConstraint(
                condition=Q(scored_by__in=ScoredBy.values), name="match_scoring_known"
            ),
            models.CheckConstraint(
                condition=Q(groundbait_limit_l__isnull=True) | Q(groundbait_limit_l__gte=0),
                name="match_groundbait_limit_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(bait_limit_l__isnull=True) | Q(bait_limit_l__gte=0),
                name="match_bait_limit_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(river_level="") | Q(river_level__in=RiverLevel.values),
                name="match_river_level_known",
            ),
            models.CheckConstraint(
                condition=Q(board_cm__isnull=True) | Q(board_cm__gte=-500, board_cm__lte=2000),
                name="match_board_real",
            ),
        ]
        ordering = ["-date", "name"]

    def __str__(self) -> str:
        return f"{self.name} {self.date:%d %b %Y}"

    @property
    def unit(self) -> weights.WeightUnit:
        """The unit of its weights, as reckoning takes it."""
        return cast(weights.WeightUnit, self.weight_unit)

    @property
    def minutes(self) -> int:
        """How long it is fished."""
        return int((self.end_at - self.start_at).total_seconds() // 60)


class Section(models.Model):
    match = models.ForeignKey(Match, models.CASCADE, related_name="sections")
    label = models.CharField(max_length=8)
    position = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "label"], name="section_label_in_match"),
            models.UniqueConstraint(fields=["match", "position"], name="section_position_in_match"),
        ]
        ordering = ["position"]

    def __str__(self) -> str:
        return self.label


class SectionPeg(models.Model):
    """A peg in use on the day, and the section it counts in."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="section_pegs")
    section = models.ForeignKey(Section, models.CASCADE, related_name="section_pegs")
    peg = models.ForeignKey(Peg, models.PROTECT, related_name="section_pegs")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "peg"], name="peg_in_one_section_of_match")
        ]
        ordering = ["peg__position"]

    def __str__(self) -> str:
        return f"{self.section.label}{self.peg.number}"


class PegLeftOut(models.Model):
    """A peg of the venue that is not fished on the day, and why."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="pegs_left_out")
    peg = models.ForeignKey(Peg, models.PROTECT, related_name="+")
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = _("pegs left out")
        constraints = [
            models.UniqueConstraint(fields=["match", "peg"], name="peg_left_out_once_in_match")
        ]
        ordering = ["peg__position"]

    def __str__(self) -> str:
        return self.peg.number


class EntryStatus(models.TextChoices):
    """Those who fish or should have (entered, retired, absent, disqualified), and those who do not:
    a reserve stands by, who waits has no place yet, who withdrew gave it back."""

    ENTERED = "entered", _("entered")
    RESERVE = "reserve", _("reserve")
    WAITING = "waiting", _("on the waiting list")
    WITHDRAWN = "withdrawn", _("withdrawn")
    RETIRED = "retired", _("retired")
    ABSENT = "absent", _("absent")
    DISQUALIFIED = "disqualified", _("disqualified")


#: Of those who fish, or should have.
FISHING = (
    EntryStatus.ENTERED,
    EntryStatus.RETIRED,
    EntryStatus.ABSENT,
    EntryStatus.DISQUALIFIED,
)


class Entry(models.Model):
    match = models.ForeignKey(Match, models.CASCADE, related_name="entries")
    angler = models.ForeignKey(Angler, models.PROTECT, related_name="entries")
    team = models.ForeignKey(Team, models.PROTECT, null=True, blank=True, related_name="entries")
    status = models.CharField(max_length=12, choices=EntryStatus, default=EntryStatus.ENTERED)
    needs_access = models.BooleanField(
        default=False, help_text=_("Asks for a peg that can be reached with a wheelchair.")
    )
    # Whose place, and peg where it was drawn, this entry took over.
    replaces = models.OneToOneField(
        "self", models.SET_NULL, null=True, blank=True, related_name="replaced_by"
    )
    entered_at = models.DateTimeField(auto_now_add=True, null=True)

    class Meta:
        verbose_name_plural = _("entries")
        constraints = [
            models.UniqueConstraint(fields=["match", "angler"], name="angler_once_in_match"),
            models.CheckConstraint(
                condition=Q(status__in=EntryStatus.values), name="entry_status_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.angler}"
