"""The site keeper's view of baits, shops, plans and orders."""

from __future__ import annotations

from django.contrib import admin

from matches.admin import ReadOnly

from . import models as b


@admin.register(b.Bait)
class BaitAdmin(admin.ModelAdmin):
    list_display = ("name", "key", "kind", "unit", "bulk_density_kg_per_l", "club")
    list_filter = ("club", "kind")
    list_select_related = ("club",)
    search_fields = ("name", "key")
    prepopulated_fields = {"key": ("name",)}
    autocomplete_fields = ("club",)


class Packs(admin.TabularInline):
    model = b.Pack
    extra = 0
    autocomplete_fields = ("bait",)
    show_change_link = True


@admin.register(b.Shop)
class ShopAdmin(admin.ModelAdmin):
    list_display = ("name", "club", "delivery_fee_pence", "minimum_spend_pence", "retired")
    list_filter = ("club", "retired")
    list_select_related = ("club",)
    search_fields = ("name", "key")
    prepopulated_fields = {"key": ("name",)}
    autocomplete_fields = ("club",)
    inlines = (Packs,)


class PackBreaks(admin.TabularInline):
    model = b.PackBreak
    extra = 0


@admin.register(b.Pack)
class PackAdmin(admin.ModelAdmin):
    list_display = ("bait", "amount", "unit", "price_pence", "shop", "max_packs", "retired")
    list_filter = ("shop", "bait", "retired")
    list_select_related = ("bait", "shop")
    search_fields = ("key", "bait__name", "shop__name")
    autocomplete_fields = ("shop", "bait")
    inlines = (PackBreaks,)


class Stages(admin.TabularInline):
    model = b.Stage
    extra = 0
    show_change_link = True


@admin.register(b.Plan)
class PlanAdmin(admin.ModelAdmin):
    list_display = ("entry", "version", "spare_percent", "changed_at", "changed_by")
    list_filter = ("entry__match",)
    list_select_related = ("entry__angler", "changed_by")
    search_fields = ("entry__angler__name",)
    raw_id_fields = ("entry", "changed_by")
    inlines = (Stages,)


class StageFeeds(admin.TabularInline):
    model = b.StageFeed
    extra = 0
    autocomplete_fields = ("bait",)


@admin.register(b.Stage)
class StageAdmin(admin.ModelAdmin):
    list_display = ("plan", "position", "kind", "line", "start_minute", "end_minute")
    list_filter = ("kind",)
    list_select_related = ("plan__entry__angler",)
    raw_id_fields = ("plan",)
    inlines = (StageFeeds,)


@admin.register(b.LarderLot)
class LarderLotAdmin(admin.ModelAdmin):
    list_display = ("bait", "amount", "unit", "state", "team", "angler", "use_by")
    list_filter = ("team", "state")
    list_select_related = ("bait", "team", "angler")
    search_fields = ("bait__name",)
    autocomplete_fields = ("team", "angler", "bait")


@admin.register(b.Order)
class OrderAdmin(ReadOnly):
    list_display = ("team", "match", "current", "placed", "placed_at")
    list_select_related = ("team", "match", "current__order", "placed__order")


class OrderLines(admin.TabularInline):
    model = b.OrderLine
    extra = 0


class Shares(admin.TabularInline):
    model = b.Share
    extra = 0


@admin.register(b.OrderVersion)
class OrderVersionAdmin(ReadOnly):
    list_display = ("order", "number", "status", "total_pence", "seconds", "made_at")
    list_filter = ("status",)
    list_select_related = ("order__team", "order__match")
    inlines = (OrderLines, Shares)
