"""The site keeper's view of baits, shops, plans and orders."""

from __future__ import annotations

from django.contrib import admin

from matches.admin_base import ReadOnly, Rows, Trailed

from . import models as b


@admin.register(b.Bait)
class BaitAdmin(Trailed):
    list_display = ("name", "key", "kind", "unit", "bulk_density_kg_per_l", "club")
    list_filter = ("club", "kind")
    list_select_related = ("club",)
    search_fields = ("name", "key")
    prepopulated_fields = {"key": ("name",)}
    autocomplete_fields = ("club",)


class Packs(Rows):
    model = b.Pack
    extra = 0
    autocomplete_fields = ("bait",)
    show_change_link = True


@admin.register(b.Shop)
class ShopAdmin(Trailed):
    list_display = ("name", "club", "delivery_fee_pence", "minimum_spend_pence", "retired")
    list_filter = ("club", "retired")
    list_select_related = ("club",)
    search_fields = ("name", "key")
    prepopulated_fields = {"key": ("name",)}
    autocomplete_fields = ("club",)
    inlines = (Packs,)


class PackBreaks(Rows):
    model = b.PackBreak
    extra = 0


@admin.register(b.Pack)
class PackAdmin(Trailed):
    club_path = "shop__club"
    list_display = ("bait", "amount", "unit", "price_pence", "shop", "max_packs", "retired")
    list_filter = ("shop", "bait", "retired")
    list_select_related = ("bait", "shop")
    search_fields = ("key", "bait__name", "shop__name")
    autocomplete_fields = ("shop", "bait")
    inlines = (PackBreaks,)


class Stages(Rows):
    model = b.Stage
    extra = 0
    show_change_link = True


@admin.register(b.Plan)
class PlanAdmin(Trailed):
    club_path = "entry__match__club"
    list_display = ("entry", "version", "spare_percent", "changed_at", "changed_by")
    list_filter = ("entry__match",)
    list_select_related = ("entry__angler", "changed_by")
    search_fields = ("entry__angler__name",)
    raw_id_fields = ("entry", "changed_by")
    inlines = (Stages,)


class StageFeeds(Rows):
    model = b.StageFeed
    extra = 0
    autocomplete_fields = ("bait",)


@admin.register(b.Stage)
class StageAdmin(Trailed):
    club_path = "plan__entry__match__club"
    list_display = ("plan", "position", "kind", "line", "start_minute", "end_minute")
    list_filter = ("kind",)
    list_select_related = ("plan__entry__angler",)
    raw_id_fields = ("plan",)
    inlines = (StageFeeds,)


@admin.register(b.LarderLot)
class LarderLotAdmin(ReadOnly):
    """Looked at only: a lot's amount is the sum of its moves."""

    list_display = ("bait", "amount", "unit", "state", "team", "angler", "use_by")
    list_filter = ("team", "state")
    list_select_related = ("bait", "team", "angler")
    search_fields = ("bait__name",)


@admin.register(b.Order)
class OrderAdmin(ReadOnly):
    list_display = ("team", "match", "current", "placed", "placed_at")
    list_select_related = ("team", "match", "current__order", "placed__order")


class OrderLines(Rows):
    model = b.OrderLine
    extra = 0


class Shares(Rows):
    model = b.Share
    extra = 0


@admin.register(b.OrderVersion)
class OrderVersionAdmin(ReadOnly):
    list_display = ("order", "number", "status", "total_pence", "seconds", "made_at")
    list_filter = ("status",)
    list_select_related = ("order__team", "order__match")
    inlines = (OrderLines, Shares)


class MixParts(Rows):
    model = b.MixPart
    extra = 0
    autocomplete_fields = ("bait",)


@admin.register(b.Mix)
class MixAdmin(Trailed):
    club_path = "plan__entry__match__club"
    list_display = ("plan", "name", "water_per_dry", "rest_minutes", "squeeze", "film_mm")
    list_select_related = ("plan__entry__angler",)
    raw_id_fields = ("plan",)
    inlines = (MixParts,)


@admin.register(b.ThrowSize)
class ThrowSizeAdmin(Trailed):
    club_path = "angler__club"
    list_display = ("angler", "throw", "bait", "ml")
    list_filter = ("throw",)
    list_select_related = ("angler", "bait")
    autocomplete_fields = ("angler", "bait")


@admin.register(b.PlanSubstitute)
class PlanSubstituteAdmin(Trailed):
    club_path = "plan__entry__match__club"
    list_display = ("plan", "bait", "instead")
    list_select_related = ("plan__entry__angler", "bait", "instead")
    raw_id_fields = ("plan",)
    autocomplete_fields = ("bait", "instead")


@admin.register(b.PlanTemplate)
class PlanTemplateAdmin(Trailed):
    club_path = "team__club"
    list_display = ("name", "team", "made_by", "made_at")
    list_filter = ("team",)
    list_select_related = ("team", "made_by")
    autocomplete_fields = ("team",)
    raw_id_fields = ("made_by",)


@admin.register(b.MatchLimit)
class MatchLimitAdmin(Trailed):
    club_path = "match__club"
    list_display = ("match", "name", "counts", "family", "bait", "use", "form", "allowed_l")
    list_filter = ("match",)
    list_select_related = ("match", "bait")
    raw_id_fields = ("match",)
    autocomplete_fields = ("bait",)


@admin.register(b.LotMove)
class LotMoveAdmin(ReadOnly):
    list_display = ("at", "lot", "kind", "amount", "person")
    list_filter = ("kind", "lot__team")
    list_select_related = ("lot__bait", "person")


@admin.register(b.SoldOut)
class SoldOutAdmin(ReadOnly):
    list_display = ("order", "pack", "packs", "marked_by", "marked_at")
    list_select_related = ("order__team", "order__match", "pack__bait", "pack__shop", "marked_by")


@admin.register(b.ShopLeftOut)
class ShopLeftOutAdmin(ReadOnly):
    list_display = ("order", "shop")
    list_select_related = ("order__team", "order__match", "shop")


@admin.register(b.ReceivedLine)
class ReceivedLineAdmin(ReadOnly):
    list_display = ("order", "pack", "packs", "note")
    list_select_related = ("order__team", "order__match", "pack__bait", "pack__shop")


@admin.register(b.BagTick)
class BagTickAdmin(ReadOnly):
    list_display = ("order", "angler", "key", "ticked_by", "ticked_at")
    list_select_related = ("order__team", "order__match", "angler", "ticked_by")


@admin.register(b.Explanation)
class ExplanationAdmin(ReadOnly):
    list_display = ("version", "seconds", "made_at")
    list_select_related = ("version__order__team", "version__order__match")


@admin.register(b.SeasonAnswer)
class SeasonAnswerAdmin(ReadOnly):
    list_display = ("team", "read_at", "seconds", "made_at")
    list_select_related = ("team",)


@admin.register(b.ShopPayment)
class ShopPaymentAdmin(ReadOnly):
    list_display = ("order", "angler", "shop", "pence", "noted_by", "noted_at")
    list_select_related = ("order__team", "order__match", "angler", "shop", "noted_by")


@admin.register(b.PaidBack)
class PaidBackAdmin(ReadOnly):
    list_display = ("order", "payer", "payee", "pence", "noted_by", "noted_at")
    list_select_related = ("order__team", "order__match", "payer", "payee", "noted_by")


@admin.register(b.ShopCharge)
class ShopChargeAdmin(ReadOnly):
    list_display = ("order", "shop", "pence", "noted_by", "noted_at")
    list_select_related = ("order__team", "order__match", "shop", "noted_by")
