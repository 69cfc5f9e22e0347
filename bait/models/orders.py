"""The larder, and a team's order in its versions."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from matches.models import Angler, Match, Team, WorkRequest

from .shops import Bait, Pack, Unit


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
        return f"{self.bait} {self.amount.normalize():f} {self.unit}"


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

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "team"], name="order_once_per_team_and_match"),
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
