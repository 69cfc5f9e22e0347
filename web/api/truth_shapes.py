"""The shapes of what became of the bait, of what it cost, and of the spare suggested."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from .bait_shapes import AMOUNT_HELP, MONEY_HELP

_UNKNOWN = "Null where nobody said. " + AMOUNT_HELP


class BaitKnownShape(serializers.Serializer[Any]):
    bait = serializers.CharField(help_text="The bait's key.")
    name = serializers.CharField()
    unit = serializers.CharField()
    planned = serializers.CharField(allow_null=True, help_text="Without spare. " + _UNKNOWN)
    had = serializers.CharField(allow_null=True, help_text="What was in the bag. " + _UNKNOWN)
    unnoted = serializers.CharField(help_text="For mix and hook, by the plan. " + AMOUNT_HELP)
    fed = serializers.CharField(allow_null=True, help_text="As noted. " + _UNKNOWN)
    left = serializers.CharField(allow_null=True, help_text="What came back. " + _UNKNOWN)
    missing = serializers.CharField(
        allow_null=True,
        help_text="What nobody accounts for; below zero, fed and left beyond the bag.",
    )
    adds_up = serializers.BooleanField(allow_null=True)


class BagShape(serializers.Serializer[Any]):
    member = serializers.CharField()
    feed_notes = serializers.BooleanField()
    logged_seconds = serializers.ListField(
        child=serializers.IntegerField(),
        allow_null=True,
        help_text="From when to when of the match anything was logged; null where nothing was.",
    )
    baits = BaitKnownShape(many=True)


class BoughtShape(serializers.Serializer[Any]):
    shop = serializers.CharField()
    packs = serializers.IntegerField()
    amount = serializers.CharField(help_text="Of one pack. " + AMOUNT_HELP)
    unit = serializers.CharField()


class PartlyKnownShape(serializers.Serializer[Any]):
    amount = serializers.CharField(help_text=AMOUNT_HELP)
    known = serializers.IntegerField(help_text="Of so many bags it is known.")
    of = serializers.IntegerField()


class TeamBaitShape(serializers.Serializer[Any]):
    bait = serializers.CharField(help_text="The bait's key.")
    name = serializers.CharField()
    unit = serializers.CharField()
    planned = PartlyKnownShape()
    bought = BoughtShape(many=True)
    larder = serializers.CharField(allow_null=True, help_text=_UNKNOWN)
    had = serializers.CharField(allow_null=True, help_text="Bought, and from the larder.")
    fed = PartlyKnownShape()
    left = PartlyKnownShape()


class BaitTruthShape(serializers.Serializer[Any]):
    ordered = serializers.BooleanField()
    team = TeamBaitShape(many=True, help_text="Empty for who sees only their own bag.")
    bags = BagShape(many=True)


class CostShape(serializers.Serializer[Any]):
    matches = serializers.IntegerField()
    cost = serializers.CharField(help_text=MONEY_HELP)
    grams = serializers.IntegerField(help_text="Weighed, to the nearest gram.")
    points = serializers.CharField(help_text="Section points. " + AMOUNT_HELP)
    per_kilo = serializers.CharField(allow_null=True, help_text="Null where nothing was weighed.")
    per_point = serializers.CharField(allow_null=True, help_text="Null without points.")


class MemberCostShape(CostShape):
    member = serializers.CharField()


class TeamCostShape(serializers.Serializer[Any]):
    since = serializers.DateField()
    until = serializers.DateField()
    team = CostShape(allow_null=True, help_text="Null for who sees only their own.")
    members = MemberCostShape(many=True)


class SpareShape(serializers.Serializer[Any]):
    percent = serializers.IntegerField()
    learnt = serializers.BooleanField(
        help_text="Whether it is of the team's own bags; else the usual."
    )
    matches = serializers.IntegerField()
    bags = serializers.IntegerField(help_text="Baits in bags of which it is told what came back.")
    enough = serializers.IntegerField()
    emptied = serializers.IntegerField()
    why = serializers.CharField()
    mark = serializers.CharField(help_text="Of the spare that the plans have now.")


class SpareTakeShape(serializers.Serializer[Any]):
    percent = serializers.IntegerField(min_value=0, max_value=100)
    mark = serializers.CharField(
        required=False, help_text="As you got it: refused where the plans have other spares by now."
    )


class SpareTakenShape(serializers.Serializer[Any]):
    changed = serializers.IntegerField(help_text="So many plans have another spare now.")
