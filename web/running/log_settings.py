"""How lines of the log are written, and which."""

from __future__ import annotations

from typing import Any


def log_settings(*, form: str, level: str, debug: bool) -> dict[str, Any]:
    """Python's logging. `form`: "text" for people, "json" for machines; `level` of what is told."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {
            # What an exception says can be anybody's: in full only where one develops.
            "text": {"()": "logging.Formatter" if debug else "web.running.log_lines.TextLines"},
            "json": {"()": "web.running.log_lines.JsonLines"},
        },
        "filters": {"secrets": {"()": "web.log_secrets.SecretsHidden"}},
        "handlers": {
            "console": {
                "class": "logging.StreamHandler",
                "formatter": form,
                "filters": ["secrets"],
            }
        },
        "root": {"handlers": ["console"], "level": level},
        # Who went in and out, and who failed to, is told whatever the level of the rest.
        "loggers": {"drawbag.door": {"level": "INFO"}},
    }
