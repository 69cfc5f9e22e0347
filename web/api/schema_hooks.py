"""What holds for every operation of the API is described once: errors are problem details."""

from __future__ import annotations

from typing import Any

from matches.problems import Code

from .shapes import list_of, object_of

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
    "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}},
}


def problems_describe(result: dict[str, Any], **_options: Any) -> dict[str, Any]:
    """Add the problem response to each operation that does not describe its own default."""
    result.setdefault("components", {}).setdefault("schemas", {})["Problem"] = PROBLEM
    for path in result.get("paths", {}).values():
        for operation in path.values():
            operation.setdefault("responses", {}).setdefault("default", RESPONSE)
    return result
