"""The Celery application: it wakes workers; the rows of work are in the database."""

import os
from typing import Any

from celery import Celery
from celery.signals import import_modules, worker_ready
from kombu.transport import TRANSPORT_ALIASES

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
# Under its usual address, so that BROKER_URL stays one everybody knows.
TRANSPORT_ALIASES["filesystem"] = "web.whole_files:Transport"


@import_modules.connect  # type: ignore[untyped-decorator]
def meters_place(**_kwargs: Any) -> None:
    """Before Django is set up, for which the application below connects itself to the same."""
    from django.conf import settings

    from web.running.meters_shared import meters_share

    meters_share(settings.VAR_DIR)


app = Celery("drawbag")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["bait", "web"])
# Threads that serve requests must find this application too, not Celery's empty one.
app.set_default()


@worker_ready.connect  # type: ignore[untyped-decorator]
def sweep_at_start(sender: Any, **_kwargs: Any) -> None:
    """A worker that starts first looks for what was asked while none was there."""
    sender.app.send_task("bait.tasks.work_sweep")
