"""A phone that signs what it hands to a mate's phone, as the bank app does."""

from __future__ import annotations

import base64
import uuid
from typing import Any

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from matches.models import DeviceKey
from matches.reckon.carried import carried_message
from matches.writes.device_keys import device_key_add
from matches.writes.facts.canonical import fact_digest


def base64url(raw: bytes) -> str:
    return base64.urlsafe_b64encode(raw).decode().rstrip("=")


class SigningPhone:
    """A person's phone with a key of its own; it counts its facts."""

    def __init__(self, person: Any, match: Any) -> None:
        self.person, self.match = person, match
        self.device = uuid.uuid4()
        self.secret = ec.generate_private_key(ec.SECP256R1())
        point = self.secret.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        self.public_key = base64url(point)
        self.seq = 0

    def join(self) -> DeviceKey:
        return device_key_add(self.person, device=self.device, public_key=self.public_key)

    def fact(self, **given: Any) -> dict[str, Any]:
        """A weigh-in of 1 kg at peg 4 unless told otherwise."""
        self.seq += 1
        made = {
            "id": str(uuid.uuid4()),
            "device": str(self.device),
            "seq": self.seq,
            "kind": "weigh_in",
            "match": str(self.match.pk),
            "peg": "4",
            "recorded_at": "2026-06-20T13:05:11.250Z",
            "clock_offset_ms": -850,
            "supersedes": None,
            "body": {"net": 1, "weight": 1000, "unit": "g", "witness": None},
        }
        return made | given

    def signed(self, fact: dict[str, Any], *, person: Any = None) -> dict[str, Any]:
        """The fact with what a mate's phone hands in beside it."""
        message = carried_message(
            fact=uuid.UUID(fact["id"]),
            device=self.device,
            person=(person or self.person).pk,
            digest=fact_digest(fact),
        )
        r, s = decode_dss_signature(self.secret.sign(message, ec.ECDSA(SHA256())))
        signature = base64url(r.to_bytes(32) + s.to_bytes(32))
        return fact | {"carried": {"key": self.public_key, "signature": signature}}
