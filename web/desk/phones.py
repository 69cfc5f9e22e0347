"""A person's own phones: which have signed in, and which may hand over facts."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from matches.reads.device_keys import phones_seen
from matches.writes.device_keys import device_key_revoke
from web.people import person_of

from .form_numbers import number_or_none


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def phones(request: HttpRequest) -> HttpResponse:
    """The phones, and taking a lost one off the list."""
    person = person_of(request)
    if request.method == "POST":
        device_key_revoke(person, key_id=number_or_none(request.POST.get("key", "")) or 0)
        messages.success(request, _("That phone hands over facts no more."))
        return redirect("desk:phones")
    return render(
        request, "desk/phones.html", {"room": "desk", "phones": list(phones_seen(person))}
    )
