"""Baits, the shops that sell them, and the packs they sell them in."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from matches.models import Club
from matches.reckon.decimals import decimal_plain


class Unit(models.TextChoices):
    LITRE = "L", _("litres")
    MILLILITRE = "ml", _("millilitres")
    PINT = "pint", _("pints")
    KILOGRAM = "kg", _("kilograms")
    GRAM = "g", _("grams")
    POUND = "lb", _("pounds")
    OUNCE = "oz", _("ounces")
    EACH = "each", _("each")


class BaitKind(models.TextChoices):
    GROUNDBAIT = "groundbait", _("groundbait")
    SOIL = "soil", _("soil")
    PARTICLE = "particle", _("particle")
    ANIMAL = "animal", _("animal bait")
    OTHER = "other", _("other")


class BaitFamily(models.TextChoices):
    """Sorts of animal bait that rules limit apart from the rest."""

    NONE = "", _("no special sort")
    LARVAE = "larvae", _("chironomid larvae")
    WORM = "worm", _("worms")


class Bait(models.Model):
    club = models.ForeignKey(Club, models.PROTECT, related_name="baits")
    key = models.SlugField(max_length=40)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=BaitKind)
    unit = models.CharField(max_length=4, choices=Unit, help_text=_("The unit people think in."))
    bulk_density_kg_per_l = models.DecimalField(
        max_digits=6, decimal_places=4, null=True, blank=True
    )
    bag_amount = models.DecimalField(
        max_digits=8,
        decimal_places=4,
        null=True,
        blank=True,
        help_text=_("What people call one bag of it, in its unit; empty where nobody does."),
    )
    family = models.CharField(max_length=6, choices=BaitFamily, blank=True, default=BaitFamily.NONE)
    dead = models.BooleanField(default=False, help_text=_("Killed, such as dead maggot."))

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "key"], name="bait_key_in_club"),
            models.CheckConstraint(
                condition=Q(bag_amount__isnull=True) | Q(bag_amount__gt=0),
                name="bait_bag_above_zero",
            ),
            models.CheckConstraint(
                condition=Q(family__in=BaitFamily.values), name="bait_family_known"
            ),
            models.CheckConstraint(condition=Q(unit__in=Unit.values), name="bait_unit_known"),
            models.CheckConstraint(condition=Q(kind__in=BaitKind.values), name="bait_kind_known"),
            models.CheckConstraint(
                condition=Q(bulk_density_kg_per_l__isnull=True) | Q(bulk_density_kg_per_l__gt=0),
                name="bait_density_above_zero",
            ),
        ]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Shop(models.Model):
    club = models.ForeignKey(Club, models.PROTECT, related_name="shops")
    key = models.SlugField(max_length=40)
    name = models.CharField(max_length=80)
    delivery_fee_pence = models.PositiveIntegerField(default=0)
    minimum_spend_pence = models.PositiveIntegerField(default=0)
    free_delivery_from_pence = models.PositiveIntegerField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField(
        default=1, help_text=_("Days before the match by which it must have the order.")
    )
    cut_off = models.TimeField(
        default=dt.time(17), help_text=_("On that day, orders in by this time at the venue.")
    )
    retired = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "key"], name="shop_key_in_club")]
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Pack(models.Model):
    shop = models.ForeignKey(Shop, models.PROTECT, related_name="packs")
    bait = models.ForeignKey(Bait, models.PROTECT, related_name="packs")
    key = models.SlugField(max_length=60)
    amount = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=4, choices=Unit)
    price_pence = models.PositiveIntegerField()
    max_packs = models.PositiveIntegerField(null=True, blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["shop", "key"], name="pack_key_in_shop"),
            models.UniqueConstraint(
                fields=["shop", "bait", "amount", "unit"],
                condition=Q(retired=False),
                name="pack_listed_once",
            ),
            models.CheckConstraint(condition=Q(amount__gt=0), name="pack_amount_above_zero"),
            models.CheckConstraint(condition=Q(unit__in=Unit.values), name="pack_unit_known"),
        ]
        ordering = ["bait__name", "shop__name", "amount"]

    def __str__(self) -> str:
        return f"{self.bait} {decimal_plain(self.amount)} {self.unit} ({self.shop})"


class PackBreak(models.Model):
    """From this many packs on, every pack of the line costs this price."""

    pack = models.ForeignKey(Pack, models.CASCADE, related_name="breaks")
    from_packs = models.PositiveIntegerField()
    price_pence = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["pack", "from_packs"], name="break_once_per_count"),
            models.CheckConstraint(condition=Q(from_packs__gte=2), name="break_from_two_packs"),
        ]
        ordering = ["from_packs"]

    def __str__(self) -> str:
        return f"{self.from_packs}+"
