"""Bearer tokens (RFC 6750): who a program is, and that it asks for no more than it may."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.utils.translation import gettext as _
from rest_framework import exceptions
from rest_framework.authentication import BaseAuthentication
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle

from matches.door_log import door_told
from matches.models import ApiToken, Person
from matches.reads.api_tokens import api_token_named
from matches.writes.api_tokens import api_token_used

from .scopes import NEVER, scopes_needed

if TYPE_CHECKING:  # the views read the settings, which name this file
    from rest_framework.views import APIView

REALM = 'Bearer realm="drawbag"'


class TokenRefused(exceptions.AuthenticationFailed):
    """A token that is good for nothing, whatever the reason (RFC 6750, 3.1: invalid_token)."""

    challenge = f'{REALM}, error="invalid_token"'


class ScopeMissing(exceptions.PermissionDenied):
    """A token that is good, but not for this (RFC 6750, 3.1: insufficient_scope)."""

    def __init__(self, needed: str) -> None:
        if needed == NEVER:
            super().__init__(_("No token may do this. Sign in and do it at the desk."))
            self.challenge = f'{REALM}, error="insufficient_scope"'
            return
        words = _("This token is not for that. Make one with the scope %(scope)s.")
        super().__init__(words % {"scope": needed})
        self.challenge = f'{REALM}, error="insufficient_scope", scope="{needed}"'


class TokenAuthentication(BaseAuthentication):
    """`Authorization: Bearer …`. Whoever sends it is asked by it alone: no cookie counts then, so
    that no forged form can use it, and none needs a CSRF token."""

    def authenticate(self, request: Request) -> tuple[Person, ApiToken] | None:
        """The person and the token; None without one. Raises TokenRefused and ScopeMissing."""
        kind, _space, secret = request.headers.get("Authorization", "").partition(" ")
        if kind.lower() != "bearer":
            return None
        token = api_token_named(secret.strip())
        if token is None:
            door_told("token refused")
            raise TokenRefused(_("This token is not good, or no longer. Make one at the desk."))
        matched = request._request.resolver_match
        needed = scopes_needed(matched.url_name if matched else None, method=request.method or "")
        if not set(needed.split()) <= set(token.scopes):
            door_told("token refused, not its scope", person=token.person_id)
            raise ScopeMissing(needed)
        api_token_used(token)
        return token.person, token

    def authenticate_header(self, request: Request) -> str:
        """What a 401 names as the way to sign in (RFC 9110, 11.6.1)."""
        return REALM


class TokenThrottle(SimpleRateThrottle):
    """So many calls a minute by one token. A person at a page is not counted."""

    scope = "token"

    def get_rate(self) -> str | None:
        rates: Any = settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]
        return str(rates["token"])

    def get_cache_key(self, request: Request, view: APIView) -> str | None:
        token = request.auth
        return f"throttle-token-{token.pk}" if isinstance(token, ApiToken) else None
