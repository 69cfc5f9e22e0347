"""The rooms' front: the admin site for superusers, and the checks of the set-up."""

from django.apps import AppConfig
from django.contrib.admin.apps import AdminConfig


class WebConfig(AppConfig):
    name = "web"

    def ready(self) -> None:
        from django.db.backends.signals import connection_created

        from . import checks  # noqa: F401  (importing registers them)
        from .running import door_watched, tasks_watched  # noqa: F401  (so it does with signals)
        from .running.database_errors import errors_watch

        connection_created.connect(errors_watch)


class KeeperAdminConfig(AdminConfig):
    default_site = "matches.admin_site.SuperuserSite"
