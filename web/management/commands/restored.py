"""Say that the database was put back from a copy."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from matches.models import Club
from matches.writes.restores import epoch_renew


class Command(BaseCommand):
    help = (
        "Run this once after the database was put back from a copy: phones then send again "
        "what they sent since, and read everything from the start."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        clubs = Club.objects.order_by("slug")
        for club in clubs:
            epoch_renew(club=club)
        self.stdout.write(
            _("Phones of %(n)d clubs send again what the copy lacks.") % {"n": len(clubs)}
        )
