"""A person's own calendar: the feed under its secret address, and the page that makes one."""

from __future__ import annotations

import hashlib

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from bait.reads.own_calendar import own_order_events
from matches.models import Match
from matches.reads.own_calendar import (
    calendar_link_of,
    own_entries,
    own_match_events,
    person_of_calendar,
)
from matches.reads.season_calendar import ASK_AGAIN_H
from matches.reckon.calendars import calendar_text
from matches.writes.calendar_links import calendar_link_end, calendar_link_make
from web.methods import shown_and_sent
from web.people import person_of
from web.speaking import spoken_to


@require_safe
def feed(request: HttpRequest, secret: str) -> HttpResponseBase:
    """What the person fishes and by when their team orders (RFC 5545). Whoever has the address
    reads it: it names nobody."""
    person = person_of_calendar(secret)
    entries = own_entries(person)
    with spoken_to(person):
        events = own_match_events(entries, address=_address) + own_order_events(entries)
        text = calendar_text(
            events, product="My matches", name=_("My matches"), ask_again_h=ASK_AGAIN_H
        )
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'inline; filename="my-matches.ics"'
    response["Cache-Control"] = "private, no-cache"
    response["ETag"] = f'"{hashlib.sha256(text.encode()).hexdigest()}"'
    return get_conditional_response(request, etag=response["ETag"], response=response) or response


@never_cache
@login_required
@shown_and_sent
def page(request: HttpRequest) -> HttpResponse:
    """The address: made and shown once, or ended."""
    person = person_of(request)
    if request.method == "POST" and request.POST.get("do") == "end":
        calendar_link_end(person)
        messages.success(request, _("The address is dead. Take it out of your calendar too."))
        return redirect("desk:calendar")
    address = ""
    if request.method == "POST":
        secret = calendar_link_make(person)
        address = settings.SITE_URL + reverse("own-calendar", args=[secret])
    return render(
        request,
        "desk/calendar.html",
        {"link": calendar_link_of(person), "address": address},
    )


def _address(match: Match) -> str:
    """One's own page of a match, for who is signed in."""
    return settings.SITE_URL + reverse("desk:match", args=[match.pk])
