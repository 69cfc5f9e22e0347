"""The shapes of a team's season in the API: what the schema describes."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

FACTOR = "On the weight against the section, for `step` more; null where nothing is said."


class SeasonColumnShape(serializers.Serializer[Any]):
    of = serializers.CharField(help_text="bait, kind (of bait, together) or rate (feeds an hour).")
    key = serializers.CharField(help_text="The bait's key; groundbait, soil; loose, balls.")
    unit = serializers.CharField(allow_blank=True, help_text="Empty for a rate.")


class SeasonEffectShape(SeasonColumnShape):
    found = serializers.CharField(
        help_text="more, less, unsure; or why nothing is said: few, alike, together."
    )
    matches = serializers.IntegerField(help_text="In which it was fed.")
    days = serializers.IntegerField()
    anglers = serializers.IntegerField()
    step = serializers.CharField(help_text="A decimal string.")
    times = serializers.FloatField(allow_null=True, help_text=FACTOR)
    low = serializers.FloatField(allow_null=True, help_text="Of the 90 % interval.")
    high = serializers.FloatField(allow_null=True, help_text="Of the 90 % interval.")
    together_with = SeasonColumnShape(many=True, help_text="What it cannot be told apart from.")


class SeasonReasonShape(serializers.Serializer[Any]):
    why = serializers.CharField(
        help_text="not_fished, few_beside, nobody_caught, no_notes, no_feed, clock, half, unit, "
        "contrary or far."
    )
    days = serializers.IntegerField()


class SeasonDayShape(serializers.Serializer[Any]):
    match = serializers.IntegerField()
    angler = serializers.CharField()
    why = serializers.CharField()


class SeasonAnswerShape(serializers.Serializer[Any]):
    verdict = serializers.CharField(help_text="said, few (too few to say) or alike.")
    matches = serializers.IntegerField()
    days = serializers.IntegerField(help_text="Of one angler in one match, reckoned with.")
    anglers = serializers.IntegerField()
    effects = SeasonEffectShape(many=True)
    kept_back = serializers.IntegerField(
        help_text="Effects that stand on too few members' notes for others to read."
    )
    reasons = SeasonReasonShape(many=True, help_text="How many days each reason left out.")
    left_out = SeasonDayShape(
        many=True, help_text="Days left out: your own; for the captain everybody's."
    )


class SeasonShape(serializers.Serializer[Any]):
    team = serializers.IntegerField()
    state = serializers.CharField(
        help_text="Of the latest work: waiting, running, done, failed; none while not asked for."
    )
    percent = serializers.IntegerField()
    progress = serializers.CharField(allow_blank=True)
    problem = serializers.CharField(allow_blank=True, help_text="Why it failed, in words.")
    read_at = serializers.DateTimeField(
        allow_null=True, help_text="When notes and results were read for the answer."
    )
    newer = serializers.BooleanField(help_text="Notes or results have come since.")
    season = SeasonAnswerShape(allow_null=True)
