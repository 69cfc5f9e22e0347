"""How one signs in, for the API's description."""

from __future__ import annotations

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension

from .tokens import TokenAuthentication


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """The API's description of it."""

    target_class = TokenAuthentication
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, Any]:
        return {
            "type": "http",
            "scheme": "bearer",
            "description": "A token from the desk, for the scopes that the operation names.",
        }
