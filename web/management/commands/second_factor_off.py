"""Codes taken off an account whose app and spare codes are lost, by whoever runs the server."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from matches.models import Person
from matches.writes.second_factor import second_off_by_keeper


class Command(BaseCommand):
    help = (
        "Turn off the codes besides the password of NAME. Make sure first that it is they who ask."
    )

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("name", help="what the person signs in with")

    def handle(self, *args: Any, name: str, **options: Any) -> None:
        person = Person.objects.filter(username=name).first()
        if person is None:
            raise CommandError(_("Nobody signs in as %(name)s.") % {"name": name})
        if not second_off_by_keeper(person):
            raise CommandError(_("%(name)s has no codes on.") % {"name": name})
        self.stdout.write(_("%(name)s signs in with the password alone now.") % {"name": name})
