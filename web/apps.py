"""The rooms' front: the admin site for superusers, and the checks of the set-up."""

from django.apps import AppConfig
from django.contrib.admin.apps import AdminConfig


class WebConfig(AppConfig):
    name = "web"

    def ready(self) -> None:
        from . import checks  # noqa: F401  (importing registers them)


class KeeperAdminConfig(AdminConfig):
    default_site = "matches.admin_site.SuperuserSite"
