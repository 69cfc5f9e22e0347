"""The Celery application: it wakes workers; the rows of work are in the database."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
app = Celery("drawbag")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["bait"])
