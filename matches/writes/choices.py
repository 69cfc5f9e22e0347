"""What a person is spoken to in: a language, and the measures that amounts are said in."""

from __future__ import annotations

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Measures, Person
from matches.problems import Code, Problem
from matches.reads.access import clubs_of

from .audit import audit_record


def choices_set(person: Person, *, language: str, measures: str) -> None:
    """Letters, pages and what is worked out for the person say it so from now on; `language` ""
    is as the browser asks. Raises Problem BAD_INPUT for what there is not."""
    if language not in {"", *dict(settings.LANGUAGES)} or measures not in Measures.values:
        raise Problem(Code.BAD_INPUT, _("Choose one of those that are there."))
    with transaction.atomic():
        locked = Person.objects.select_for_update().get(pk=person.pk)
        if (locked.language, locked.measures) == (language, measures):
            return
        locked.language, locked.measures = language, measures
        locked.save(update_fields=["language", "measures"])
        for club in clubs_of(person):
            audit_record(
                club=club, person=person, verb="language_choose", subject=person, detail={}
            )
    person.language, person.measures = language, measures
