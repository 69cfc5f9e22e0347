"""A code for somebody who has lost the password, by whoever runs the server."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.models import Person
from matches.writes.recovery import recovery_make_by_keeper


class Command(BaseCommand):
    help = "Make a code that lets NAME set a new password, once, within a day."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("name", help="what the person signs in with")

    def handle(self, *args: Any, name: str, **options: Any) -> None:
        person = Person.objects.filter(username=name, is_active=True).first()
        if person is None:
            raise CommandError(_("Nobody signs in as %(name)s.") % {"name": name})
        code = recovery_make_by_keeper(person)
        words = _("%(code)s lets %(name)s in once, within 24 hours, at %(where)s")
        where = reverse("recover")
        self.stdout.write(words % {"code": code, "name": name, "where": where})
