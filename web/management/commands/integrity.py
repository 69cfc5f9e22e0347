"""Whether what is stored agrees with itself."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from web.integrity import faults_found


class Command(BaseCommand):
    help = (
        "Hold weigh-ins against facts, digests against bulletins, league tables and orders, draws "
        "against their commitments, the trail against its digests; says what does not fit and ends "
        "with 1. Changes nothing."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        found = False
        for sentence in faults_found():
            found = True
            self.stdout.write(sentence)
        if found:
            sys.exit(1)
        self.stdout.write(_("Everything stored agrees with itself."))
