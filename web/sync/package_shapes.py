"""The shape of a match as a phone takes it along, for the API's description."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers as s

from matches.models import MatchState, NetCapRule, ScoredBy, WeightUnit

from .shapes import AuthorShape


class PackageAmountShape(s.Serializer[Any]):
    bait = s.CharField()
    name = s.CharField()
    amount = s.CharField()
    unit = s.CharField()


class PackageStageShape(s.Serializer[Any]):
    kind = s.CharField()
    line = s.CharField()
    start_minute = s.IntegerField()
    end_minute = s.IntegerField()
    every_seconds = s.IntegerField(allow_null=True)
    note = s.CharField()
    feeds = PackageAmountShape(many=True)


class PackagePlanShape(s.Serializer[Any]):
    note = s.CharField()
    spare_percent = s.IntegerField()
    version = s.IntegerField()
    stages = PackageStageShape(many=True)


class PackageLimitMineShape(s.Serializer[Any]):
    used_l = s.CharField(allow_null=True, help_text="By your own plan; null without one.")
    within = s.BooleanField(
        allow_null=True, help_text="Null without a plan, or where some bait cannot be judged."
    )


class PackageLimitPartShape(PackageLimitMineShape):
    name = s.CharField()
    allowed_l = s.CharField(help_text="Litres; 0 forbids it.")


class PackageLimitsShape(s.Serializer[Any]):
    groundbait_l = s.CharField(allow_null=True)
    groundbait_mine = PackageLimitMineShape(allow_null=True)
    bait_l = s.CharField(allow_null=True)
    bait_mine = PackageLimitMineShape(allow_null=True)
    parts = PackageLimitPartShape(many=True)

    # Made by hand: a serializer's own `source` is something else.
    def get_fields(self) -> dict[str, s.Field[Any, Any, Any, Any]]:
        return {**super().get_fields(), "source": s.CharField()}


class PackageSpeciesShape(s.Serializer[Any]):
    name = s.CharField()
    points = s.IntegerField()


class PackageMatchShape(s.Serializer[Any]):
    id = s.CharField()
    name = s.CharField()
    slug = s.CharField()
    club = s.CharField()
    date = s.DateField()
    state = s.ChoiceField(MatchState.choices)
    weight_unit = s.ChoiceField(WeightUnit.choices)
    net_cap = s.IntegerField(
        allow_null=True, help_text="The most one net may hold; null for no cap."
    )
    net_cap_rule = s.ChoiceField(NetCapRule.choices)
    scored_by = s.ChoiceField(ScoredBy.choices)
    species = PackageSpeciesShape(many=True)
    called_off = s.CharField(help_text="Why it is not fished; empty while it is.")
    draw_at = s.DateTimeField(allow_null=True)
    prepare_at = s.DateTimeField(allow_null=True)
    feed_at = s.DateTimeField(allow_null=True)
    start_at = s.DateTimeField()
    end_at = s.DateTimeField()
    last_call_min = s.IntegerField(help_text="Minutes before the end; 0 for no last call.")
    timezone = s.CharField()
    venue = s.CharField()
    water = s.CharField()
    cautions = s.CharField()
    limits = PackageLimitsShape()
    board_url = s.CharField()


class PackagePersonShape(AuthorShape):
    may_weigh = s.BooleanField()
    may_rule = s.BooleanField()


class PackageSectionShape(s.Serializer[Any]):
    # Made by hand: a serializer's own `label` is something else.
    def get_fields(self) -> dict[str, s.Field[Any, Any, Any, Any]]:
        return {"label": s.CharField(), "pegs": s.ListField(child=s.CharField())}


class PackagePegShape(s.Serializer[Any]):
    number = s.CharField()
    section = s.CharField()
    depth_cm = s.IntegerField(allow_null=True)
    accessible = s.BooleanField()
    power_lines = s.BooleanField()
    steep_bank = s.BooleanField()
    notes = s.CharField()
    angler = s.CharField(allow_null=True)
    team = s.CharField(allow_null=True)


class PackageMineShape(s.Serializer[Any]):
    peg = s.CharField()
    section = s.CharField()
    angler = s.CharField()
    team = s.CharField(allow_null=True)


class PackagePegBeforeShape(s.Serializer[Any]):
    """A peg note of an earlier match at the same peg, one's own or one's team's."""

    date = s.DateField()
    author = s.CharField()
    body = s.DictField()


