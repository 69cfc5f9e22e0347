"""The steps of an import: read and match, look, press; the same for a page and for a program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bait.reads.shops import club_kept, shop_of, shops_of
from matches.models import Club, ImportKind, Person
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary, match_for_secretary, matches_of
from matches.reads.imports import columns_remembered
from matches.reads.venues import venue_of, venues_of
from matches.reckon.decimals import digits_read
from matches.reckon.reading import Reading
from matches.reckon.sheets import Sheet, columns_propose, heads_digest, rows_mapped
from matches.writes.imports import import_columns_remember
from matches.writes.locks import club_row_hold

from .kinds import Kind, kind_of
from .look import Look


@dataclass(frozen=True)
class Task:
    """What a person imports: a kind of file, of their club, about one thing of it."""

    person: Person
    club: Club
    kind: Kind
    about: str
    thing: Any


def club_and_kind(person: Person, *, slug: str, key: str) -> tuple[Club, Kind]:
    """The club, where the person may import that kind: prices who keeps the shops, all else the
    secretary. Raises Problem NOT_FOUND or NOT_ALLOWED."""
    if key == ImportKind.PRICES:
        return club_kept(person, slug=slug), kind_of(key)
    club = club_for_secretary(person, slug=slug)
    return club, kind_of(key)


def things_of(person: Person, club: Club, kind: Kind) -> list[tuple[str, str]]:
    """What a file of that kind can be about: (key, words), none where it is about the club."""
    match kind.about:
        case "match":
            matches = matches_of(person).filter(club=club).order_by("-date", "name")[:100]
            return [(str(m.pk), f"{m.name} · {m.date:%d.%m.%Y}") for m in matches]
        case "venue":
            return [(str(venue.pk), venue.name) for venue in venues_of(club)]
        case "shop":
            return [(shop.key, shop.name) for shop in shops_of(club) if not shop.retired]
        case _:
            return []


def task_of(person: Person, *, club: Club, kind: Kind, about: str) -> Task:
    """Raises Problem NOT_FOUND for a thing that the club has not."""
    return Task(person, club, kind, about, _thing(person, club, kind, about))


def _thing(person: Person, club: Club, kind: Kind, about: str) -> Any:
    if kind.about == "club":
        return club
    if kind.about == "shop":
        return shop_of(club, key=about)
    key = digits_read(about) or 0
    if kind.about == "venue":
        return venue_of(club, venue_id=key)
    match = match_for_secretary(person, match_id=key)
    if match.club_id != club.pk:
        raise Problem(Code.NOT_FOUND, _("No such match in your clubs."))
    return match


def columns_guess(task: Task, sheet: Sheet) -> dict[str, int]:
    """How the club read such a file before, or else what the heads say."""
    known = columns_remembered(task.club, kind=task.kind.key, heads=heads_digest(sheet.heads))
    return known if known is not None else columns_propose(task.kind.columns, sheet.heads)


def file_look(task: Task, sheet: Sheet, columns: Mapping[str, int]) -> Look:
    """What the import would do; nothing is written."""
    missing = task.kind.missing(columns)
    if missing:
        said = _("Say which column is: %s.") % ", ".join(missing)
        return Look((), (), tuple(sheet.notes), faults=(said,))
    reading = Reading()
    rows = rows_mapped(sheet, columns, reading=reading)
    look = task.kind.look(task.thing, rows, reading)
    return Look(look.rows, look.lines, (*sheet.notes, *look.notes), look.faults, look.moved)


def file_import(
    task: Task, sheet: Sheet, columns: Mapping[str, int], *, seen: str | None
) -> tuple[Look, Mapping[str, int] | None]:
    """Write what the file says, all of it, if it still would do what was `seen` (the digest of a
    look; None: whatever it would do now). Otherwise nothing, and None beside the look as it is now.

    Raises Problem CONFLICT for what no row is at fault for, such as pegs that are drawn.
    """
    with transaction.atomic():
        club_row_hold(task.club)
        look = file_look(task, sheet, columns)
        if not look.readable or (seen is not None and look.digest != seen):
            return look, None
        done = dict(task.kind.write(task.person, task.thing, look)) if look.changes else {}
        import_columns_remember(
            task.club, kind=task.kind.key, heads=heads_digest(sheet.heads), columns=columns
        )
        return look, done
