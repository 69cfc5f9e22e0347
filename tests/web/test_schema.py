"""The API's description: valid, complete, and honest about refusals."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from openapi_spec_validator import validate

METHODS = {"get", "post", "put", "patch", "delete"}


@pytest.fixture(scope="module")
def schema() -> Any:
    return SchemaGenerator().get_schema(request=None, public=True)


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
