"""The light of the screen: day, sun or night, chosen with or without JavaScript.

What this device chose comes first, then what was last chosen on the account, then what the device
itself asks for. `web/static/js/look.js` keeps the same choice for the phone app.
"""

from __future__ import annotations

from typing import Final

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.functional import SimpleLazyObject
from django.utils.http import url_has_allowed_host_and_scheme

from matches.models import Light
from matches.writes.lights import light_checked, light_choose
from web.methods import shown_and_sent
from web.people import person_of

COOKIE: Final = "light"
YEAR_SECONDS: Final = 365 * 24 * 3600


def light_of(request: HttpRequest) -> str:
    """What the page is drawn in; "" where nobody chose."""
    here = request.COOKIES.get(COOKIE, "")
    if here in Light.values:
        return here
    return person_of(request).light if request.user.is_authenticated else ""


def light_shown(request: HttpRequest) -> dict[str, object]:
    """For templates: `light`, read only where a page asks for it."""
    return {"light": SimpleLazyObject(lambda: light_of(request))}


@shown_and_sent
def light(request: HttpRequest) -> HttpResponse:
    """Choose one, and go back to the page one came from. Raises Problem BAD_INPUT."""
    if request.method != "POST":
        came_from = {"came_from": _inside(request, request.GET.get("from", ""))}
        return render(request, "light.html", {"lights": Light.choices, **came_from})
    chosen = light_checked(request.POST.get("light", ""))
    if request.user.is_authenticated:
        light_choose(person_of(request), light=chosen)
    response = redirect(_inside(request, request.POST.get("from", "")))
    if chosen:
        response.set_cookie(
            COOKIE,
            chosen,
            max_age=YEAR_SECONDS,
            secure=settings.SESSION_COOKIE_SECURE,
            samesite="Lax",
        )
    else:
        response.delete_cookie(COOKIE, samesite="Lax")
    return response


def _inside(request: HttpRequest, address: str) -> str:
    """The address, where it is one of this site; else the front door."""
    own = address.startswith("/") and url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return address if own else "/"
