"""What went past a threshold in the last quarter of an hour: a line of the log, and a letter to the
keepers where mail is set up. What is counted here anybody may do a few times."""

from __future__ import annotations

import datetime as dt
import logging
from typing import Final

from django.conf import settings
from django.core.mail import send_mail
from django.db.models import Sum
from django.utils.translation import gettext as _

from matches.models import Attempts, AuditEntry, Person, RecoveryCode, RefusedFact

log = logging.getLogger("drawbag.alert")

EVERY: Final = dt.timedelta(minutes=15)
#: By what is counted: how many in a quarter of an hour are still nothing to tell of.
MOST: Final = {
    "tries at the door": 60,
    "facts refused": 200,
    "clubs taken out whole": 3,
    "recovery codes made": 10,
}


def alerts_look(*, now: dt.datetime) -> dict[str, int]:
    """Tell of each count that is past its threshold; gives those. Numbers only: no name, no
    address. Tries are counted as the door counts them, so those of a name that waits go on from
    before."""
    found = {what: n for what, n in _counts(now - EVERY).items() if n > MOST[what]}
    for what, n in found.items():
        log.error("%s in a quarter of an hour: %d, more than %d", what, n, MOST[what])
    if found and settings.EMAIL_URL:
        _letter(found)
    return found


def _counts(since: dt.datetime) -> dict[str, int]:
    tries = Attempts.objects.filter(last_at__gte=since).aggregate(n=Sum("failures"))["n"]
    exports = AuditEntry.objects.filter(verb="club_export", at__gte=since)
    return {
        "tries at the door": tries or 0,
        "facts refused": RefusedFact.objects.filter(received_at__gte=since).count(),
        "clubs taken out whole": exports.count(),
        "recovery codes made": RecoveryCode.objects.filter(made_at__gte=since).count(),
    }


def _letter(found: dict[str, int]) -> None:
    keepers = Person.objects.filter(is_superuser=True, is_active=True).exclude(email="")
    lines = [f"{what}: {n} ({MOST[what]})" for what, n in found.items()]
    words = _(
        "In the last quarter of an hour, more than usual (in brackets what is usual at most):"
    )
    subject = _("Something unusual at %(site)s") % {"site": settings.SITE_URL}
    for address in keepers.values_list("email", flat=True):
        send_mail(subject, "\n".join([words, "", *lines]), None, [address])
