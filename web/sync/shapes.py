"""The shapes of facts, and of who syncs them, for the API's description.

Reading is done by hand for exact pointers.
"""

from __future__ import annotations

from typing import Any

from rest_framework import serializers as s

from matches.models import FactKind, MatchState, Measures
from matches.writes.facts.outcomes import Verdict
from web.problem_shapes import ProblemShape


class SignedShape(s.Serializer[Any]):
    key = s.CharField(help_text="The public key of the phone it is from, as it was made known.")
    signature = s.CharField(help_text="ECDSA on P-256 with SHA-256: r and s, 64 bytes, base64url.")


class FactShape(s.Serializer[Any]):
    id = s.UUIDField()
    device = s.UUIDField()
    seq = s.IntegerField(min_value=1)
    kind = s.ChoiceField(FactKind.choices)
    match = s.CharField()
    peg = s.CharField(allow_blank=True, allow_null=True, required=False, max_length=8)
    recorded_at = s.DateTimeField()
    clock_offset_ms = s.IntegerField(required=False)
    supersedes = s.UUIDField(allow_null=True, required=False)
    body = s.DictField()


class FactGivenShape(FactShape):
    carried = SignedShape(
        allow_null=True, required=False, help_text="Where it is handed in for another."
    )


class PushShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    device = s.UUIDField()
    app = s.CharField(required=False, max_length=40)
    facts = FactGivenShape(many=True)


class RivalShape(s.Serializer[Any]):
    fact = s.UUIDField()
    author = s.CharField()
    kind = s.CharField()


class OutcomeShape(s.Serializer[Any]):
    id = s.CharField(allow_null=True)
    outcome = s.ChoiceField([v.value for v in Verdict])
    cseq = s.IntegerField(required=False)
    rivals = RivalShape(many=True, required=False)
    problem = ProblemShape(required=False)
    after = s.IntegerField(required=False)


class PushAnswerShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    outcomes = OutcomeShape(many=True)


class AuthorShape(s.Serializer[Any]):
    id = s.CharField()
    name = s.CharField()


class PulledFactShape(FactShape):
    cseq = s.IntegerField()
    received_at = s.DateTimeField()
    author = AuthorShape()


class PullAnswerShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    epoch = s.UUIDField()
    facts = PulledFactShape(many=True)
    next = s.CharField()
    more = s.BooleanField()


class MeClubShape(s.Serializer[Any]):
    slug = s.CharField()
    name = s.CharField()
    roles = s.ListField(child=s.CharField())


class MeMatchShape(s.Serializer[Any]):
    id = s.CharField()
    name = s.CharField()
    date = s.DateField()
    state = s.ChoiceField(MatchState.choices)
    called_off = s.CharField(help_text="Why it is not fished; empty while it is.")
    venue = s.CharField()
    timezone = s.CharField()
    club = s.CharField()


class MePersonShape(AuthorShape):
    language = s.CharField(help_text="As chosen at the desk, such as fr; empty where none is.")
    measures = s.ChoiceField(
        Measures.choices, help_text="What is said beside amounts of the other system."
    )


class MeShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    person = MePersonShape(allow_null=True)
    clubs = MeClubShape(many=True)
    matches = MeMatchShape(many=True)
