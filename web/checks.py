"""Django system checks for slips of the set-up that would only show later, to somebody else."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register
from django.utils.translation import gettext as _

LOCAL = frozenset({"localhost", "127.0.0.1", "::1"})
TLS_MODES = frozenset({"require", "verify-ca", "verify-full"})
TLS_SCHEMES = frozenset({"rediss", "amqps"})


@register()
def address_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """Phones keep an app offline only over https or on localhost."""
    site = urlsplit(settings.SITE_URL)
    found: list[CheckMessage] = []
    if site.path or site.query:
        found.append(
            Error(
                _("SITE_URL has a path: %(url)s") % {"url": settings.SITE_URL},
                hint=_("Give scheme and host only, such as https://club.example."),
                id="drawbag.E001",
            )
        )
    if site.scheme != "https" and site.hostname not in LOCAL:
        found.append(
            Warning(
                _("SITE_URL is plain http: phones will not keep the app offline."),
                hint=_("Put a proxy with a certificate in front and set SITE_URL to https://…"),
                id="drawbag.W001",
            )
        )
    return found


@register()
def lease_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """A worker must be stopped before its lease ends, or two would hold one row."""
    if settings.WORK_LEASE_SECONDS > settings.CELERY_TASK_TIME_LIMIT:
        return []
    return [
        Error(
            _("WORK_LEASE_SECONDS must be above %(seconds)d.")
            % {"seconds": settings.CELERY_TASK_TIME_LIMIT},
            hint=_("Leave it out for 60."),
            id="drawbag.E002",
        )
    ]


@register()
def contact_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """What security.txt names as a contact must be an address (RFC 9116, section 2.5.3)."""
    wrong = [
        contact
        for contact in settings.SECURITY_CONTACTS
        if not contact.startswith(("mailto:", "https://", "tel:"))
    ]
    return [
        Error(
            _("SECURITY_CONTACT is no address: %(contact)s") % {"contact": contact},
            hint=_("Write mailto:, https:// or tel: in front, and blanks between several."),
            id="drawbag.E010",
        )
        for contact in wrong
    ]


@register()
def debug_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """DEBUG shows settings and code to anyone who meets an error."""
    if settings.DEBUG and urlsplit(settings.SITE_URL).hostname not in LOCAL:
        return [
            Error(
                _("DEBUG is on for a public address."),
                hint=_("Leave DEBUG unset."),
                id="drawbag.E003",
            )
        ]
    return []


@register()
def webhooks_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """With WEBHOOKS_LOCAL a secretary could have messages sent to machines within."""
    if settings.WEBHOOKS_LOCAL and urlsplit(settings.SITE_URL).hostname not in LOCAL:
        return [
            Error(
                _("WEBHOOKS_LOCAL is on for a public address."),
                hint=_("Leave WEBHOOKS_LOCAL unset: it is to try things out on one machine."),
                id="drawbag.E011",
            )
        ]
    return []


@register()
def lines_check(app_configs: Sequence[Any] | None, **options: Any) -> list[CheckMessage]:
    """What goes to a database or a broker on another machine can be read on the way, but over
    TLS."""
    database = settings.DATABASES["default"]
    host = str(database.get("HOST") or "")
    mode = database.get("OPTIONS", {}).get("sslmode", "")
    plain = ["DATABASE_URL"] if _is_elsewhere(host) and mode not in TLS_MODES else []
    for name, url in (
        ("BROKER_URL", settings.CELERY_BROKER_URL),
        ("CACHE_URL", settings.CACHE_URL),
    ):
        told = urlsplit(url)
        if _is_elsewhere(told.hostname or "") and told.scheme not in TLS_SCHEMES:
            plain.append(name)
    return [
        Warning(
            _("%(name)s leads to another machine without TLS.") % {"name": name},
            hint=_("Add ?sslmode=verify-full, or write rediss:// or amqps://."),
            id="drawbag.W002",
        )
        for name in plain
    ]


def _is_elsewhere(host: str) -> bool:
    """A path is a socket of this machine."""
    return bool(host) and host not in LOCAL and not host.startswith("/")
