"""The admin site: for the keepers of the whole site only."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib.admin import AdminSite
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext_lazy as _


class SuperuserSite(AdminSite):
    """An account marked as staff is not enough: this side sees every club."""

    site_title = site_header = _("Drawbag: the site keeper's side")

    def has_permission(self, request: HttpRequest) -> bool:
        return bool(request.user.is_active and request.user.is_superuser)

    def login(
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        """By the site's own page: a second form would be a second door, without its count."""
        if self.has_permission(request):
            return redirect("admin:index")
        onward = request.GET.get("next") or reverse("admin:index")
        return redirect_to_login(onward, login_url=reverse(settings.LOGIN_URL))
