"""The API's description: valid, complete, and honest about refusals."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.cache import cache
from django.core.management import call_command
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from openapi_schema_validator import OAS30Validator
from openapi_spec_validator import validate
from rest_framework.renderers import JSONRenderer

from matches.models import Scope
from matches.writes.api_tokens import api_token_make
from tests.api_examples import answers_take, examples_of
from tests.clients import signed_in
from tests.conftest import World
from web.api.schema_hooks import examples_read, operations_of

METHODS = {"get", "post", "put", "patch", "delete"}
JSON = "application/json"


@pytest.fixture(scope="module")
def schema() -> Any:
    """As it is sent: every word is text by then."""
    made = SchemaGenerator().get_schema(request=None, public=True)
    return json.loads(JSONRenderer().render(made))


def faults(value: Any, *, content: Any, schema: Any) -> list[str]:
    """Where a value is not what the description of it says."""
    wanted = {**content["schema"], "components": schema["components"]}
    return [
        f"{error.json_path}: {error.message}" for error in OAS30Validator(wanted).iter_errors(value)
    ]


def shown(content: Any) -> list[Any]:
    """The examples of a body."""
    named = [one["value"] for one in content.get("examples", {}).values()]
    return named + ([content["example"]] if "example" in content else [])


def test_schema_can_be_read_by_anyone_and_is_valid(db: None) -> None:
    response = Client().get("/api/v1/schema", headers={"accept": "application/json"})
    assert response.status_code == 200
    described = response.json()
    assert described["openapi"].startswith("3.0")
    validate(described)


def test_schema_is_made_without_a_warning(tmp_path: Any) -> None:
    call_command("spectacular", fail_on_warn=True, validate=True, file=str(tmp_path / "schema.yml"))


def test_every_operation_says_how_it_refuses(schema: Any) -> None:
    for path, operations in schema["paths"].items():
        for method in METHODS & set(operations):
            content = operations[method]["responses"]["default"]["content"]
            assert list(content) == ["application/problem+json"], f"{method} {path}"


def test_every_calculator_shows_a_worked_example(schema: Any) -> None:
    reckon = {p: o for p, o in schema["paths"].items() if p.startswith("/api/v1/reckon/")}
    assert {p.rsplit("/", 1)[1] for p in reckon} >= {
        "draw",
        "lines",
        "mix",
        "order",
        "payouts",
        "placement",
        "placings",
    }
    for operations in reckon.values():
        post = operations["post"]
        assert post["requestBody"]["content"]["application/json"]["examples"]
        assert post["responses"]["200"]["content"]["application/json"]["examples"]


def test_every_operation_says_what_it_does_who_may_ask_and_how_it_is_refused(schema: Any) -> None:
    lacking = []
    for path, method, operation in operations_of(schema):
        at = f"{method} {path}"
        refusals = {status for status in operation["responses"] if status >= "4"} - {"default"}
        wanted = {"429"}
        wanted |= {"401", "403"} if operation["security"] else set()
        wanted |= {"404"} if "{" in path else set()
        wanted |= {"400", "413", "415"} if "requestBody" in operation else set()
        if not wanted <= refusals:
            lacking.append(f"{at}: {sorted(wanted - refusals)}")
        if not operation.get("summary") or len(operation.get("description", "")) < 20:
            lacking.append(f"{at}: no words")
        silent = [p["name"] for p in operation.get("parameters", ()) if not p.get("description")]
        if silent:
            lacking.append(f"{at}: no words for {silent}")
        if {"token": []} in operation["security"]:
            named = operation["x-scopes"]
            assert set(named) <= set(Scope.values)
            if not named or not all(f"`{scope}`" in operation["description"] for scope in named):
                lacking.append(f"{at}: no scopes")
    assert not lacking, "\n".join(lacking)
    assert {"cookieAuth", "token"} == set(schema["components"]["securitySchemes"])


def test_every_body_has_an_example_that_is_what_its_description_says(schema: Any) -> None:
    wrong = []
    for path, method, operation in operations_of(schema):
        told = [operation["requestBody"]] if "requestBody" in operation else []
        told += [a for status, a in operation["responses"].items() if status.startswith("2")]
        for part in told:
            content = part["content"][JSON]
            examples = shown(content)
            if not examples:
                wrong.append(f"{method} {path}: no example")
            for one in examples:
                wrong += [
                    f"{method} {path}: {f}" for f in faults(one, content=content, schema=schema)
                ]
    for name, refusal in schema["components"]["responses"].items():
        content = refusal["content"]["application/problem+json"]
        assert shown(content)
        wrong += [f"{name}: {f}" for f in faults(shown(content)[0], content=content, schema=schema)]
    assert not wrong, "\n".join(wrong)


def test_every_operation_answers_as_described_and_as_its_example_shows(
    schema: Any, db: None
) -> None:
    taken = answers_take(schema)
    wrong = []
    for path, method, operation in operations_of(schema):
        one = taken[operation["operationId"]]
        told = operation["responses"].get(str(one["status"]))
        if one["status"] >= 300 or told is None:
            wrong.append(f"{method} {path}: {one}")
            continue
        found = faults(one["answered"], content=told["content"][JSON], schema=schema)
        wrong += [f"{method} {path}: {fault}" for fault in found]
    assert len(taken) == len(list(operations_of(schema))) > 40
    assert not wrong, "\n".join(wrong)
    stale = "the examples are of before: python -m tests.api_examples records them"
    assert examples_of(taken, schema=schema) == examples_read(), stale


def test_every_refusal_that_can_be_provoked_anywhere_comes_as_described(
    schema: Any, world: World
) -> None:
    """Nobody, a token for something else, what never was, half a body, another kind, too much."""
    none = {"match_id": 9, "team_id": 9, "key_id": 9, "number": 9, "club": "never"}
    none |= {"league": "never", "work_id": "00000000-0000-4000-8000-000000000000"}
    person = signed_in(world.captain)
    open_ = Client(HTTP_HOST="localhost")
    wrong = []
    for path, method, operation in operations_of(schema):
        cache.clear()
        at, guarded = path.format(**none), bool(operation["security"])
        needed = operation.get("x-scopes", [])
        other = next(scope for scope in Scope.values if scope not in needed)
        world.captain.api_tokens.all().delete()
        secret = api_token_make(world.captain, name="other", scopes=[other], days=1)[1]
        by_token = Client(HTTP_HOST="localhost", headers={"authorization": f"Bearer {secret}"})
        tried = [(open_, "{}", JSON, 401), (by_token, "{}", JSON, 403)] if guarded else []
        tried += [(person, "{}", JSON, 404)] if "{" in path else []
        if "requestBody" in operation and "{" not in path:
            tried += [(person, "[", JSON, 400), (person, "x", "text/plain", 415)]
            tried += [(person, " " * 1_048_577, JSON, 413)]
        for client, body, kind, status in tried:
            more = {} if method == "get" else {"data": body, "content_type": kind}
            answer = getattr(client, method)(at, **more)
            if (answer.status_code, answer["Content-Type"]) != (status, "application/problem+json"):
                wrong.append(f"{method} {at}: {answer.status_code}, not {status}")
            elif str(status) not in operation["responses"]:
                wrong.append(f"{method} {at}: {status} is not described")
    assert not wrong, "\n".join(wrong)
