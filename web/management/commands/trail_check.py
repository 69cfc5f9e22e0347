"""Walk the trails of changes: how long each is, its head, and the first row that does not fit."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from matches.reads.trail import chain_walked, chains
from web.trail_words import chain_name, misfit_said


class Command(BaseCommand):
    help = (
        "Walk each club's trail of changes: prints its length and head, or the first row that does "
        "not fit, and then ends with 1. Changes nothing."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        fits = True
        for club in chains():
            walked = chain_walked(club.pk if club else None)
            if walked.misfit:
                fits = False
                self.stdout.write(misfit_said(club, walked=walked))
            elif walked.length or club:
                self.stdout.write(
                    _("Trail of %(club)s: %(n)s rows, head %(head)s")
                    % {"club": chain_name(club), "n": walked.length, "head": walked.head}
                )
        if not fits:
            sys.exit(1)
