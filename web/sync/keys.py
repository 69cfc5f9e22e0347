"""The keys that a person's phones sign with."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import serializers as s
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import DeviceKey
from matches.reads.device_keys import keys_of
from matches.times import time_write
from matches.writes.device_keys import device_key_add, device_key_revoke
from matches.writes.facts.shape import PROTOCOL, SIGNED_LONGEST, FactReading
from web.people import person_of
from web.problem_shapes import PROBLEM

from .reading import FactsParser
from .session_device import device_note


class KeyGivenShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    device = s.UUIDField()
    key = s.CharField(help_text="A point of P-256, uncompressed: 65 bytes in base64url.")


class KeyShape(s.Serializer[Any]):
    id = s.IntegerField()
    device = s.UUIDField()
    key = s.CharField()
    made_at = s.DateTimeField()
    revoked_at = s.DateTimeField(allow_null=True)


class KeyAnswerShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    key = KeyShape()


class KeysAnswerShape(s.Serializer[Any]):
    protocol = s.IntegerField()
    keys = KeyShape(many=True)


class KeysView(APIView):
    """The keys of your phones, those taken off the list too."""

    parser_classes: tuple[type[BaseParser], ...] = (FactsParser,)

    @extend_schema(
        operation_id="keys_list", responses={200: KeysAnswerShape, **dict.fromkeys((401,), PROBLEM)}
    )
    def get(self, request: Request) -> Response:
        keys = [_key_json(key) for key in keys_of(person_of(request))]
        return Response({"protocol": PROTOCOL, "keys": keys}, headers=_PRIVATE)

    @extend_schema(
        operation_id="key_add",
        request=KeyGivenShape,
        responses={200: KeyAnswerShape, **dict.fromkeys((400, 401, 403, 409, 413, 415), PROBLEM)},
        description="Make a key of a phone known. Sent again, it is the same key. It stays revoked "
        "once it was.",
    )
    def post(self, request: Request) -> Response:
        reading = FactReading()
        got = reading.read_object(request.data, (), needs=("protocol", "device", "key"))
        if "protocol" in got and (type(got["protocol"]) is not int or got["protocol"] != PROTOCOL):
            reading.fault(("protocol",), _("This server speaks protocol 1: update the app."))
        device = reading.read_uuid(got.get("device"), ("device",))
        public_key = reading.read_text(got.get("key", ""), ("key",), most=SIGNED_LONGEST)
        reading.finish()
        key = device_key_add(person_of(request), device=device, public_key=public_key)
        device_note(request, device)
        return Response({"protocol": PROTOCOL, "key": _key_json(key)})


class KeyView(APIView):
    """Take a key of a phone off the list, for good."""

    @extend_schema(
        operation_id="key_revoke",
        responses={200: KeyAnswerShape, **dict.fromkeys((401, 403, 404), PROBLEM)},
    )
    def delete(self, request: Request, key_id: int) -> Response:
        key = device_key_revoke(person_of(request), key_id=key_id)
        return Response({"protocol": PROTOCOL, "key": _key_json(key)})


_PRIVATE = {"Cache-Control": "private, no-store"}


def _key_json(key: DeviceKey) -> dict[str, Any]:
    return {
        "id": key.pk,
        "device": str(key.device_id),
        "key": key.public_key,
        "made_at": time_write(key.made_at),
        "revoked_at": key.revoked_at and time_write(key.revoked_at),
    }
