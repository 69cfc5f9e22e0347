"""A club's beginning: its name, whoever keeps the site as its secretary, and a first team."""

from __future__ import annotations

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from matches.models import Angler, Club, Membership, Person, Role, Team
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable

from .audit import audit_record

NAME_MOST = 120
SLUG_MOST = 50


def club_begin(person: Person, *, name: str, team: str, angler: str) -> Club:
    """Make a club that the person is secretary of; `team` and `angler` (the person's own name in
    the book, of that team) may be empty.

    Raises Problem NOT_ALLOWED for who does not keep the site, BadInput at "/name", "/team",
    "/angler".
    """
    if not person.is_superuser:
        raise Problem(
            Code.NOT_ALLOWED, _("Only whoever runs this site adds a club to it: ask them.")
        )
    texts = {"name": name, "team": team, "angler": angler}
    texts = {key: " ".join(text.split()) for key, text in texts.items()}
    _check(texts)
    with transaction.atomic():
        # Two presses at once make one address, and the second is told.
        Person.objects.select_for_update().get(pk=person.pk)
        club = Club.objects.create(name=texts["name"], slug=_slug_free(texts["name"]))
        Membership.objects.create(club=club, person=person, role=Role.SECRETARY)
        own = Team.objects.create(club=club, name=texts["team"]) if texts["team"] else None
        if texts["angler"]:
            Angler.objects.create(club=club, person=person, team=own, name=texts["angler"])
        audit_record(
            club=club, person=person, verb="club_begin", subject=club, detail={"slug": club.slug}
        )
    return club


def _check(texts: dict[str, str]) -> None:
    faults = [
        Fault(f"/{key}", _("Write at most 120 characters, none that cannot be stored."))
        for key, text in texts.items()
        if len(text) > NAME_MOST or not is_storable(text)
    ]
    if not texts["name"]:
        faults.append(Fault("/name", _("Say what the club is called.")))
    elif Club.objects.filter(name__iexact=texts["name"]).exists():
        faults.append(Fault("/name", _("There is a club of that name here already.")))
    if faults:
        raise BadInput(*faults)


def _slug_free(name: str) -> str:
    """The club's part of every address, made once."""
    stem = slugify(name)[:SLUG_MOST].strip("-_") or "club"
    taken = set(Club.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    tries = [stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3))]
    return next(slug for slug in tries if slug not in taken)
