"""Write everything the club keeps to one file."""

from __future__ import annotations

from pathlib import Path
from time import monotonic
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from web.copies import CopyFault, copies_thin, copy_take
from web.copies.whole import size_words


class Command(BaseCommand):
    help = (
        "Write a copy of the database to one file, while everything runs. The secret key is not "
        "in it: keep SECRET_KEY elsewhere, or people sign in again."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("to", type=Path, help="A folder, or a new file that ends in .zip.")
        parser.add_argument(
            "--keep", type=int, metavar="N", help="Then drop all but the newest N of the folder."
        )

    def handle(self, *args: Any, to: Path, keep: int | None, **options: Any) -> None:
        if keep is not None and (keep < 1 or to.suffix):
            raise CommandError(_("--keep takes 1 or more, and a folder to copy into."))
        begun = monotonic()
        try:
            taken = copy_take(to)
        except CopyFault as fault:
            raise CommandError(str(fault)) from None
        self.stdout.write(
            _("%(file)s: %(rows)d rows, %(size)s, of a database of %(whole)s, in %(seconds).1f s.")
            % {
                "file": taken.file,
                "rows": sum(taken.manifest.rows.values()),
                "size": size_words(taken.size),
                "whole": size_words(taken.manifest.size),
                "seconds": monotonic() - begun,
            }
        )
        if keep is not None and (old := copies_thin(to, keep=keep)):
            self.stdout.write(
                ngettext("%d older copy dropped.", "%d older copies dropped.", len(old)) % len(old)
            )
