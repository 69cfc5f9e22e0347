"""A person's own phones: which are signed in, which may hand over facts; and where else one is."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.models import Person
from matches.problems import Problem
from matches.reads.device_keys import phones_seen
from matches.reads.sessions import session_mark, sessions_of
from matches.writes.device_keys import device_key_revoke
from matches.writes.passwords import session_end
from web.methods import shown_and_sent
from web.people import person_of
from web.sign_in import password_asked

from .form_act import refusal_say
from .form_numbers import number_or_none


@never_cache
@sensitive_post_parameters("own")
@login_required
@shown_and_sent
def phones(request: HttpRequest) -> HttpResponse:
    """The phones, signing one out from afar, and taking a lost one off the list."""
    person = person_of(request)
    if request.method == "POST":
        _act(request, person)
        return redirect("desk:phones")
    return render(request, "desk/phones.html", _listed(request, person))


def _act(request: HttpRequest, person: Person) -> None:
    """Raises Problem."""
    if request.POST.get("do") == "sign-out":
        _sign_out(request, person)
    else:
        device_key_revoke(person, key_id=number_or_none(request.POST.get("key", "")) or 0)
        messages.success(request, _("That phone hands over facts no more."))


def _sign_out(request: HttpRequest, person: Person) -> None:
    """Whoever found the desk open ends nothing. Raises Problem."""
    try:
        password_asked(person, request.POST.get("own", ""))
    except Problem as refused:
        refusal_say(request, refused)
        return
    session_end(person, mark=request.POST.get("session", ""))
    messages.success(
        request, _("That device is signed out. What it has not sent yet is still on it.")
    )


@dataclass(frozen=True, slots=True)
class Signed:
    """One session as the page shows it; `here` is the one that looks."""

    mark: str
    agent: str
    since: dt.datetime | None
    here: bool


def _listed(request: HttpRequest, person: Person) -> dict[str, Any]:
    """Each phone with its sessions, and those of no phone that is known."""
    by_phone: dict[UUID | None, list[Signed]] = defaultdict(list)
    for one in sessions_of(person):
        here = one.session_key == request.session.session_key
        by_phone[one.device].append(Signed(session_mark(one), one.agent, one.since, here))
    phones = [(phone, by_phone.pop(phone.pk, [])) for phone in phones_seen(person)]
    return {"phones": phones, "others": [one for rest in by_phone.values() for one in rest]}
