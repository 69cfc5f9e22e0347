"""Codes besides the password: turned on with an app's first code, turned off with one."""

from __future__ import annotations

from typing import Any

import segno
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.models import Person
from matches.problems import Code, Problem
from matches.reads.second_factor import second_begun, second_of
from matches.second_codes import address_for_app, secret_open
from matches.sessions import SECOND
from matches.writes.second_factor import second_begin, second_confirm, second_off
from web.methods import shown_and_sent
from web.people import person_of
from web.sign_in import password_asked

from .form_act import refusal_say

IN_FOURS = 4


@never_cache
@sensitive_post_parameters()
@login_required
@shown_and_sent
def second_factor(request: HttpRequest) -> HttpResponse:
    """The spare codes are on the answer that turned it on, and on no other."""
    if request.method != "POST":
        return _page(request)
    try:
        spares = _act(request, person_of(request))
    except Problem as refused:
        refusal_say(request, refused)
        return redirect("desk:second-factor")
    return _page(request, spares=spares) if spares else redirect("desk:second-factor")


def _act(request: HttpRequest, person: Person) -> list[str]:
    """Do what was pressed; the spare codes where there are new ones. Raises Problem."""
    own, code = request.POST.get("own", ""), request.POST.get("code", "")
    match request.POST.get("do", ""):
        case "begin":
            password_asked(person, own)
            second_begin(person)
            return []
        case "confirm":
            spares = second_confirm(person, code=code)
            request.session[SECOND] = True
            return spares
        case "off":
            password_asked(person, own)
            second_off(person, code=code)
            messages.success(request, _("Codes are off: the password alone lets you in."))
            return []
        case _:
            raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))


def _page(request: HttpRequest, *, spares: list[str] | None = None) -> HttpResponse:
    person = person_of(request)
    shown = {"second": second_of(person), "spares": spares, **_begun(request)}
    return render(request, "desk/second_factor.html", shown)


def _begun(request: HttpRequest) -> dict[str, Any]:
    """The secret that waits for a first code, as a picture and to be typed."""
    person = person_of(request)
    begun = second_begun(person)
    secret = secret_open(begun.secret) if begun else None
    if secret is None:
        return {}
    address = address_for_app(secret, name=person.username, site=request.get_host())
    picture = segno.make(address, error="m", micro=False)
    parts = [secret[at : at + IN_FOURS] for at in range(0, len(secret), IN_FOURS)]
    return {
        "picture": picture.svg_data_uri(scale=5, border=4, light="#fff"),
        "secret": " ".join(parts),
        "address": address,
    }
