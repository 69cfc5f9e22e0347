"""A team's order in its versions, and how far it has come."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from matches.models import Angler, Match, Person, Team, WorkRequest

from .shops import Pack, Shop


class Order(models.Model):
    """A team's bait order for one match."""

    match = models.ForeignKey(Match, models.PROTECT, related_name="orders")
    team = models.ForeignKey(Team, models.PROTECT, related_name="orders")
    current = models.ForeignKey(
        "bait.OrderVersion", models.SET_NULL, null=True, blank=True, related_name="+"
    )
    placed = models.ForeignKey(
        "bait.OrderVersion", models.PROTECT, null=True, blank=True, related_name="+"
    )
    placed_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField(null=True, blank=True)
    bagged_at = models.DateTimeField(null=True, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "team"], name="order_once_per_team_and_match"),
            models.CheckConstraint(
                condition=Q(received_at__isnull=True) | Q(placed_at__isnull=False),
                name="order_received_once_placed",
            ),
            models.CheckConstraint(
                condition=Q(bagged_at__isnull=True) | Q(received_at__isnull=False),
                name="order_bagged_once_received",
            ),
            models.CheckConstraint(
                condition=Q(settled_at__isnull=True) | Q(placed_at__isnull=False),
                name="order_settled_once_placed",
            ),
            models.CheckConstraint(
                condition=Q(placed__isnull=True, placed_at__isnull=True)
                | Q(placed__isnull=False, placed_at__isnull=False),
                name="order_placed_with_time",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.team} · {self.match}"


class OrderVersion(models.Model):
    """One answer to one set of inputs, known by the digest of those inputs."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField()
    inputs = models.JSONField(help_text=_("The calculator's request, as it was."))
    inputs_digest = models.CharField(max_length=64)
    answer = models.JSONField(help_text=_("The calculator's whole answer."))
    status = models.CharField(
        max_length=10,
        choices=[
            ("optimal", _("least cost, proved")),
            ("short", _("something cannot be had")),
            ("best_found", _("best found so far")),
        ],
    )
    total_pence = models.PositiveIntegerField()
    goods_pence = models.PositiveIntegerField()
    delivery_pence = models.PositiveIntegerField()
    seconds = models.DecimalField(max_digits=8, decimal_places=3, null=True)
    made_at = models.DateTimeField(auto_now_add=True)
    work = models.ForeignKey(WorkRequest, models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["order", "number"], name="version_number_in_order"),
            models.UniqueConstraint(
                fields=["order", "inputs_digest"], name="version_once_per_inputs"
            ),
            models.CheckConstraint(
                condition=Q(total_pence=models.F("goods_pence") + models.F("delivery_pence")),
                name="version_total_adds_up",
            ),
        ]
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.order} · {self.number}"


class OrderLine(models.Model):
    version = models.ForeignKey(OrderVersion, models.CASCADE, related_name="lines")
    pack = models.ForeignKey(Pack, models.PROTECT, related_name="order_lines")
    packs = models.PositiveIntegerField()
    unit_price_pence = models.PositiveIntegerField()
    cost_pence = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["version", "pack"], name="pack_once_in_version"),
            models.CheckConstraint(condition=Q(packs__gte=1), name="line_has_packs"),
            models.CheckConstraint(
                condition=Q(cost_pence=models.F("packs") * models.F("unit_price_pence")),
                name="line_cost_adds_up",
            ),
        ]
        ordering = ["pack__shop__name", "pack__bait__name"]

    def __str__(self) -> str:
        return f"{self.packs} × {self.pack}"


class Share(models.Model):
    """What one member owes of a version."""

    version = models.ForeignKey(OrderVersion, models.CASCADE, related_name="shares")
    angler = models.ForeignKey(Angler, models.PROTECT, related_name="shares")
    due_pence = models.PositiveIntegerField()
    alone_pence = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["version", "angler"], name="share_once_in_version")
        ]
        ordering = ["angler__name"]

    def __str__(self) -> str:
        return f"{self.angler}"


class SoldOut(models.Model):
    """A pack a shop has no more of, for this order: `packs` were still to be had."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="sold_out")
    pack = models.ForeignKey(Pack, models.PROTECT, related_name="+")
    packs = models.PositiveIntegerField(default=0)
    marked_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    marked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = _("sold out")
        constraints = [
            models.UniqueConstraint(fields=["order", "pack"], name="sold_out_once_in_order")
        ]

    def __str__(self) -> str:
        return f"{self.pack} · {self.packs}"


class ShopLeftOut(models.Model):
    """A shop from which this order buys nothing more."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="shops_left_out")
    shop = models.ForeignKey(Shop, models.PROTECT, related_name="+")

    class Meta:
        verbose_name_plural = _("shops left out")
        constraints = [
            models.UniqueConstraint(fields=["order", "shop"], name="shop_left_out_once_in_order")
        ]

    def __str__(self) -> str:
        return f"{self.shop}"


class ReceivedLine(models.Model):
    """How many of a placed line's packs came."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="received")
    pack = models.ForeignKey(Pack, models.PROTECT, related_name="+")
    packs = models.PositiveIntegerField()
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["order", "pack"], name="received_once_in_order")
        ]

    def __str__(self) -> str:
        return f"{self.packs} × {self.pack}"


class BagTick(models.Model):
    """One thing of a member's bag that was put in; `key` names it, with its amount."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="bag_ticks")
    angler = models.ForeignKey(Angler, models.CASCADE, related_name="+")
    key = models.CharField(max_length=120)
    ticked_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    ticked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["order", "angler", "key"], name="bag_ticked_once")
        ]

    def __str__(self) -> str:
        return f"{self.angler} · {self.key}"


class Explanation(models.Model):
    """Why a version is as it is, and what else could be done; worked out once."""

    version = models.OneToOneField(OrderVersion, models.CASCADE, related_name="explanation")
    answer = models.JSONField()
    seconds = models.DecimalField(max_digits=8, decimal_places=3, null=True)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.version}"
