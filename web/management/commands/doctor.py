"""What is wrong with this set-up, a line each, and what to do about it."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from time import time
from typing import Any

from django.conf import settings
from django.core.checks import WARNING, run_checks
from django.core.management.base import BaseCommand
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from kombu.connection import Connection
from kombu.exceptions import KombuError

from bait.reads.larder import lots_astray
from matches.models import Person, WorkRequest, WorkState
from matches.reads.second_factor import keepers_without
from web.bank.packing import build_now
from web.copies import copies_in

UNDONE_SECONDS = 60
COPY_LATE_SECONDS = 2 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: `mend` says what to do, and is empty where all is well."""

    subject: str
    state: str
    mend: str = ""
    grave: bool = True


class Command(BaseCommand):
    help = "Say in a line each what is wrong with this set-up and what to do."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        grave = False
        for finding in findings():
            mark = "ok   " if not finding.mend else "WRONG" if finding.grave else "look "
            line = f"{mark} {finding.subject}: {finding.state}"
            self.stdout.write(f"{line} → {finding.mend}" if finding.mend else line)
            grave = grave or bool(finding.mend and finding.grave)
        if grave:
            sys.exit(1)


def findings() -> Iterator[Finding]:
    """Everything the doctor looks at, the ground first."""
    yield _address()
    yield _folder()
    yield from _checks()
    database = _database()
    yield database
    if not database.mend:
        migrations = _migrations()
        yield migrations
        if not migrations.mend:
            yield _keeper()
            yield _work()
            yield _larder()
    yield _broker()
    yield _bank_app()
    yield _copies()


def _address() -> Finding:
    return Finding(_("Address"), settings.SITE_URL)


def _folder() -> Finding:
    where = Path(settings.VAR_DIR)
    try:
        with tempfile.NamedTemporaryFile(dir=where):
            pass
    except OSError as error:
        return Finding(
            _("Folder"), str(error), _("Let this user write there, or set VAR_DIR to another.")
        )
    return Finding(_("Folder"), str(where))


def _checks() -> Iterator[Finding]:
    found = [message for message in run_checks() if message.level >= WARNING]
    for message in found:
        yield Finding(
            _("Setting"),
            str(message.msg),
            str(message.hint or message.id),
            grave=message.is_serious(),
        )
    if not found:
        yield Finding(_("Settings"), _("nothing to say"))


def _database() -> Finding:
    name = connection.settings_dict["NAME"]
    try:
        connection.ensure_connection()
    except DatabaseError as error:
        return Finding(
            _("Database"),
            str(error).strip().splitlines()[0],
            _("Start the database, or mend DATABASE_URL."),
        )
    return Finding(_("Database"), f"{connection.vendor} {name}")


def _migrations() -> Finding:
    executor = MigrationExecutor(connection)
    missing = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if missing:
        return Finding(
            _("Tables"),
            _("%(n)d migrations are not applied") % {"n": len(missing)},
            _("Run: manage.py migrate"),
        )
    return Finding(_("Tables"), _("as the code wants them"))


def _keeper() -> Finding:
    if settings.KEEPERS_SECOND_FACTOR and keepers_without().exists():
        return Finding(
            _("Site keeper"),
            _("one signs in with a password alone, which does not open /admin/"),
            _("Sign in as them and turn codes on, at /desk/account/codes/"),
            grave=False,
        )
    if Person.objects.filter(is_superuser=True, is_active=True).exists():
        return Finding(_("Site keeper"), _("there is one"))
    return Finding(
        _("Site keeper"),
        _("nobody can make the first club"),
        _("Run: manage.py createsuperuser"),
        grave=False,
    )


def _work() -> Finding:
    since = timezone.now() - timedelta(seconds=UNDONE_SECONDS)
    late = WorkRequest.objects.filter(state=WorkState.WAITING, asked_at__lt=since).count()
    if late:
        return Finding(
            _("Work"),
            _("%(n)d waiting for more than a minute") % {"n": late},
            _("Start a worker (celery -A web worker) and beat (celery -A web beat)."),
        )
    return Finding(_("Work"), _("nothing waits for a worker"))


def _larder() -> Finding:
    astray = lots_astray()
    if astray:
        return Finding(
            _("Larder"),
            ngettext(
                "%(n)d lot does not hold the sum of its moves",
                "%(n)d lots do not hold the sum of their moves",
                len(astray),
            )
            % {"n": len(astray)},
            _("Have its captain count again what is there. Lots: %(ids)s")
            % {"ids": ", ".join(str(pk) for pk in astray[:20])},
        )
    return Finding(_("Larder"), _("every lot holds the sum of its moves"))


def _broker() -> Finding:
    url = settings.CELERY_BROKER_URL
    try:
        with Connection(  # type: ignore[no-untyped-call]
            url, connect_timeout=2, transport_options=settings.CELERY_BROKER_TRANSPORT_OPTIONS
        ) as broker:
            broker.ensure_connection(max_retries=1, timeout=3)
            shown = broker.as_uri() if "@" in url else url
    except (KombuError, OSError) as error:
        return Finding(
            _("Broker"),
            str(error),
            _("Start it, or mend BROKER_URL. Until then beat brings the work, seconds later."),
        )
    return Finding(_("Broker"), shown)


def _bank_app() -> Finding:
    worker = Path(settings.PWA_SERVICE_WORKER_PATH)
    build = build_now()
    if not worker.exists() or build not in worker.read_text():
        return Finding(
            _("Bank app"), _("its worker is not of this version"), _("Run: manage.py bank_build")
        )
    return Finding(_("Bank app"), _("build %(build)s") % {"build": build})


def _copies() -> Finding:
    subject = _("Copies")
    if not settings.COPIES_DIR:
        return Finding(
            subject,
            _("none is made at night"),
            _("Set COPIES_DIR to a folder on another disk, or run manage.py backup yourself."),
            grave=False,
        )
    ours = copies_in(Path(settings.COPIES_DIR))
    if not ours or ours[-1].stat().st_mtime < time() - COPY_LATE_SECONDS:
        return Finding(
            subject,
            _("the newest is older than two days") if ours else _("none is there yet"),
            _("See what the worker says of web.tasks.nightly_copy, or run: manage.py backup %s")
            % settings.COPIES_DIR,
            grave=bool(ours),
        )
    return Finding(subject, ours[-1].name)
