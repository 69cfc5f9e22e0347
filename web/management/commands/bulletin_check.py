"""Take the digest of a bulletin's JSON file again, and say which bulletin here it belongs to."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db.models import Q
from django.utils.translation import gettext as _

from matches.models import Bulletin
from matches.reckon.canonical import canonical_json


class Command(BaseCommand):
    help = "Check the JSON file of a bulletin: its SHA-256, and whether this site published it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help=_("The file as it was loaded from the board."))

    def handle(self, *args: Any, **options: Any) -> None:
        """Raises CommandError for a file that is not there, or that was not published here."""
        try:
            said = options["file"].read_bytes()
        except OSError as error:
            raise CommandError(
                _("That file cannot be read: %(why)s") % {"why": error.strerror}
            ) from None
        digest = hashlib.sha256(said).hexdigest()
        self.stdout.write(f"SHA-256 {digest}")
        rows = Bulletin.objects.select_related("match__club")
        found = rows.filter(Q(digest=digest) | Q(redacted=digest)).first()
        if found is None:
            raise CommandError(_("No bulletin here has this digest. %s") % _why(said))
        self.stdout.write(
            _("It is bulletin %(n)s of %(match)s, %(club)s, published %(at)s.")
            % {
                "n": found.number,
                "match": found.match.name,
                "club": found.match.club.name,
                "at": f"{found.published_at:%Y-%m-%d %H:%M} UTC",
            }
        )
        if found.redacted:
            self.stdout.write(
                _("It is the file with a name replaced since, as of somebody erased.")
                if found.redacted == digest
                else _("A name in it was replaced since, as of somebody erased.")
            )


def _why(said: bytes) -> str:
    """What is likely: written anew by some program, or changed."""
    try:
        again = canonical_json(json.loads(said))
    except ValueError:
        return _("The file is no JSON: it is cut short or another file.")
    if again.rstrip() != said.rstrip():
        return _("It was written anew by another program: load it from the board and leave it so.")
    return _("It was changed, or published elsewhere.")
