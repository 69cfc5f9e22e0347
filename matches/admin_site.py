"""The admin site: for the keepers of the whole site only, who sign in with a second factor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from django.conf import settings
from django.contrib.admin import AdminSite
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext_lazy as _

from .sessions import SECOND

if TYPE_CHECKING:
    from .models import Person, SecondFactor


class SuperuserSite(AdminSite):
    """An account marked as staff is not enough: this side sees every club."""

    site_title = site_header = _("Drawbag: the site keeper's side")

    def has_permission(self, request: HttpRequest) -> bool:
        return _keeps(request) and _second_given(request)

    def login(
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        """By the site's own page: a second form would be a second door, without its count."""
        if self.has_permission(request):
            return redirect("admin:index")
        onward = request.GET.get("next") or reverse("admin:index")
        if _keeps(request):
            return _second_asked(request, onward)
        return redirect_to_login(onward, login_url=reverse(settings.LOGIN_URL))


def _second(request: HttpRequest) -> SecondFactor | None:
    from .reads.second_factor import second_of  # models are not there yet as this file is read

    return second_of(cast("Person", request.user))


def _keeps(request: HttpRequest) -> bool:
    return bool(request.user.is_active and request.user.is_superuser)


def _second_given(request: HttpRequest) -> bool:
    """Whether the account has a second factor and this session gave it; none is asked for where
    one tries the site out."""
    if not settings.KEEPERS_SECOND_FACTOR:
        return True
    return bool(request.session.get(SECOND)) and _second(request) is not None


def _second_asked(request: HttpRequest, onward: str) -> HttpResponse:
    if _second(request) is None:
        return render(request, "keeper_second.html", {"room": "desk"}, status=403)
    return redirect(f"{reverse('second-step')}?{urlencode({'next': onward})}")
