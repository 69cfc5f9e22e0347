"""Money of a match: who paid what, and the pools it is won in."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .matches import Entry, Match
from .people import Person


class WonBy(models.TextChoices):
    WEIGHT = "weight", _("the greatest weights")
    BIGGEST_FISH = "biggest_fish", _("the biggest fish")


class Pool(models.Model):
    """One pool: what each pays in, and how it is won.

    `frame` is the payouts calculator's list of prizes, in place order. `pays_in`: all who are
    entered, or only who chose to. `rest_to` says where what is not won goes, in plain words.
    """

    match = models.ForeignKey(Match, models.CASCADE, related_name="pools")
    key = models.SlugField(max_length=40)
    name = models.CharField(max_length=80)
    position = models.PositiveIntegerField(default=1)
    stake_pence = models.PositiveIntegerField()
    opt_in = models.BooleanField(default=False)
    won_by = models.CharField(max_length=16, choices=WonBy, default=WonBy.WEIGHT)
    frame: models.JSONField[Any] = models.JSONField(default=list, blank=True)
    section_pence = models.PositiveIntegerField(default=0)
    section_by_default = models.BooleanField(default=True)
    rest_to = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "key"], name="pool_key_in_match"),
            models.CheckConstraint(condition=Q(won_by__in=WonBy.values), name="pool_won_by_known"),
        ]
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.name


class PoolEntry(models.Model):
    """An entry that chose to be in a pool."""

    pool = models.ForeignKey(Pool, models.CASCADE, related_name="entries")
    entry = models.ForeignKey(Entry, models.CASCADE, related_name="pools")

    class Meta:
        verbose_name_plural = _("pool entries")
        constraints = [models.UniqueConstraint(fields=["pool", "entry"], name="entry_once_in_pool")]

    def __str__(self) -> str:
        return f"{self.pool} · {self.entry}"


class FeePayment(models.Model):
    """Money taken from an entry, or given back (below zero). Rows are only ever added.

    `pool` null: the match's own fee. `key` is made where the money was meant, so that a tap sent
    twice is one payment.
    """

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="payments")
    pool = models.ForeignKey(Pool, models.PROTECT, null=True, blank=True, related_name="payments")
    pence = models.IntegerField()
    note = models.CharField(max_length=120, blank=True)
    key = models.UUIDField(default=uuid.uuid4, unique=True)
    taken_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    taken_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(pence=0), name="payment_not_nothing")]
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.entry} · {self.pence}"


class PrizePaid(models.Model):
    """A prize handed over, as a bulletin has it. Rows are only ever added."""

    match = models.ForeignKey(Match, models.PROTECT, related_name="prizes_paid")
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="prizes_paid")
    pence = models.IntegerField()
    note = models.CharField(max_length=120, blank=True)
    key = models.UUIDField(default=uuid.uuid4, unique=True)
    paid_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    paid_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = _("prizes paid")
        constraints = [models.CheckConstraint(condition=~Q(pence=0), name="prize_not_nothing")]
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.entry} · {self.pence}"
