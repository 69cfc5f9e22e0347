"""The shapes of matches and results in the API: what the schema describes."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers


class MatchShape(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    name = serializers.CharField()
    slug = serializers.CharField()
    club = serializers.CharField(source="club.slug", help_text="The club's slug.")
    venue = serializers.CharField(source="venue.name")
    date = serializers.DateField(help_text="The local date at the venue.")
    state = serializers.CharField(help_text="planned, drawn, weighing, provisional or confirmed.")
    weight_unit = serializers.CharField(help_text="g, or dr (drams).")
    called_off = serializers.CharField(help_text="Why it is not fished; empty while it is.")
    draw_at = serializers.DateTimeField(allow_null=True)
    prepare_at = serializers.DateTimeField(allow_null=True)
    feed_at = serializers.DateTimeField(allow_null=True)
    start_at = serializers.DateTimeField()
    end_at = serializers.DateTimeField()
    last_call_min = serializers.IntegerField(
        help_text="Minutes before the end; 0 for no last call."
    )


class MatchPageShape(serializers.Serializer[Any]):
    matches = MatchShape(many=True)
    next = serializers.IntegerField(
        allow_null=True, help_text="Ask again with after set to this; null at the end."
    )


class EntryShape(serializers.Serializer[Any]):
    peg = serializers.CharField()
    angler = serializers.CharField(help_text="The public name.")
    team = serializers.CharField(allow_null=True)
    nets = serializers.ListField(child=serializers.IntegerField(), help_text="In order.")
    weight = serializers.IntegerField(allow_null=True, help_text="Null while nothing stands.")
    counted = serializers.IntegerField(
        allow_null=True, help_text="What the weight comes to under the match's cap of a net."
    )
    score = serializers.IntegerField(
        allow_null=True, help_text="Points of the fish; null where fish are not scored."
    )
    status = serializers.CharField(help_text="entered, retired, absent or disqualified.")
    place = serializers.CharField(allow_null=True)
    points = serializers.CharField(allow_null=True)


class SectionShape(serializers.Serializer[Any]):
    # A field of that name hides the serializer's own label, which nothing here asks for.
    label = serializers.CharField()  # type: ignore[assignment]
    to_weigh = serializers.IntegerField()
    entries = EntryShape(many=True)


class TeamShape(serializers.Serializer[Any]):
    rank = serializers.IntegerField(allow_null=True, help_text="Null until all have weighed.")
    team = serializers.CharField()
    points = serializers.CharField()
    weight = serializers.IntegerField()
    counted = serializers.IntegerField()
    members = serializers.IntegerField()


class BiggestShape(serializers.Serializer[Any]):
    angler = serializers.CharField()
    peg = serializers.CharField()
    weight = serializers.IntegerField()


class WeighBoardShape(serializers.Serializer[Any]):
    match = serializers.IntegerField()
    state = serializers.CharField()
    weight_unit = serializers.CharField()
    weighed = serializers.IntegerField()
    expected = serializers.IntegerField()
    disagreements = serializers.IntegerField()
    still_to_come = serializers.IntegerField(
        help_text="Facts known to be on their way from phones that wrote for this match, "
        "at most 10,000 a phone."
    )
    biggest = BiggestShape(allow_null=True)
    sections = SectionShape(many=True)
    teams = TeamShape(many=True)


class BulletinShape(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    confirmed = serializers.BooleanField()
    reason = serializers.CharField(allow_blank=True)
    digest = serializers.CharField(help_text="SHA-256 of the body as canonical JSON.")
    published_at = serializers.DateTimeField()
    objections_until = serializers.DateTimeField(
        allow_null=True, help_text="Until when a provisional one can be objected to."
    )
    url = serializers.CharField(help_text="The public page.")


class BulletinListShape(serializers.Serializer[Any]):
    bulletins = BulletinShape(many=True)


class BulletinAskShape(serializers.Serializer[Any]):
    confirmed = serializers.BooleanField(default=False)
    reason = serializers.CharField(default="", allow_blank=True, max_length=400)


class SideShape(serializers.Serializer[Any]):
    fact = serializers.UUIDField()
    kind = serializers.CharField()
    weight = serializers.IntegerField(allow_null=True)
    author = serializers.CharField()
    device = serializers.CharField(help_text="What the phone is called.")
    recorded_at = serializers.DateTimeField(help_text="The phone's clock, for display only.")
    received_at = serializers.DateTimeField()


class DisagreementShape(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    kind = serializers.CharField()
    peg = serializers.CharField(allow_blank=True)
    net = serializers.IntegerField(allow_null=True)
    opened_at = serializers.DateTimeField()
    sides = SideShape(many=True)


class DisagreementListShape(serializers.Serializer[Any]):
    disagreements = DisagreementShape(many=True)
