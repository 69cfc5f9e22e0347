"""What other programs reach a person's clubs by: tokens, addresses that are told, calendars."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from .people import Club, Person


class Scope(models.TextChoices):
    """What a token may be good for, and never more than its person may."""

    MATCHES_READ = "matches:read", _("read your clubs and matches: who is entered, pegs, pools")
    RESULTS_READ = "results:read", _("read weights, bulletins and leagues")
    RESULTS_WRITE = "results:write", _("publish bulletins")
    BAIT_READ = "bait:read", _("read baits, shops, plans, orders and a team’s season")
    BAIT_WRITE = "bait:write", _("save plans and have orders worked out")
    FACTS_READ = "facts:read", _("read what was logged")
    FACTS_WRITE = "facts:write", _("log weights and notes as you")


class ApiToken(models.Model):
    """What a program signs in with as one person, for as little as its scopes say.

    `digest` is the SHA-256 of the whole token, which is kept nowhere. `password_mark` changes with
    the person's password: a token of another mark is dead. `last_used_on` is a day, no more.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="api_tokens")
    name = models.CharField(max_length=60)
    digest = models.CharField(max_length=64, unique=True)
    scopes = models.JSONField(default=list)
    password_mark = models.CharField(max_length=64)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    last_used_on = models.DateField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("API token")
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.name


class CalendarLink(models.Model):
    """The address of a person's own calendar; `digest` is the SHA-256 of what it ends in."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="calendar_link")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.person} · {self.made_at:%Y-%m-%d}"


class Webhook(models.Model):
    """An address that is told what a club publishes.

    Its secret is derived from `salt` and the server's key, so that no copy of the database holds
    it. `off_at` and `off_why`: nothing is sent any more, and why, in words.
    """

    club = models.ForeignKey(Club, models.CASCADE, related_name="webhooks")
    address = models.CharField(max_length=300)
    salt = models.UUIDField(default=uuid.uuid4)
    made_at = models.DateTimeField(auto_now_add=True)
    off_at = models.DateTimeField(null=True, blank=True)
    off_why = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["club", "address"], name="webhook_address_once_in_club")
        ]

    def __str__(self) -> str:
        return self.address


class DeliveryState(models.TextChoices):
    WAITING = "waiting", _("waiting")
    SENT = "sent", _("taken")
    FAILED = "failed", _("given up")


class Delivery(models.Model):
    """One message to one address, written in the transaction of what it tells of.

    A worker claims it by a conditional update that sets `lease_until`; `due_at` is when it is next
    tried. `about` holds what the message is made from, so that each try sends the same bytes.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    webhook = models.ForeignKey(Webhook, models.CASCADE, related_name="deliveries")
    event = models.CharField(max_length=40)
    about = models.JSONField(default=dict)
    made_at = models.DateTimeField()
    state = models.CharField(max_length=8, choices=DeliveryState, default=DeliveryState.WAITING)
    due_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    tried_at = models.DateTimeField(null=True, blank=True)
    answer = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = _("deliveries")
        ordering = ["-made_at", "-id"]
        indexes = [models.Index(fields=["state", "due_at"], name="delivery_due")]
        constraints = [
            models.CheckConstraint(
                condition=Q(due_at__gte=F("made_at")), name="delivery_due_after_it_is_made"
            )
        ]

    def __str__(self) -> str:
        return f"{self.event} {self.state}"