class PackageFeedTestShape(s.Serializer[Any]):
    """A person's jar test of a bait in another match: one's own, or one of one's team's."""

    bait = s.CharField()
    match = s.CharField()
    date = s.DateField()
    author = AuthorShape()
    drops = s.ListField(
        child=s.ListField(child=s.IntegerField(allow_null=True)),
        help_text="Each [cm of water, ms]; ms is null where it floats.",
    )
    aside = s.BooleanField(help_text="The reader leaves it aside.")


class PackageFeedingShape(s.Serializer[Any]):
    """What reckons a member's notes against plan and bag; fractions are "n/d"."""

    throws = s.ListField(child=s.IntegerField(), help_text="How often each stage throws.")
    mixed = s.DictField(child=s.CharField(), help_text="Wetted by the mixes, in the bait's unit.")
    measures = s.DictField(
        child=s.DictField(child=s.CharField()),
        help_text="By bait and unit: what one of that unit is in the bait's own.",
    )


class PackageBaitShape(s.Serializer[Any]):
    key = s.CharField()
    name = s.CharField()
    kind = s.CharField()
    unit = s.CharField()


class PackageMixBallsShape(s.Serializer[Any]):
    kind = s.CharField()
    line = s.CharField()
    count = s.IntegerField()
    mm = s.IntegerField(help_text="Across, in millimetres.")
    load = PackageAmountShape(many=True)
    each_ml = s.IntegerField(help_text="Loose millilitres of load in a ball.")
    most_each_ml = s.IntegerField(allow_null=True, help_text="The most that still holds.")
    holds = s.BooleanField(allow_null=True, help_text="Null where a load cannot be measured.")


class PackageMixMostShape(s.Serializer[Any]):
    mm = s.IntegerField()
    hemp_ml = s.IntegerField()
    dead_maggot_ml = s.IntegerField()
    empty_balls = s.IntegerField(allow_null=True)


class PackageMixShape(s.Serializer[Any]):
    name = s.CharField()
    rest_minutes = s.IntegerField()
    dry = PackageAmountShape(many=True)
    after = PackageAmountShape(many=True, help_text="Goes in after the rest, such as soil.")
    dry_l = s.CharField(allow_null=True)
    water_l = s.CharField(allow_null=True)
    ready_l = s.CharField(allow_null=True)
    left_l = s.CharField(allow_null=True, help_text="Below zero, so much is missing.")
    balls = PackageMixBallsShape(many=True)
    most = PackageMixMostShape(many=True)


class PackageShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    epoch = s.UUIDField()
    match = PackageMatchShape()
    person = PackagePersonShape()
    officials = s.ListField(
        child=s.CharField(), help_text="Who weighs or runs it: theirs replace anybody's weigh-in."
    )
    sections = PackageSectionShape(many=True)
    pegs = PackagePegShape(many=True)
    mine = PackageMineShape(allow_null=True)
    peg_before = PackagePegBeforeShape(many=True)
    mates = s.ListField(
        child=s.CharField(), help_text="Whose jar tests are shared: the people of one's team."
    )
    feed_tests = PackageFeedTestShape(many=True)
    plan = PackagePlanShape(allow_null=True)
    bag = PackageAmountShape(many=True)
    feeding = PackageFeedingShape(allow_null=True)
    mixing = PackageMixShape(many=True)
    baits = PackageBaitShape(many=True)
