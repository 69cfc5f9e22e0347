"""Who paid the shops, and who paid whom back."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from matches.models import Angler, Person

from .orders import Order
from .shops import Shop


class ShopPayment(models.Model):
    """What a member paid a shop for the team's order."""

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    order = models.ForeignKey(Order, models.CASCADE, related_name="shop_payments")
    shop = models.ForeignKey(Shop, models.PROTECT, related_name="+")
    angler = models.ForeignKey(Angler, models.PROTECT, related_name="+")
    pence = models.PositiveIntegerField()
    noted_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    noted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pence__gt=0), name="shop_payment_above_zero")
        ]
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.angler} → {self.shop}"


class ShopCharge(models.Model):
    """What a shop charged for all in the end, where that is not what the order says."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="shop_charges")
    shop = models.ForeignKey(Shop, models.PROTECT, related_name="+")
    pence = models.PositiveIntegerField()
    noted_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    noted_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["order", "shop"], name="shop_charge_once_in_order")
        ]
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.shop} · {self.pence}"


class PaidBack(models.Model):
    """What one member paid another for their share of an order."""

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    order = models.ForeignKey(Order, models.CASCADE, related_name="paid_back")
    payer = models.ForeignKey(Angler, models.PROTECT, related_name="+")
    payee = models.ForeignKey(Angler, models.PROTECT, related_name="+")
    pence = models.PositiveIntegerField()
    noted_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    noted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = _("paid back")
        constraints = [
            models.CheckConstraint(condition=Q(pence__gt=0), name="paid_back_above_zero"),
            models.CheckConstraint(condition=~Q(payer=F("payee")), name="paid_back_to_another"),
        ]
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.payer} → {self.payee}"
