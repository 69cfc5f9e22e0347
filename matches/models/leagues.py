"""A league: rounds that are matches, its rules, and its tables as they were."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .bulletins import Bulletin
from .matches import Match
from .people import Club, Person


class LeagueOf(models.TextChoices):
    ANGLERS = "anglers", _("anglers")
    TEAMS = "teams", _("teams")


class League(models.Model):
    """`rules` is the league calculator's request without its rounds, and `counts`: what of a match
    is counted, its points or the places over all."""

    club = models.ForeignKey(Club, models.PROTECT, related_name="leagues")
    name = models.CharField(max_length=120)
    slug = models.SlugField(max_length=80)
    of = models.CharField(max_length=8, choices=LeagueOf)
    rules: models.JSONField[Any] = models.JSONField(default=dict)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "slug"], name="league_slug_in_club"),
            models.CheckConstraint(condition=Q(of__in=LeagueOf.values), name="league_of_known"),
        ]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class LeagueRound(models.Model):
    league = models.ForeignKey(League, models.CASCADE, related_name="rounds")
    match = models.ForeignKey(Match, models.PROTECT, related_name="league_rounds")
    number = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["league", "number"], name="round_number_in_league"),
            models.UniqueConstraint(fields=["league", "match"], name="match_once_in_league"),
            models.CheckConstraint(condition=Q(number__gte=1), name="round_number_from_one"),
        ]
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.league} · {self.number}"


class LeagueTable(models.Model):
    """A league as it stood, made of bulletins. The database refuses every later change to it, but
    that names are replaced as in a bulletin (`redacted`)."""

    league = models.ForeignKey(League, models.PROTECT, related_name="tables")
    number = models.PositiveIntegerField()
    body = models.JSONField()
    digest = models.CharField(max_length=64)
    redacted = models.CharField(max_length=64, blank=True)
    bulletin = models.ForeignKey(
        Bulletin, models.PROTECT, null=True, related_name="+", help_text=_("What brought it on.")
    )
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["league", "number"], name="table_number_in_league"),
            models.CheckConstraint(condition=Q(number__gte=1), name="table_number_from_one"),
        ]
        ordering = ["number"]

    @property
    def digest_shown(self) -> str:
        """Of the body as it is now."""
        return self.redacted or self.digest

    def __str__(self) -> str:
        return f"{self.league} · {self.number}"
