"""The site as gunicorn runs it."""

import os

from django.conf import settings
from django.core.wsgi import get_wsgi_application

from web.running.meters_shared import meters_share

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
meters_share(settings.VAR_DIR)
application = get_wsgi_application()
