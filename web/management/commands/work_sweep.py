"""Wake workers for work that was missed, by hand or from cron."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from matches.writes.work import work_sweep


class Command(BaseCommand):
    help = "Wake workers for work that is due; give up what stopped every worker it had."

    def handle(self, *args: Any, **options: Any) -> None:
        woken, given_up = work_sweep()
        self.stdout.write(
            _("Work: %(woken)d woken, %(given_up)d given up.")
            % {"woken": woken, "given_up": given_up}
        )
