"""The open calculators through HTTP: answers, refusals with pointers, never a 500."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from openapi_schema_validator import OAS30Validator

from bait.reckon.lines import LINES_EXAMPLE, LINES_EXAMPLE_ANSWER
from bait.reckon.mix import MIX_EXAMPLE, MIX_EXAMPLE_ANSWER
from bait.reckon.order import ORDER_EXAMPLE, ORDER_EXAMPLE_ANSWER
from bait.reckon.placement import PLACEMENT_EXAMPLE, PLACEMENT_EXAMPLE_ANSWER
from matches.reckon.draw import DRAW_EXAMPLE, DRAW_EXAMPLE_ANSWER
from matches.reckon.league import LEAGUE_EXAMPLE, LEAGUE_EXAMPLE_ANSWER
from matches.reckon.payouts import PAYOUTS_EXAMPLE, PAYOUTS_EXAMPLE_ANSWER
from matches.reckon.placings import PLACINGS_EXAMPLE, PLACINGS_EXAMPLE_ANSWER
from tests.nearly import nearly
from web.api import league_shapes, lines_shapes, mix_shapes, placement_shapes
from web.api import reckon_shapes as shapes

CASES = Path(__file__).parents[1] / "cases"
EXAMPLES: dict[str, tuple[Any, Any]] = {
    "draw": (DRAW_EXAMPLE, DRAW_EXAMPLE_ANSWER),
    "league": (LEAGUE_EXAMPLE, LEAGUE_EXAMPLE_ANSWER),
    "lines": (LINES_EXAMPLE, LINES_EXAMPLE_ANSWER),
    "mix": (MIX_EXAMPLE, MIX_EXAMPLE_ANSWER),
    "order": (ORDER_EXAMPLE, ORDER_EXAMPLE_ANSWER),
    "payouts": (PAYOUTS_EXAMPLE, PAYOUTS_EXAMPLE_ANSWER),
    "placement": (PLACEMENT_EXAMPLE, PLACEMENT_EXAMPLE_ANSWER),
    "placings": (PLACINGS_EXAMPLE, PLACINGS_EXAMPLE_ANSWER),
}
SHAPES: dict[str, tuple[Any, Any]] = {
    "draw": (shapes.DRAW_REQUEST, shapes.DRAW_ANSWER),
    "league": (league_shapes.LEAGUE_REQUEST, league_shapes.LEAGUE_ANSWER),
    "lines": (lines_shapes.LINES_REQUEST, lines_shapes.LINES_ANSWER),
    "mix": (mix_shapes.MIX_REQUEST, mix_shapes.MIX_ANSWER),
    "order": (shapes.ORDER_REQUEST, shapes.ORDER_ANSWER),
    "payouts": (shapes.PAYOUTS_REQUEST, shapes.PAYOUTS_ANSWER),
    "placement": (placement_shapes.PLACEMENT_REQUEST, placement_shapes.PLACEMENT_ANSWER),
    "placings": (shapes.PLACINGS_REQUEST, shapes.PLACINGS_ANSWER),
}


@pytest.fixture(autouse=True)
def no_throttle(settings: Any) -> None:
    cache.clear()
    settings.REST_FRAMEWORK = {
        **settings.REST_FRAMEWORK,
        "DEFAULT_THROTTLE_RATES": {"reckon": "100000/min"},
    }


def asked(name: str, body: Any, **extra: Any) -> Any:
    """What the server answers to `body`: text as it is, anything else as JSON."""
    data = body if isinstance(body, str | bytes) else json.dumps(body)
    return Client().post(
        f"/api/v1/reckon/{name}", data, content_type="application/json", headers=extra
    )


def recorded() -> list[Any]:
    return [
        pytest.param(name, case, id=f"{name}: {case['why']}")
        for name in EXAMPLES
        if (CASES / f"{name}.json").exists()
        for case in json.loads((CASES / f"{name}.json").read_text())
    ]


@pytest.mark.parametrize(("name", "case"), recorded())
def test_recorded_case_has_the_same_answer_through_http(name: str, case: Any) -> None:
    response = asked(name, case["input"])
    if "errors" in case:
        assert response.status_code == 400
        assert sorted(e["pointer"] for e in response.json()["errors"]) == sorted(case["errors"])
        return
    assert response.status_code == 200, response.content
    assert nearly(response.json(), case["output"])
    request_shape, answer_shape = SHAPES[name]
    OAS30Validator(request_shape).validate(case["input"])
    OAS30Validator(answer_shape).validate(case["output"])


@pytest.mark.parametrize("name", EXAMPLES)
def test_described_example_is_what_the_calculator_says(name: str) -> None:
    example, answer = EXAMPLES[name]
    assert nearly(asked(name, example).json(), answer)


@pytest.mark.parametrize("name", EXAMPLES)
def test_needs_no_account_and_leaves_no_cookie(name: str) -> None:
    response = asked(name, EXAMPLES[name][0])
    assert response.status_code == 200
    assert response.cookies == {}


NOT_JSON = {
    "nothing at all": b"",
    "half an object": b'{"sections": [',
    "a comment": b'{"sections": [] /* none */}',
    "NaN": b'{"sections": NaN}',
    "Infinity": b'{"sections": -Infinity}',
    "a number beyond a double": b'{"sections": 1e999}',
    "a number of five thousand digits": b'{"sections": ' + b"1" * 5000 + b"}",
    "a key twice": b'{"sections": [], "sections": []}',
    "a key twice, inside": b'{"sections": [{"id": "A", "id": "B"}]}',
    "not UTF-8": b'{"sections": "\xff"}',
    "nested too deep": b"[" * 100_000,
}


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("body", NOT_JSON.values(), ids=NOT_JSON)
def test_what_is_not_plain_json_is_refused(name: str, body: bytes) -> None:
    response = asked(name, body)
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"
    assert response.json()["errors"]


def changed(example: Any, key: str, **values: Any) -> Any:
    """`example` with the first of its list `key` changed."""
    first, *rest = example[key]
    return {**example, key: [{**first, **values}, *rest]}


BAD: list[tuple[str, Any, list[str]]] = [
    ("placings", [], [""]),
    ("placings", None, [""]),
    ("placings", {}, ["/sections"]),
    ("placings", {"sections": []}, ["/sections"]),
    ("placings", {"sections": [], "colour": 1}, ["/colour", "/sections"]),
    (
        "placings",
        {"sections": [{"id": "A", "entries": [{"angler": "a", "weight": -1}]}]},
        ["/sections/0/entries/0/weight"],
    ),
    (
        "placings",
        {"sections": [{"id": "A", "entries": [{"angler": "a", "weight": 1.5}]}]},
        ["/sections/0/entries/0/weight"],
    ),
    (
        "placings",
        {"sections": [{"id": "A", "size": 1, "entries": [{"angler": "a"}, {"angler": "a"}]}]},
        [
            "/sections/0/entries/0/weight",
            "/sections/0/entries/1/weight",
            "/sections/0/size",
            "/sections/0/entries/1/angler",
        ],
    ),
    ("draw", {**DRAW_EXAMPLE, "seed": "12"}, ["/seed"]),
    ("draw", {**DRAW_EXAMPLE, "mode": "any"}, ["/mode"]),
    ("draw", {**DRAW_EXAMPLE, "sections": [{"id": "A", "pegs": ["1"]}]}, ["/anglers"]),
    (
        "draw",
        {**DRAW_EXAMPLE, "sections": [{"id": "A", "pegs": ["1", "1", "2", "3", "4", "5"]}]},
        ["/sections/0/pegs/1"],
    ),
    ("order", {}, ["/demands", "/packs", "/suppliers"]),
    ("order", changed(ORDER_EXAMPLE, "demands", amount="-1"), ["/demands/0/amount"]),
    ("order", changed(ORDER_EXAMPLE, "demands", amount=2.5), ["/demands/0/amount"]),
    ("order", changed(ORDER_EXAMPLE, "demands", amount="1e3"), ["/demands/0/amount"]),
    ("order", changed(ORDER_EXAMPLE, "demands", amount="999999"), ["/demands/0/amount"]),
    ("order", changed(ORDER_EXAMPLE, "demands", unit="bucket"), ["/demands/0/unit"]),
    ("order", changed(ORDER_EXAMPLE, "packs", unit="kg"), ["/packs/0/unit"]),
    ("order", changed(ORDER_EXAMPLE, "packs", amount="0"), ["/packs/0/amount"]),
    ("order", changed(ORDER_EXAMPLE, "packs", price=4.2, breaks=[]), ["/packs/0/price"]),
    ("order", changed(ORDER_EXAMPLE, "packs", supplier="s9"), ["/packs/0/supplier"]),
    ("order", changed(ORDER_EXAMPLE, "packs", colour="red"), ["/packs/0/colour"]),
    (
        "order",
        changed(ORDER_EXAMPLE, "suppliers", minimum_spend="-5"),
        ["/suppliers/0/minimum_spend"],
    ),
    ("order", {**ORDER_EXAMPLE, "compare_alone": "no"}, ["/compare_alone"]),
    ("payouts", {**PAYOUTS_EXAMPLE, "pool": "10.00"}, ["/pool"]),
    ("payouts", {**PAYOUTS_EXAMPLE, "pool": 200}, ["/pool"]),
    ("payouts", {**PAYOUTS_EXAMPLE, "currency": "pounds"}, ["/currency"]),
    ("payouts", {**PAYOUTS_EXAMPLE, "frame": [{"place": 1}]}, ["/frame/0"]),
]


@pytest.mark.parametrize(
    ("name", "body", "pointers"), BAD, ids=[f"{n}-{i}" for i, (n, *_rest) in enumerate(BAD)]
)
def test_bad_input_is_refused_where_it_is_wrong(name: str, body: Any, pointers: list[str]) -> None:
    response = asked(name, body)
    assert response.status_code == 400
    assert response["Content-Type"] == "application/problem+json"
    problem = response.json()
    assert problem["type"] == "/problems/bad-input"
    assert sorted(e["pointer"] for e in problem["errors"]) == sorted(pointers)
    assert all(e["message"].endswith(".") for e in problem["errors"])


@pytest.mark.parametrize("name", EXAMPLES)
def test_body_above_a_mebibyte_is_refused(name: str) -> None:
    response = asked(name, b" " * (1_048_576 + 1))
    assert response.status_code == 413
    assert response.json()["type"] == "/problems/too-large"


@pytest.mark.parametrize("name", EXAMPLES)
def test_other_methods_media_and_tongues_are_refused_in_words(name: str) -> None:
    client = Client()
    address = f"/api/v1/reckon/{name}"
    assert client.get(address).status_code == 405
    assert client.post(address, "a=1", content_type="text/plain").status_code == 415
    refused = asked(name, EXAMPLES[name][0], accept="text/html")
    assert refused.status_code == 406
    assert refused.json()["type"] == "/problems/accept"


def test_too_many_calls_are_told_when_to_try_again(settings: Any) -> None:
    settings.REST_FRAMEWORK = {
        **settings.REST_FRAMEWORK,
        "DEFAULT_THROTTLE_RATES": {"reckon": "2/min"},
    }
    assert [asked("draw", DRAW_EXAMPLE).status_code for _ in range(3)] == [200, 200, 429]
    refused = asked("draw", DRAW_EXAMPLE)
    assert 1 <= int(refused["Retry-After"]) <= 60
    assert refused.json()["type"] == "/problems/slow-down"


KEYS = st.sampled_from(
    [
        *DRAW_EXAMPLE,
        *MIX_EXAMPLE,
        "squeeze_test",
        *ORDER_EXAMPLE,
        *PLACEMENT_EXAMPLE,
        *PLACINGS_EXAMPLE,
        *PAYOUTS_EXAMPLE,
        *LEAGUE_EXAMPLE,
        "id",
        "entries",
        "pegs",
        "weight",
    ]
)
ANYTHING = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(10**20), 10**20),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(max_size=6),
        st.sampled_from(["0", "1.5", "-1", "g", "pint", "open", "team", "weighed", "\ud800"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.one_of(KEYS, st.text(max_size=3)), inner)
    ),
    max_leaves=20,
)


@pytest.mark.parametrize("name", EXAMPLES)
@hypothesis_settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_anything_at_all_is_answered_or_refused(name: str, data: st.DataObject) -> None:
    body = data.draw(ANYTHING)
    if data.draw(st.booleans()):
        example = EXAMPLES[name][0]
        body = {**example, data.draw(st.sampled_from([*example, "other"])): body}
    response = asked(name, json.dumps(body))
    assert response.status_code in (200, 400)
    response.json()


@pytest.mark.parametrize("name", EXAMPLES)
@hypothesis_settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=st.binary(max_size=60))
def test_any_bytes_at_all_are_answered_or_refused(name: str, body: bytes) -> None:
    assert asked(name, body).status_code in (200, 400)


def test_demand_that_nobody_sells_is_answered_short_with_the_reason() -> None:
    response = asked("order", {**ORDER_EXAMPLE, "packs": []})
    assert response.status_code == 200
    answer = response.json()
    OAS30Validator(shapes.ORDER_ANSWER).validate(answer)
    assert (answer["status"], answer["total"], answer["lines"]) == ("short", "0.00", [])
    assert [(s["bait"], s["amount"]) for s in answer["short"]] == [("caster", "8.5")]
    assert answer["short"][0]["why"].endswith(".")
