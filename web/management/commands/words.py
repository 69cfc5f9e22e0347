"""Gather every word of the pages, merge it into the catalogue of each language, and compile these.

Needs GNU gettext (`xgettext`, `msgmerge`, `msgfmt`). What it writes is kept in git, so that nobody
else needs it.
"""

from __future__ import annotations

import os
import subprocess
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.management.commands import makemessages
from django.utils.translation import gettext as _

LOCALE = Path(settings.BASE_DIR) / "locale"
LANGUAGES = [code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE]
NOT_OURS = ["locale", "tests", "node_modules", "bank/build", "var"]


class Gathering(makemessages.Command):
    """Nothing is guessed from a message that is alike: a new one waits for its translation."""

    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]

    def __init__(self, into: Path) -> None:
        super().__init__()
        self.into = str(into)

    def build_potfiles(self) -> list[str]:
        self.locale_paths, self.default_locale_path = [self.into], self.into
        return super().build_potfiles()


def gather(into: Path = LOCALE) -> None:
    """What the code and the templates say now, in the catalogue of each language in a folder."""
    here = Path.cwd()
    os.chdir(settings.BASE_DIR)
    try:
        call_command(
            Gathering(into),
            locale=LANGUAGES,
            ignore_patterns=NOT_OURS,
            no_location=True,
            no_obsolete=True,
            verbosity=0,
        )
    finally:
        os.chdir(here)


def compiled(catalogue: Path) -> str:
    """Write the `.mo` beside this `.po`; what msgfmt counted. An error names the line to mend."""
    told = subprocess.run(
        ["msgfmt", "--check", "--statistics", "-o", catalogue.with_suffix(".mo"), catalogue],
        capture_output=True,
        text=True,
        env=os.environ | {"LC_ALL": "C"},
    )
    if told.returncode:
        raise CommandError(told.stderr)
    return told.stderr.strip()


class Command(BaseCommand):
    help = _("Gather the words of all pages into the catalogues of languages, and compile them.")

    def handle(self, *args: Any, **options: Any) -> None:
        gather()
        for catalogue in sorted(LOCALE.glob("*/LC_MESSAGES/*.po")):
            self.stdout.write(f"{catalogue.relative_to(LOCALE)}: {compiled(catalogue)}")
