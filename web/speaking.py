"""In which language somebody is spoken to.

A visitor's choice is a cookie, else the browser's own wish counts. At the desk, and wherever words
are made for a person without a request of theirs, what the person chose counts before both; the
browser then keeps it for the other pages.
"""

from __future__ import annotations

from contextlib import AbstractContextManager

from django.conf import settings
from django.db import OperationalError
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import translation

from matches.models import Person
from web.people import person_of

from .middleware import Handler


class SpeakingMiddleware:
    """After the one that knows who is signed in. Only the desk asks for that: a page that everybody
    may keep must not depend on a session."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        chosen = _chosen(request)
        if not chosen:
            return self.get_response(request)
        translation.activate(chosen)
        request.LANGUAGE_CODE = chosen
        response = self.get_response(request)
        if request.COOKIES.get(settings.LANGUAGE_COOKIE_NAME) != chosen:
            language_keep(response, chosen)
        return response


def _chosen(request: HttpRequest) -> str:
    """Where no session can be read the view says so."""
    if not request.path.startswith("/desk/"):
        return ""
    try:
        return person_of(request).language if request.user.is_authenticated else ""
    except OperationalError:
        return ""


def spoken_to(person: Person) -> AbstractContextManager[None]:
    """Words made inside are in the person's language, the site's own where none is chosen."""
    return translation.override(person.language or settings.LANGUAGE_CODE)


def language_keep(response: HttpResponseBase, language: str) -> None:
    """The browser holds the choice for a year; "" forgets it."""
    if not language:
        response.delete_cookie(settings.LANGUAGE_COOKIE_NAME, samesite="Lax")
        return
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        language,
        max_age=settings.LANGUAGE_COOKIE_AGE,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )
