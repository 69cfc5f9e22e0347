"""The API's description, made once in a process: anybody may ask for it, and it changes with the
code alone."""

from __future__ import annotations

from functools import cache
from typing import Any

from drf_spectacular.generators import SchemaGenerator


@cache
def schema_made() -> dict[str, Any]:
    """OpenAPI of every operation. Not to be changed."""
    made = SchemaGenerator()  # type: ignore[no-untyped-call]
    described: dict[str, Any] = made.get_schema(request=None, public=True)  # type: ignore[no-untyped-call]
    return described


class KeptGenerator(SchemaGenerator):
    """Gives the view what was made."""

    def get_schema(self, request: Any = None, public: bool = False) -> dict[str, Any]:
        return schema_made()
