"""The person behind a request, typed."""

from __future__ import annotations

from typing import cast

from django.http import HttpRequest
from rest_framework.request import Request

from matches.models import Person


def person_of(request: HttpRequest | Request) -> Person:
    """Who is signed in; the anonymous user passes through and has no memberships."""
    return cast(Person, request.user)
