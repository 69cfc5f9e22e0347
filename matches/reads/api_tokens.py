"""Tokens of the API: whose they are, and which of them are good for anything."""

from __future__ import annotations

import hashlib
from hmac import compare_digest

from django.db.models import QuerySet
from django.utils import timezone

from matches.models import ApiToken, Person


def secret_digest(secret: str) -> str:
    """What is kept of a secret: SHA-256 is enough where 256 bits are random."""
    return hashlib.sha256(secret.encode()).hexdigest()


def api_tokens_of(person: Person) -> QuerySet[ApiToken]:
    """A person's own tokens, newest first, those that ended too."""
    return ApiToken.objects.filter(person_id=person.pk)


def api_tokens_good(person: Person) -> list[ApiToken]:
    """Those of them that a program can still use."""
    mark = person.get_session_auth_hash()
    standing = api_tokens_of(person).filter(revoked_at__isnull=True, expires_at__gt=timezone.now())
    return [token for token in standing if compare_digest(token.password_mark, mark)]


def api_token_named(secret: str) -> ApiToken | None:
    """The token of this text with its person. None alike for one that never was, that ended or was
    revoked, whose person changed the password since or may not sign in. One query."""
    token = (
        ApiToken.objects.filter(
            digest=secret_digest(secret),
            revoked_at__isnull=True,
            expires_at__gt=timezone.now(),
            person__is_active=True,
        )
        .select_related("person")
        .first()
    )
    if token is None:
        return None
    mark = token.person.get_session_auth_hash()
    return token if compare_digest(token.password_mark, mark) else None
