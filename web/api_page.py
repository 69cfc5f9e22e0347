"""The API for people to read: one page, printed from its own description."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from web.api.described import schema_made
from web.api.schema_hooks import JSON, REFUSALS, operations_of

#: Words, and whether they are code.
Pieces = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """One operation: examples are JSON as text, empty where there is no body."""

    key: str
    method: str
    path: str
    summary: str
    description: Pieces
    open: bool
    parameters: tuple[tuple[str, str, Pieces], ...]
    asked: str
    answers: tuple[tuple[str, str], ...]
    refusals: tuple[tuple[str, Pieces], ...]


@require_safe
def api_page(request: HttpRequest) -> HttpResponse:
    """Every operation, by subject."""
    return render(request, "api.html", {"subjects": operations_shown()})


@cache
def operations_shown() -> dict[str, list[Shown]]:
    """By subject, in the order of the addresses. Made once: it changes with the code alone."""
    schema = schema_made()
    refusals = schema["components"]["responses"]
    found: dict[str, list[Shown]] = {}
    for path, method, operation in operations_of(schema):
        shown = _shown(path, method, operation, refusals=refusals)
        found.setdefault(operation["tags"][0], []).append(shown)
    return found


def _shown(path: str, method: str, operation: dict[str, Any], *, refusals: dict[str, Any]) -> Shown:
    answers = operation["responses"]
    named = {status: refusals[f"Problem{status}"] for status in answers if status in REFUSALS}
    return Shown(
        key=operation["operationId"],
        method=method.upper(),
        path=path,
        summary=operation["summary"],
        description=_pieces(operation["description"]),
        open=not operation["security"],
        parameters=tuple(
            (part["name"], part["in"], _pieces(part.get("description", "")))
            for part in operation.get("parameters", ())
        ),
        asked=_example(operation.get("requestBody", {})),
        answers=tuple((s, _example(a)) for s, a in answers.items() if s < "4"),
        refusals=tuple((status, _pieces(named[status]["description"])) for status in sorted(named)),
    )


def _pieces(text: str) -> Pieces:
    """What stands between two backticks is code."""
    return tuple((piece, n % 2 == 1) for n, piece in enumerate(text.split("`")) if piece)


def _example(body: dict[str, Any]) -> str:
    content = body.get("content", {}).get(JSON, {})
    named = [one["value"] for one in content.get("examples", {}).values()]
    shown = content.get("example", named[0] if named else None)
    return "" if shown is None else json.dumps(shown, ensure_ascii=False, indent=2)
