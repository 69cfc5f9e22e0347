"""The second step of signing in: a code of the person's app, or a spare one."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.models import Person
from matches.problems import MustWait, Problem
from matches.reads.second_factor import second_of
from matches.sessions import SECOND
from matches.writes.second_factor import second_try
from web.methods import shown_and_sent

from .people import person_of
from .sign_in import PENDING, address_of, session_begin
from .waiting import told_to_wait


class CodeForm(forms.Form):
    code = forms.CharField(label=gettext_lazy("Code"), max_length=40)


@never_cache
@sensitive_post_parameters()
@shown_and_sent
def second_step(request: HttpRequest) -> HttpResponse:
    """For whose password fitted just now, and for who is in where more than that is asked."""
    pending = request.session.get(PENDING)
    person = _who(request, pending)
    if person is None:
        return redirect("desk:second-factor" if request.user.is_authenticated else "sign-in")
    if request.method != "POST":
        return _page(request)
    form = CodeForm(request.POST)
    if not form.is_valid():
        return _page(request, fault=str(form.errors["code"][0]))
    try:
        second_try(person, code=form.cleaned_data["code"], place=address_of(request))
    except MustWait as wait:
        return told_to_wait(_page(request, fault=wait.detail), wait)
    except Problem as refused:
        return _page(request, fault=refused.detail)
    return _on(request, person, pending)


def _who(request: HttpRequest, pending: dict[str, Any] | None) -> Person | None:
    """Whose code is asked for; nobody's after ten minutes, or once the password is another."""
    if not pending:
        person = person_of(request)
        return person if person.is_authenticated and second_of(person) else None
    if dt.datetime.fromisoformat(pending["ends"]) < timezone.now():
        return None
    found = Person.objects.filter(pk=pending["person"], is_active=True).first()
    if found is None or not constant_time_compare(found.get_session_auth_hash(), pending["mark"]):
        return None
    return found


def _on(request: HttpRequest, person: Person, pending: dict[str, Any] | None) -> HttpResponse:
    if not pending:
        request.session.cycle_key()
        request.session[SECOND] = True
        return redirect(_onward(request))
    request.session.flush()
    session_begin(request, person)
    request.session[SECOND] = True
    if pending["said"]:
        messages.success(request, pending["said"])
    return redirect(pending["onward"])


def _onward(request: HttpRequest) -> str:
    """An address of ours, or the desk."""
    given = request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(
        given, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return given if ours else resolve_url("desk:home")


def _page(request: HttpRequest, *, fault: str = "") -> HttpResponse:
    return render(request, "second_step.html", {"fault": fault})
