"""Put a copy back."""

from __future__ import annotations

from pathlib import Path
from time import monotonic
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils.translation import gettext as _

from web.copies import CopyFault, copy_put_back


class Command(BaseCommand):
    help = (
        "Put a copy back into the database in use, which may be empty or not there yet. Phones "
        "then send again what the copy lacks."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="A file that `manage.py backup` wrote.")
        parser.add_argument(
            "--replace",
            action="store_true",
            help="Also over a database that holds rows, of which a copy is made first.",
        )
        parser.add_argument(
            "--before",
            type=Path,
            default=Path(settings.VAR_DIR) / "copies",
            help="The folder for that copy (default: copies in VAR_DIR).",
        )

    def handle(self, *args: Any, file: Path, replace: bool, before: Path, **options: Any) -> None:
        begun = monotonic()
        try:
            put = copy_put_back(file, replace=replace, before=before)
        except CopyFault as fault:
            raise CommandError(str(fault)) from None
        if put.before:
            self.stdout.write(_("What was there: %s") % put.before.file)
        self.stdout.write(
            _("Put back as of %(at)s: %(rows)d rows, in %(seconds).1f s.")
            % {
                "at": put.manifest.taken_at,
                "rows": sum(put.manifest.rows.values()),
                "seconds": monotonic() - begun,
            }
        )
        self.stdout.write(_("Phones send again what the copy lacks."))
