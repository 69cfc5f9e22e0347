"""The parts of a match's bait limits; the two wholes stand on the match itself."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from matches.models import Match

from .shops import Bait, BaitFamily


class LimitCounts(models.TextChoices):
    ANIMAL = "animal", _("animal bait")
    GROUNDBAIT = "groundbait", _("groundbait, soil and particles")
    ANY = "any", _("any bait")


class LimitUse(models.TextChoices):
    ANY = "any", _("for whatever use")
    FEED = "feed", _("to feed")
    HOOK = "hook", _("for the hook")


class LimitForm(models.TextChoices):
    ANY = "any", _("live or dead")
    LIVE = "live", _("live")
    DEAD = "dead", _("dead")


class MatchLimit(models.Model):
    """At most `allowed_l` litres of what all of its conditions name; 0 forbids it.

    `bait` narrows it to one bait, `family` to one sort. The organiser's rule always wins, so each
    shows its `source`.
    """

    match = models.ForeignKey(Match, models.CASCADE, related_name="bait_limits")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=80)
    counts = models.CharField(max_length=10, choices=LimitCounts, default=LimitCounts.ANIMAL)
    family = models.CharField(max_length=6, choices=BaitFamily, blank=True, default="")
    bait = models.ForeignKey(Bait, models.CASCADE, null=True, blank=True, related_name="limits")
    use = models.CharField(max_length=4, choices=LimitUse, default=LimitUse.ANY)
    form = models.CharField(max_length=4, choices=LimitForm, default=LimitForm.ANY)
    allowed_l = models.DecimalField(max_digits=6, decimal_places=3)
    source = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "position"], name="limit_position_in_match"),
            models.UniqueConstraint(fields=["match", "name"], name="limit_name_in_match"),
            models.CheckConstraint(condition=Q(allowed_l__gte=0), name="limit_not_negative"),
            models.CheckConstraint(condition=~Q(name=""), name="limit_has_name"),
            models.CheckConstraint(
                condition=Q(counts__in=LimitCounts.values), name="limit_counts_known"
            ),
            models.CheckConstraint(
                condition=Q(family__in=BaitFamily.values), name="limit_family_known"
            ),
            models.CheckConstraint(condition=Q(use__in=LimitUse.values), name="limit_use_known"),
            models.CheckConstraint(condition=Q(form__in=LimitForm.values), name="limit_form_known"),
        ]
        ordering = ["position"]

    def __str__(self) -> str:
        return self.name
