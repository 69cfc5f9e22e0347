"""The shapes of baits, shops, plans and orders in the API: what the schema describes."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

AMOUNT_HELP = "A decimal string."
MONEY_HELP = "A decimal string in the club's currency."


class BaitShape(serializers.Serializer[Any]):
    club = serializers.CharField(help_text="The club's slug.")
    key = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.CharField(help_text="groundbait, soil, particle, animal or other.")
    unit = serializers.CharField(help_text="The unit people think in.")
    bulk_density_kg_per_l = serializers.CharField(allow_null=True, help_text=AMOUNT_HELP)


class BaitListShape(serializers.Serializer[Any]):
    baits = BaitShape(many=True)


class PriceBreakShape(serializers.Serializer[Any]):
    from_packs = serializers.IntegerField()
    price = serializers.CharField(help_text="For every pack, once that many are bought.")


class PackShape(serializers.Serializer[Any]):
    id = serializers.CharField()
    bait = serializers.CharField(help_text="The bait's key.")
    amount = serializers.CharField(help_text=AMOUNT_HELP)
    unit = serializers.CharField()
    price = serializers.CharField(help_text=MONEY_HELP)
    breaks = PriceBreakShape(many=True)
    max_packs = serializers.IntegerField(allow_null=True)


class ShopShape(serializers.Serializer[Any]):
    club = serializers.CharField(help_text="The club's slug.")
    key = serializers.CharField()
    name = serializers.CharField()
    currency = serializers.CharField()
    delivery_fee = serializers.CharField(help_text=MONEY_HELP)
    minimum_spend = serializers.CharField(help_text=MONEY_HELP)
    free_delivery_from = serializers.CharField(allow_null=True, help_text=MONEY_HELP)
    lead_days = serializers.IntegerField()
    packs = PackShape(many=True)


class ShopListShape(serializers.Serializer[Any]):
    shops = ShopShape(many=True)


class FeedShape(serializers.Serializer[Any]):
    bait = serializers.CharField(help_text="The bait's key.")
    name = serializers.CharField(required=False, help_text="Given out; not looked at coming in.")
    amount = serializers.CharField(
        help_text="Of the stage, or of each throw where it has a rhythm: a decimal string."
    )
    unit = serializers.CharField(
        help_text="L, ml, pint, kg, g, lb, oz, each, bag, or a throw: pinch, handful, pouch."
    )


class MixPartShape(FeedShape):
    after_rest = serializers.BooleanField(
        required=False, help_text="Soil and such goes in after the rest."
    )


class PlanMixShape(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=40)
    parts = MixPartShape(many=True)
    rest_minutes = serializers.IntegerField(required=False, min_value=0, max_value=240)
    water_per_dry = serializers.CharField(
        required=False, help_text="Litres of water to a litre dry: a decimal string, 0 to 3."
    )
    swell = serializers.CharField(
        required=False, help_text="Litres ready, loose, from a litre dry: 0.3 to 5."
    )
    squeeze = serializers.CharField(
        required=False, help_text="Litres of ball from a litre loose: 0.2 to 1."
    )
    packing = serializers.CharField(
        required=False, help_text="Solid part of loose particles: 0.3 to 1."
    )
    film_mm = serializers.CharField(
        required=False, help_text="Millimetres of mix round each particle: 0 to 5."
    )


class BallsShape(serializers.Serializer[Any]):
    count = serializers.IntegerField(min_value=1, max_value=500)
    mm = serializers.IntegerField(min_value=20, max_value=200, help_text="Across, millimetres.")
    mix = serializers.CharField(help_text="The name of one of the plan's mixes.")


class SubstituteShape(serializers.Serializer[Any]):
    bait = serializers.CharField(help_text="The bait's key.")
    instead = serializers.CharField(help_text="The key of what to take where it cannot be had.")


class StageShape(serializers.Serializer[Any]):
    kind = serializers.CharField(help_text="opening, feed, top_up, switch or hook.")
    line = serializers.CharField(required=False, allow_blank=True, max_length=40)
    start_minute = serializers.IntegerField(
        required=False, help_text="From the start of the match; may be before it."
    )
    end_minute = serializers.IntegerField()
    every_seconds = serializers.IntegerField(
        required=False,
        allow_null=True,
        help_text="Throws at the start and then every so often while before the end.",
    )
    note = serializers.CharField(required=False, allow_blank=True, max_length=200)
    balls = BallsShape(
        required=False,
        allow_null=True,
        help_text="With balls, the feeds are what all of them together are loaded with.",
    )
    feeds = FeedShape(many=True)


class PlanShape(serializers.Serializer[Any]):
    version = serializers.IntegerField(
        help_text="The version this was made from; 0 when there was none."
    )
    note = serializers.CharField(required=False, allow_blank=True, max_length=2000)
    spare_percent = serializers.IntegerField(required=False, min_value=0, max_value=100)
    mixes = PlanMixShape(many=True, required=False)
    stages = StageShape(many=True)
    substitutes = SubstituteShape(many=True, required=False)


class BaitTotalShape(serializers.Serializer[Any]):
    bait = serializers.CharField()
    name = serializers.CharField()
    planned = serializers.CharField(help_text=AMOUNT_HELP)
    with_spare = serializers.CharField(help_text="What is handed out: a decimal string.")
    unit = serializers.CharField()


class LimitUseShape(serializers.Serializer[Any]):
    limit = serializers.CharField(
        help_text="First groundbait (with soil and particles), then bait, then parts by name."
    )
    allowed_l = serializers.CharField(allow_null=True)
    used_l = serializers.CharField()
    within = serializers.BooleanField(
        allow_null=True, help_text="Null without a limit, or where some bait cannot be judged."
    )
    unjudged = serializers.ListField(child=serializers.CharField(), help_text="Keys of baits.")


class OwnPlanShape(serializers.Serializer[Any]):
    plan = PlanShape(help_text="Version 0 and no stages while there is none.")
    totals = BaitTotalShape(many=True)
    limits = LimitUseShape(many=True)


class WorkShape(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    state = serializers.CharField(help_text="waiting, running, done or failed.")
    percent = serializers.IntegerField()
    progress = serializers.CharField(allow_blank=True)
    problem = serializers.CharField(allow_blank=True, help_text="Why it failed, in words.")


class OrderLineShape(serializers.Serializer[Any]):
    shop = serializers.CharField()
    bait = serializers.CharField()
    pack_amount = serializers.CharField()
    unit = serializers.CharField()
    packs = serializers.IntegerField()
    unit_price = serializers.CharField()
    cost = serializers.CharField()


class ShareShape(serializers.Serializer[Any]):
    member = serializers.CharField()
    due = serializers.CharField()
    alone = serializers.CharField(allow_null=True, help_text="The least cost of ordering alone.")


class OrderVersionShape(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    status = serializers.CharField(help_text="optimal, short or best_found.")
    made_at = serializers.DateTimeField()
    total = serializers.CharField()


class OrderCurrentShape(OrderVersionShape):
    goods = serializers.CharField()
    delivery = serializers.CharField()
    inputs_digest = serializers.CharField(help_text="SHA-256 of what it was worked out from.")
    stale = serializers.BooleanField(help_text="Plans, larder or prices changed since.")
    lines = OrderLineShape(many=True)
    shares = ShareShape(many=True)
    answer = serializers.JSONField(help_text="The order calculator's whole answer.")


class OrderPlacedShape(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    at = serializers.DateTimeField()


class OrderShape(serializers.Serializer[Any]):
    current = OrderCurrentShape(allow_null=True)
    placed = OrderPlacedShape(allow_null=True)
    work = WorkShape(allow_null=True, help_text="The latest work asked for.")
    versions = OrderVersionShape(many=True, help_text="The newest first.")
