"""Clubs, the people who sign in, what they may do, and the anglers in a club's book."""

from __future__ import annotations

import uuid

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _


class Measures(models.TextChoices):
    """What is said beside amounts, weights and lengths of the other system. What is stored, bought
    or weighed in is not of it."""

    WRITTEN = "written", _("as each is written")
    UK = "uk", _("with pints, pounds and feet beside metric ones")
    METRIC = "metric", _("with litres, kilograms and metres beside UK ones")


class Light(models.TextChoices):
    """What a screen is drawn in; none chosen is what the device asks for."""

    DAY = "day", _("Day")
    SUN = "sun", _("Sun")
    NIGHT = "night", _("Night")


class Person(AbstractUser):
    """Somebody who signs in. What they may do is in their memberships, club by club."""

    # One of the settings' LANGUAGES; empty is as the browser asks.
    language = models.CharField(max_length=16, blank=True, default="", db_default="")
    measures = models.CharField(
        max_length=8, choices=Measures, default=Measures.WRITTEN, db_default="written"
    )
    light = models.CharField(
        max_length=5, choices=Light.choices, blank=True, default="", db_default=""
    )

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")

    @property
    def name(self) -> str:
        """As others read it: the person's own name, or else what the person signs in with."""
        return self.get_full_name() or self.username


class Club(models.Model):
    name = models.CharField(max_length=120)
    slug = models.SlugField(max_length=60, unique=True)
    currency = models.CharField(max_length=3, default="GBP")
    # The last number given to a fact; locked and raised in the transaction that stores facts.
    fact_counter = models.BigIntegerField(default=0, editable=False)
    # Changes when a backup is restored, so that phones send again what the backup lacks.
    epoch = models.UUIDField(default=uuid.uuid4, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(fact_counter__gte=0), name="club_counter_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"), name="club_currency_iso4217"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Team(models.Model):
    club = models.ForeignKey(Club, models.PROTECT, related_name="teams")
    name = models.CharField(max_length=120)
    visitors = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="team_name_in_club")]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Angler(models.Model):
    """A name in a club's book: it may belong to a person who signs in, or to a visitor."""

    club = models.ForeignKey(Club, models.PROTECT, related_name="anglers")
    person = models.ForeignKey(
        Person, models.SET_NULL, related_name="anglers", null=True, blank=True
    )
    team = models.ForeignKey(Team, models.SET_NULL, related_name="anglers", null=True, blank=True)
    name = models.CharField(max_length=120)
    junior = models.BooleanField(default=False)
    guardian_consents = models.BooleanField(
        default=False, help_text=_("A guardian agreed in writing to the full name being shown.")
    )
    number = models.CharField(
        max_length=16, blank=True, default="", help_text=_("Of membership, as the club writes it.")
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "person"],
                condition=Q(person__isnull=False),
                name="angler_person_once_in_club",
            ),
            models.UniqueConstraint(
                fields=["club", "number"],
                condition=~Q(number=""),
                name="angler_number_once_in_club",
            ),
        ]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def public_name(self) -> str:
        """What the public sees: a junior's initials unless a guardian agreed to the name."""
        if self.junior and not self.guardian_consents:
            return " ".join(f"{part[0].upper()}." for part in self.name.split())
        return self.name


class Role(models.TextChoices):
    OWNER = "owner", _("owner")
    SECRETARY = "secretary", _("secretary")
    CAPTAIN = "captain", _("captain")
    WEIGHER = "weigher", _("weigher")
    MEMBER = "member", _("member")


class Membership(models.Model):
    """One role of one person in one club. A captain's is for a team, a weigher's for a match."""

    club = models.ForeignKey(Club, models.PROTECT, related_name="memberships")
    person = models.ForeignKey(Person, models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=12, choices=Role)
    team = models.ForeignKey(Team, models.CASCADE, null=True, blank=True, related_name="+")
    match = models.ForeignKey(
        "matches.Match", models.CASCADE, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=(Q(role=Role.CAPTAIN) & Q(team__isnull=False))
                | (~Q(role=Role.CAPTAIN) & Q(team__isnull=True)),
                name="membership_captain_has_team",
            ),
            models.CheckConstraint(
                condition=(Q(role=Role.WEIGHER) & Q(match__isnull=False))
                | (~Q(role=Role.WEIGHER) & Q(match__isnull=True)),
                name="membership_weigher_has_match",
            ),
            models.CheckConstraint(condition=Q(role__in=Role.values), name="membership_role_known"),
            models.UniqueConstraint(
                "club",
                "person",
                "role",
                Coalesce("team", 0),
                Coalesce("match", 0),
                name="membership_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} · {self.get_role_display()} · {self.club}"


class Device(models.Model):
    """A phone or a desk that writes facts. Its facts are numbered 1, 2, 3 … without a hole."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    person = models.ForeignKey(Person, models.CASCADE, related_name="devices")
    label = models.CharField(max_length=120, blank=True)
    app_build = models.CharField(max_length=40, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    last_seen_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.label or str(self.id)


class DeviceKey(models.Model):
    """What checks the facts that a phone signed to hand them to a mate's phone: a point of P-256,
    uncompressed, in base64url. The other half never leaves the phone."""

    device = models.ForeignKey(Device, models.CASCADE, related_name="keys")
    person = models.ForeignKey(Person, models.CASCADE, related_name="device_keys")
    public_key = models.CharField(max_length=87, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.person} · {self.device}"
