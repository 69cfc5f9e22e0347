"""A club's venues: added, and what is said of them changed."""

from __future__ import annotations

import zoneinfo
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import lru_cache
from typing import Final

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Club, Person, Venue
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import Reading, is_storable

from .audit import audit_record
from .locks import club_locked
from .page_marks import mark_check

NAME_LONGEST: Final = 120
CAUTIONS_LONGEST: Final = 2_000


@dataclass(frozen=True, slots=True)
class VenueContent:
    """What is said of a venue; `timezone` is a name of the IANA's list."""

    name: str
    water: str
    timezone: str
    cautions: str


@lru_cache(maxsize=1)
def timezones() -> tuple[str, ...]:
    """The zones there are, as the IANA names them."""
    return tuple(sorted(zoneinfo.available_timezones()))


def venue_parse(fields: Mapping[str, str]) -> VenueContent:
    """Read name, water, timezone and cautions. Raises BadInput; faults point at "/field"."""
    reading = Reading()
    content = VenueContent(
        name=" ".join(_text(reading, fields, "name", most=NAME_LONGEST).split()),
        water=" ".join(_text(reading, fields, "water", most=NAME_LONGEST).split()),
        timezone=fields.get("timezone", "").strip(),
        cautions=_text(reading, fields, "cautions", most=CAUTIONS_LONGEST),
    )
    if not content.name:
        reading.fault(("name",), _("Say what the venue is called."))
    if content.timezone not in timezones():
        reading.fault(
            ("timezone",), _("There is no time zone of this name: write one such as Europe/London.")
        )
    reading.finish()
    return content


def _text(reading: Reading, fields: Mapping[str, str], key: str, *, most: int) -> str:
    text = fields.get(key, "").replace("\r\n", "\n").strip()
    if len(text) > most:
        reading.fault((key,), _("Write at most %(n)s characters.") % {"n": most})
    elif not is_storable(text):
        reading.fault((key,), _("A character here cannot be stored: write it anew."))
    return text


def venue_add(person: Person, *, club: Club, content: VenueContent) -> Venue:
    """A new venue without pegs. Raises BadInput for a name that is taken, or Problem."""
    with transaction.atomic():
        club = club_locked(person, club=club)
        _name_free(club, name=content.name, own=None)
        venue = Venue.objects.create(club=club, **asdict(content))
        audit_record(
            club=club, person=person, verb="venue_add", subject=venue, detail=asdict(content)
        )
        return venue


def venue_typed(venue: Venue) -> dict[str, str]:
    """What is said of a venue, as it is typed."""
    return {name: getattr(venue, name) for name in VenueContent.__slots__}


def venue_change(person: Person, *, venue: Venue, content: VenueContent, mark: str = "") -> bool:
    """Whether anything changed. Matches keep their moments, whatever the time zone.

    `mark` (`page_mark` of what is typed) says on what page it was typed. Raises BadInput for a
    name that is taken or an old page, or Problem.
    """
    with transaction.atomic():
        club = club_locked(person, club=venue.club)
        _name_free(club, name=content.name, own=venue.pk)
        kept = venue_kept(club, venue=venue)
        after = asdict(content)
        changed = {k: [getattr(kept, k), v] for k, v in after.items() if getattr(kept, k) != v}
        if changed:
            mark_check(mark, stands=venue_typed(kept))
            Venue.objects.filter(pk=kept.pk).update(**after)
            audit_record(
                club=club, person=person, verb="venue_change", subject=kept, detail=changed
            )
        return bool(changed)


def venue_kept(club: Club, *, venue: Venue) -> Venue:
    """The venue as it is now. Raises Problem NOT_FOUND."""
    kept = Venue.objects.filter(club=club, pk=venue.pk).select_related("club").first()
    if kept is None:
        raise Problem(Code.NOT_FOUND, _("The club has no such venue."))
    return kept


def _name_free(club: Club, *, name: str, own: int | None) -> None:
    """Compared here, as a database folds the case of plain letters only."""
    names = Venue.objects.filter(club=club).values_list("pk", "name")
    if any(other.casefold() == name.casefold() and pk != own for pk, other in names):
        raise BadInput(Fault("/name", _("A venue of the club is called that: use another name.")))
