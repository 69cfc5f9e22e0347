"""What holds for every operation of the API is described once: how it refuses, what a token needs,
and a worked example of asking and being answered."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

from django.urls import Resolver404, resolve

from matches.problems import Code

from .scopes import ANYONE, NEVER, scopes_needed
from .shapes import list_of, object_of

Operation = dict[str, Any]
METHODS: Final = ("get", "post", "put", "patch", "delete")
JSON: Final = "application/json"
PROBLEM_JSON: Final = "application/problem+json"
TEXT = {"type": "string"}
PROBLEM = {
    **object_of(
        {
            "type": {**TEXT, "format": "uri-reference", "example": "/problems/bad-input"},
            "title": TEXT,
            "status": {"type": "integer", "enum": sorted({code.status for code in Code})},
            "detail": TEXT,
        },
        {"errors": list_of(object_of({"pointer": TEXT, "message": TEXT}))},
        about="Problem details (RFC 9457); each pointer is an RFC 6901 JSON pointer.",
    ),
    "additionalProperties": True,
}
RESPONSE = {
    "description": "Refused: the problem says what to do. The code that ends its type is one of "
    + ", ".join(code.slug for code in Code)
    + ".",
    "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
}
#: By status: when it comes, and a problem as it is answered.
REFUSALS: Final = {
    "400": ("The request does not fit: `errors` point to what to mend.", Code.BAD_INPUT),
    "401": ("No session and no token that is good.", Code.SIGN_IN),
    "403": ("Not for this person, or not for this token.", Code.NOT_ALLOWED),
    "404": ("Not there, or not for this person to know of.", Code.NOT_FOUND),
    "409": ("It changed meanwhile, or does not go with how things stand.", Code.CONFLICT),
    "413": ("The body is too large.", Code.TOO_LARGE),
    "415": ("The body is not JSON.", Code.MEDIA_TYPE),
    "429": ("Too many requests: wait as long as `Retry-After` says.", Code.SLOW_DOWN),
    "503": ("The database did not answer. Nothing was changed: try again.", Code.BUSY),
}
#: What each part of an address names, and where it is found.
PARTS: Final = {
    "match_id": "The `id` of a match, as `/api/v1/matches` has it.",
    "team_id": "The `id` of a team, as `/api/v1/teams` has it.",
    "work_id": "The `id` of work that was asked for.",
    "key_id": "The `id` of a key of yours.",
    "club": "The short name of a club, as `/api/v1/me` has it.",
    "league": "The short name of a league in its club.",
    "number": "The number of a league's table, from 1.",
}
#: What stands in an address for each of its parts, so that it can be looked up.
NUMBER, KEY = "1", "00000000-0000-4000-8000-000000000000"
EXAMPLES = Path(__file__).with_name("examples.json")


@cache
def examples_read() -> dict[str, Any]:
    """By operation: `asked`, where it has a body, and `answered`. `python -m tests.api_examples`
    records them."""
    found: dict[str, Any] = json.loads(EXAMPLES.read_text(encoding="utf-8"))
    return found


def operations_describe(result: dict[str, Any], **_options: Any) -> dict[str, Any]:
    """Tell of each operation what it does, how it refuses, who may ask, and an example."""
    parts = result.setdefault("components", {})
    parts.setdefault("schemas", {})["Problem"] = PROBLEM
    parts["responses"] = {f"Problem{status}": _refusal(status) for status in REFUSALS}
    for path, method, operation in operations_of(result):
        _summary_set(operation)
        _parts_tell(operation)
        _scopes_set(operation, path=path, method=method)
        _refusals_set(operation, path=path)
        _examples_set(operation)
    for shape in list(_shapes_within(result)):
        _null_allow(shape)
    return result


def operations_of(schema: dict[str, Any]) -> Iterator[tuple[str, str, Operation]]:
    """Each operation with its path and its method."""
    for path, operations in schema.get("paths", {}).items():
        for method in METHODS:
            if method in operations:
                yield path, method, operations[method]


def _shapes_within(value: Any) -> Iterator[dict[str, Any]]:
    """Each object in it that is null or what one other shape says."""
    if isinstance(value, dict):
        if value.get("nullable") is True and "allOf" in value:
            yield value
        for one in value.values():
            yield from _shapes_within(one)
    elif isinstance(value, list):
        for one in value:
            yield from _shapes_within(one)


def _null_allow(shape: dict[str, Any]) -> None:
    """In OpenAPI 3.0 `nullable` beside `allOf` allows no null, as no `type` stands with it."""
    del shape["nullable"]
    shape["anyOf"] = [*shape.pop("allOf"), {"type": "object", "nullable": True, "enum": [None]}]


def _summary_set(operation: Operation) -> None:
    words = " ".join(operation.get("description", "").split())
    operation["description"] = words
    operation.setdefault("summary", re.split(r"(?<=\.)\s", words)[0].rstrip("."))


def _parts_tell(operation: Operation) -> None:
    for part in operation.get("parameters", ()):
        if part["in"] == "path":
            part["description"] = PARTS[part["name"]]


def _scopes_set(operation: Operation, *, path: str, method: str) -> None:
    """OpenAPI 3.0 leaves the scopes of a bearer token to words: `x-scopes`, and the description."""
    needed = scopes_needed(_name_of(path), method=method.upper())
    if needed == ANYONE:
        operation["security"] = []
        return
    scopes = [] if needed == NEVER else needed.split()
    operation["x-scopes"] = scopes
    operation["security"] = [{"cookieAuth": []}, *([{"token": []}] if scopes else [])]
    named = " and ".join(f"`{scope}`" for scope in scopes)
    said = f"A token needs {named}." if scopes else "No token may do this."
    operation["description"] += f" {said}"


def _name_of(path: str) -> str:
    for part in (NUMBER, KEY):
        try:
            return resolve(re.sub(r"\{\w+\}", part, path)).url_name or ""
        except Resolver404:
            continue
    raise LookupError(f"no address for {path}")


def _refusals_set(operation: Operation, *, path: str) -> None:
    """What was declared, and what follows from having a body, an owner, or an object."""
    responses = operation.setdefault("responses", {})
    statuses = {status for status in responses if status in REFUSALS} | {"429"}
    if operation.get("security"):
        statuses |= {"401", "403"}
    if "{" in path:
        statuses.add("404")
    if "requestBody" in operation:
        statuses |= {"400", "413", "415"}
    for status in sorted(statuses):
        responses[status] = {"$ref": f"#/components/responses/Problem{status}"}
    responses.setdefault("default", RESPONSE)


def _refusal(status: str) -> dict[str, Any]:
    """A refusal with its headers and with a problem as it is answered."""
    about, code = REFUSALS[status]
    shown = {
        "type": f"/problems/{code.slug}",
        "title": str(code.title),
        "status": code.status,
        "detail": about.replace("`", ""),
    }
    if status == "400":
        shown["errors"] = [{"pointer": "/match", "message": "Name a match of your clubs."}]
    headers = {"401": "WWW-Authenticate", "429": "Retry-After", "503": "Retry-After"}
    refusal: dict[str, Any] = {"description": about}
    if status in headers:
        refusal["headers"] = {headers[status]: {"schema": TEXT}}
    refusal["content"] = {
        PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}, "example": shown}
    }
    return refusal


def _examples_set(operation: Operation) -> None:
    """What was recorded, where the operation brings no example of its own."""
    recorded = examples_read().get(operation["operationId"], {})
    if "asked" in recorded and "requestBody" in operation:
        operation["requestBody"]["content"][JSON].setdefault("example", recorded["asked"])
    for status, answer in operation["responses"].items():
        if not status.startswith("2") or "answered" not in recorded:
            continue
        answer["content"][JSON].setdefault("example", recorded["answered"])
        answer["description"] = answer.get("description") or "As asked."
