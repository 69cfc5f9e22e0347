"""All that the placement calculator may be asked for, as the schema describes it."""

from __future__ import annotations

import json

from django.test import Client
from openapi_schema_validator import OAS30Validator

from bait.reckon.placement import PLACEMENT_EXAMPLE
from web.api.placement_shapes import PLACEMENT_ANSWER, PLACEMENT_REQUEST

ASKED = {
    **PLACEMENT_EXAMPLE,
    "wind_m_s": -4,
    "angler": {"line_m": 9, "rod_m": 4, "flows_to": "left"},
    "swim_m": 12,
    "rise_m": 0.2,
    "particles": 500,
    "tighten": "caster",
    "compare": {
        "loose": "caster",
        "balls": "balls",
        "surface_speeds_m_s": [0.2, 0.35],
        "depths_m": [2.4],
    },
}


def test_everything_asked_for_is_answered_as_described(client: Client) -> None:
    OAS30Validator(PLACEMENT_REQUEST).validate(ASKED)
    response = client.post(
        "/api/v1/reckon/placement", json.dumps(ASKED), content_type="application/json"
    )
    assert response.status_code == 200
    answer = response.json()
    OAS30Validator(PLACEMENT_ANSWER).validate(answer)
    assert [cell["use"] for cell in answer["compare"]] == ["loose", "balls"]
    ways = [way["way"] for way in answer["tighten"]]
    assert ways == ["closer", "low", "heavier", "balls", "slack"]
    assert answer["feeds"][2]["reach_speed_m_s"] is None
    caster, risen = answer["feeds"][1], answer["risen"]["feeds"][1]
    assert risen["throw_point"]["upstream_m"] > caster["throw_point"]["upstream_m"]


def test_what_was_not_asked_for_is_not_answered(client: Client) -> None:
    response = client.post(
        "/api/v1/reckon/placement", json.dumps(PLACEMENT_EXAMPLE), content_type="application/json"
    )
    assert sorted(response.json()) == ["feeds", "surface_speed_m_s"]
    assert "throw_point" not in response.json()["feeds"][0]
