"""The admin site: for the keepers of the whole site only."""

from __future__ import annotations

from django.contrib.admin import AdminSite
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _


class SuperuserSite(AdminSite):
    """An account marked as staff is not enough: this side sees every club."""

    site_title = site_header = _("Drawbag: the site keeper's side")

    def has_permission(self, request: HttpRequest) -> bool:
        return bool(request.user.is_active and request.user.is_superuser)
