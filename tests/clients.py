"""Browsers without a screen in which somebody is signed in."""

from __future__ import annotations

from typing import Any

from django.test import Client


def signed_in(person: Any, **made: Any) -> Client:
    """The person's browser; `made` goes to Django's test client."""
    client = Client(HTTP_HOST="localhost", **made)
    client.force_login(person)
    return client


def served(person: Any) -> Client:
    """As above, but what breaks inside answers 500, as a server would, and fails no test itself."""
    return signed_in(person, raise_request_exception=False)


def read(client: Client, address: str) -> str:
    """The page at the address, which is there."""
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def read_any(client: Client, address: str) -> tuple[int, str]:
    """The status, and the page that comes with it."""
    answer = client.get(address)
    return answer.status_code, answer.content.decode()
