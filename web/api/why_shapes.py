"""The shapes of an order's explanation in the API: what the schema describes."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from .bait_shapes import MONEY_HELP


class WhyAmountShape(serializers.Serializer[Any]):
    bait = serializers.CharField(help_text="The bait's key.")
    amount = serializers.CharField(help_text="A decimal string.")
    unit = serializers.CharField()
    why = serializers.CharField(required=False)


class WhyChangeShape(serializers.Serializer[Any]):
    pack = serializers.CharField()
    before = serializers.IntegerField()
    after = serializers.IntegerField()


class WhatIfShape(serializers.Serializer[Any]):
    total = serializers.CharField(help_text=MONEY_HELP)
    difference = serializers.CharField(
        allow_null=True,
        help_text="Above (below zero: under) the order's; null where what can be had differs.",
    )
    delivery_difference = serializers.CharField(help_text="How much more is paid for delivery.")
    packs = serializers.IntegerField()
    suppliers = serializers.ListField(child=serializers.CharField(), help_text="Shops' keys.")
    left_over = WhyAmountShape(many=True)
    missing = WhyAmountShape(many=True, help_text="What the order has and this cannot.")
    gained = WhyAmountShape(many=True, help_text="What this has and the order cannot.")
    changes = WhyChangeShape(many=True)


class WhyAlternativeShape(serializers.Serializer[Any]):
    kind = serializers.CharField(help_text="cheapest, only (one shop) or soonest.")
    supplier = serializers.CharField(allow_null=True, help_text="The shop of `only`: its key.")
    lead_days = serializers.IntegerField(allow_null=True, help_text="Of the slowest shop used.")
    order = WhatIfShape(allow_null=True)


class WhyStepShape(serializers.Serializer[Any]):
    from_packs = serializers.IntegerField()
    price = serializers.CharField(help_text="Of every pack from that many on.")
    price_before = serializers.CharField()
    cost = serializers.CharField(help_text="Of so many packs.")
    cost_one_fewer = serializers.CharField()
    last_costs = serializers.CharField(
        help_text="What the pack that reaches the break adds; below zero: less than nothing."
    )
    pays_from = serializers.IntegerField(
        help_text="From so many packs needed on, buying up to the break is cheaper."
    )


class WhyLineShape(serializers.Serializer[Any]):
    pack = serializers.CharField()
    supplier = serializers.CharField()
    bait = serializers.CharField()
    packs = serializers.IntegerField()
    unit_price = serializers.CharField(help_text=MONEY_HELP)
    cost = serializers.CharField(help_text=MONEY_HELP)
    bought = serializers.IntegerField(help_text="So many of them are bought already.")
    reached = WhyStepShape(allow_null=True, help_text="The price break at which it is bought.")
    ahead = WhyStepShape(allow_null=True, help_text="The next price break.")
    without = WhatIfShape(allow_null=True, help_text="The order without this pack.")


class WhyShopShape(serializers.Serializer[Any]):
    supplier = serializers.CharField(help_text="The shop's key.")
    goods = serializers.CharField(help_text=MONEY_HELP)
    delivery = serializers.CharField(help_text=MONEY_HELP)
    minimum_spend = serializers.CharField(help_text=MONEY_HELP)
    delivery_fee = serializers.CharField(help_text=MONEY_HELP)
    free_delivery_from = serializers.CharField(allow_null=True, help_text=MONEY_HELP)
    dropped = WhatIfShape(allow_null=True, help_text="The order without this shop.")
    without_minimum = WhatIfShape(allow_null=True)
    without_free_delivery = WhatIfShape(allow_null=True)


class WhyBaitShape(serializers.Serializer[Any]):
    bait = serializers.CharField()
    unit = serializers.CharField()
    one_more = WhatIfShape(allow_null=True, help_text="One unit more to buy.")
    one_less = WhatIfShape(allow_null=True, help_text="One unit less to buy, never below none.")


class WhyFigureShape(serializers.Serializer[Any]):
    figure = serializers.CharField(
        help_text="base, only, soonest, dropped, minimum, free_delivery, one_more, one_less or "
        "without."
    )
    of = serializers.CharField(allow_blank=True, help_text="The shop, bait or pack.")


class WhyExplanationShape(serializers.Serializer[Any]):
    total = serializers.CharField(allow_null=True, help_text=MONEY_HELP)
    alternatives = WhyAlternativeShape(many=True)
    shops = WhyShopShape(many=True)
    baits = WhyBaitShape(many=True)
    lines = WhyLineShape(many=True)
    left_out = WhyFigureShape(many=True, help_text="What the time did not allow.")


class OrderWhyShape(serializers.Serializer[Any]):
    version = serializers.IntegerField(allow_null=True, help_text="Null while nothing is ordered.")
    state = serializers.CharField(
        help_text="Of the latest work: waiting, running, done, failed; none while not asked for."
    )
    percent = serializers.IntegerField()
    progress = serializers.CharField(allow_blank=True)
    problem = serializers.CharField(allow_blank=True, help_text="Why it failed, in words.")
    explanation = WhyExplanationShape(allow_null=True)
