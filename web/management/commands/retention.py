"""What is older than it is to be kept: said, or let go of."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.writes.retention import retention_apply, retention_due
from web.kept import KEPT


class Command(BaseCommand):
    help = (
        "Say how long what is kept and how much is older; with --apply, let go of it. Results, "
        "money and the trail are kept. A worker does the same every night."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--apply", action="store_true", help=_("Let go of it."))

    def handle(self, *args: Any, **options: Any) -> None:
        act = retention_apply if options["apply"] else retention_due
        many = act(days=settings.KEPT_DAYS, now=timezone.now())
        word = _("let go of") if options["apply"] else _("would be let go of")
        for key, (_days, words) in KEPT.items():
            line = f"{key:<12} {settings.KEPT_DAYS[key]:>6} d  {words}"
            self.stdout.write(f"{line}: {many[key]} {word}" if key in many else line)
