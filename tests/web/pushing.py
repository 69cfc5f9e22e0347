"""Facts as a phone pushes them, and what is said of each."""

from __future__ import annotations

import json
import uuid
from typing import Any

from matches.models import Disagreement
from tests.clients import signed_in

URL = "/api/v1/sync/facts"

PHONE = uuid.UUID("01890a5d-ac96-7000-8000-00000000beef")


def fact(world: Any, n: int, **given: Any) -> dict[str, Any]:
    """The n-th fact of the phone: a weigh-in of n × 100 g at peg 1 unless told otherwise."""
    made = {
        "id": str(uuid.UUID(int=(0x01890A5DAC96 << 80) | 7 << 76 | 2 << 62 | n)),
        "device": str(PHONE),
        "seq": n,
        "kind": "weigh_in",
        "match": str(world.match.pk),
        "peg": "1",
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "clock_offset_ms": -850,
        "supersedes": None,
        "body": {"net": 1, "weight": n * 100, "unit": "g", "witness": None},
    }
    return made | given


def push(person: Any, *facts: Any, **envelope: Any) -> Any:
    body = {"protocol": 1, "device": str(PHONE), "app": "b1", "facts": list(facts)} | envelope
    return signed_in(person).post(URL, json.dumps(body), content_type="application/json")


def outcomes(response: Any) -> list[dict[str, Any]]:
    assert response.status_code == 200, response.content
    body = response.json()
    assert body["protocol"] == 1
    return body["outcomes"]


def words(response: Any) -> list[str]:
    return [o["outcome"] for o in outcomes(response)]


def pointers(outcome: dict[str, Any]) -> list[str]:
    return [e["pointer"] for e in outcome["problem"]["errors"]]


def ruling(world: Any, n: int, stands: str, **given: Any) -> dict[str, Any]:
    row = Disagreement.objects.order_by("-id").first()
    body = {"disagreement": row.pk if row else 1, "stands": stands}
    return fact(world, n, kind="ruling", peg="", body=body, **given)
