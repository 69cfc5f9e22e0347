"""Bait in hand, lot by lot, and every movement of it."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from matches.models import Angler, Match, Person, Team
from matches.reckon.decimals import decimal_plain

from .orders import Order
from .shops import Bait, Unit


class LotState(models.TextChoices):
    FRESH = "fresh", _("fresh")
    FROZEN = "frozen", _("frozen")
    DRY = "dry", _("dry")
    COOKED = "cooked", _("cooked")


class LarderLot(models.Model):
    """Bait in hand: the team's, or one member's own."""

    team = models.ForeignKey(Team, models.PROTECT, related_name="larder")
    angler = models.ForeignKey(Angler, models.PROTECT, null=True, blank=True, related_name="larder")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="lots")
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=4, choices=Unit)
    state = models.CharField(max_length=6, choices=LotState, default=LotState.FRESH)
    note = models.CharField(max_length=120, blank=True)
    bought_on = models.DateField(null=True, blank=True)
    use_by = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(amount__gte=0), name="lot_not_negative"),
            models.CheckConstraint(condition=Q(unit__in=Unit.values), name="lot_unit_known"),
            models.CheckConstraint(condition=Q(state__in=LotState.values), name="lot_state_known"),
        ]
        ordering = ["use_by", "id"]

    def __str__(self) -> str:
        return f"{self.bait} {decimal_plain(self.amount)} {self.unit}"


class MoveKind(models.TextChoices):
    BROUGHT = "brought", _("brought in")
    LEFT_OVER = "left_over", _("left over from a match")
    TAKEN = "taken", _("taken for a match")
    THROWN = "thrown", _("thrown away")
    CORRECTED = "corrected", _("counted again")


class LotMove(models.Model):
    """What came to a lot or went from it, in the lot's unit; kept for good.

    A lot's amount is the sum of its moves. `key` is made where the move was meant, so that the
    same tap sent twice moves once.
    """

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    lot = models.ForeignKey(LarderLot, models.PROTECT, related_name="moves")
    kind = models.CharField(max_length=9, choices=MoveKind)
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    order = models.ForeignKey(Order, models.SET_NULL, null=True, blank=True, related_name="moves")
    match = models.ForeignKey(Match, models.SET_NULL, null=True, blank=True, related_name="+")
    person = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(amount=0), name="move_moves"),
            models.CheckConstraint(condition=Q(kind__in=MoveKind.values), name="move_kind_known"),
            models.CheckConstraint(
                condition=Q(kind=MoveKind.CORRECTED)
                | Q(kind__in=[MoveKind.BROUGHT, MoveKind.LEFT_OVER], amount__gt=0)
                | Q(kind__in=[MoveKind.TAKEN, MoveKind.THROWN], amount__lt=0),
                name="move_goes_its_way",
            ),
        ]
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {decimal_plain(self.amount)} {self.lot.unit}"
