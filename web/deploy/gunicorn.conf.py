"""How gunicorn serves the site: `gunicorn -c web/deploy/gunicorn.conf.py web.wsgi`.

Where to listen and how many processes are for the machine to say: GUNICORN_CMD_ARGS (such as
"--bind 127.0.0.1:8000") and WEB_CONCURRENCY, both of gunicorn itself.
"""

import os
from typing import Any

import gunicorn.http.wsgi

# What answers is told to nobody: gunicorn writes a name into each answer and has no setting for it.
gunicorn.http.wsgi.SERVER = "drawbag"
# Nobody steers it but systemd or the container, and two of one account would share the socket.
control_socket_disable = True
threads = 4
# Above the 20 s that a statement may wait for SQLite's lock.
timeout = 30
graceful_timeout = 30
# Longer than a proxy keeps a connection for the next request, as most do for 60 s.
keepalive = 75

if os.environ.get("LOG_FORMAT") == "json":
    logconfig_dict = {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"lines": {"()": "web.running.log_lines.JsonLines"}},
        "handlers": {"lines": {"class": "logging.StreamHandler", "formatter": "lines"}},
        "root": {"handlers": ["lines"], "level": os.environ.get("LOG_LEVEL", "WARNING")},
        "loggers": {
            "gunicorn.error": {"handlers": ["lines"], "level": "INFO", "propagate": False},
            "gunicorn.access": {"handlers": [], "level": "CRITICAL", "propagate": False},
        },
    }


def on_starting(server: Any) -> None:
    """Numbers of processes that run no more are dropped before new ones count."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
    from django.conf import settings

    from web.running.meters_shared import meters_share, meters_tidy

    meters_tidy(meters_share(settings.VAR_DIR))
