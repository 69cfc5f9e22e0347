"""Signing in: the one door, for the desk, the phones and the site keeper's side."""

from __future__ import annotations

import datetime as dt
from ipaddress import IPv6Address, ip_address, ip_network
from typing import Any, Final

from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.throttling import BaseThrottle

from matches import sessions
from matches.door_log import door_told
from matches.models import Person
from matches.problems import MustWait, bad_field
from matches.reads.second_factor import second_of
from matches.writes.attempts import Door, Tally, attempt_begin, attempt_fitted, name_folded

from .waiting import told_to_wait

#: In a session that nobody is signed in to yet: who may go on to the second step, and where to.
PENDING: Final = "second_step"
PENDING_LASTS: Final = dt.timedelta(minutes=10)


def address_of(request: HttpRequest) -> str:
    """Where a request comes from, as it is counted; "" where that is not known.

    The address our own proxy saw, or the connection's own (NUM_PROXIES). Of an IPv6 address the
    first 64 bits, the rest is its holder's to choose (RFC 4291, section 2.5.4).
    """
    seen = BaseThrottle().get_ident(request) or ""  # type: ignore[arg-type]
    try:
        address = ip_address(seen.strip("[]"))
    except ValueError:
        return seen
    if isinstance(address, IPv6Address):
        return str(address.ipv4_mapped or ip_network(f"{address}/64", strict=False))
    return str(address)


def session_begin(request: HttpRequest, person: Person) -> None:
    """Sign in, with what the list of the person's devices says of this one.

    Whether it is a phone is read from the browser's own name for itself, where all that are write
    "Mobi" (a convention of browsers' makers, from memory).
    """
    login(request, person)
    told = request.headers.get("User-Agent", "")
    request.session[sessions.AGENT] = "phone" if "Mobi" in told else "desk"
    request.session[sessions.SINCE] = timezone.now().isoformat()


def way_in(request: HttpRequest, person: Person, *, onward: str, said: str = "") -> HttpResponse:
    """Where to go for whose password fitted, or was replaced: in, or to the second step where they
    have one. `onward`: an address of ours; `said`: what they are told once they are in."""
    if second_of(person) is None:
        session_begin(request, person)
        if said:
            messages.success(request, said)
        return redirect(onward)
    if request.user.is_authenticated:
        logout(request)
    request.session.cycle_key()
    request.session.set_expiry(PENDING_LASTS)
    request.session[PENDING] = {
        "person": person.pk,
        "mark": person.get_session_auth_hash(),
        "ends": (timezone.now() + PENDING_LASTS).isoformat(),
        "onward": onward,
        "said": said,
    }
    door_told("password fits, a code is asked for", person=person.pk)
    return redirect("second-step")


def password_asked(person: Person, password: str) -> None:
    """Ask who is signed in for the password once more, before what a finder of an open desk must
    not do. Raises Problem BAD_INPUT at `/own`, MustWait."""
    tally = Tally(Door.AGAIN, str(person.pk))
    attempt_begin(tally)
    if not person.check_password(password):
        door_told("password asked once more, failed", person=person.pk)
        raise bad_field("/own", _("That is not the password you sign in with."))
    attempt_fitted(forget=tally)


class SignInForm(AuthenticationForm):
    """Django's own, with every try counted before it is made."""

    def clean(self) -> dict[str, Any]:
        """Raises MustWait, a Problem: no fault of the form."""
        name = self.cleaned_data.get("username")
        if not name or not self.cleaned_data.get("password") or self.request is None:
            return super().clean()
        account = Tally(Door.ACCOUNT, name_folded(name))
        address = address_of(self.request)
        place = Tally(Door.ADDRESS, address) if address else None
        attempt_begin(account, *([place] if place else []))
        cleaned = super().clean()
        attempt_fitted(forget=account, give_back=place)
        return cleaned


class SignInView(LoginView):
    """Who tried too often is told how long to wait, on the same page."""

    form_class = SignInForm
    template_name = "sign_in.html"

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        return way_in(self.request, form.get_user(), onward=self.get_success_url())

    def post(self, request: HttpRequest, *args: str, **kwargs: Any) -> HttpResponse:
        try:
            return super().post(request, *args, **kwargs)
        except MustWait as wait:
            form = SignInForm(request, initial={"username": request.POST.get("username", "")})
            context = self.get_context_data(form=form, wait=wait.detail)
            return told_to_wait(self.render_to_response(context), wait)
