"""A venue's pegs as a file (CSV or GeoJSON): looked at first, then imported; and exported."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Club, Venue
from matches.reads.access import club_for_secretary
from matches.reads.peg_files import PegCompared, pegs_compare
from matches.reads.venues import peg_line, pegs_of, venue_of
from matches.reckon.errors import BadInput, Fault
from matches.reckon.peg_fields import PegLine
from matches.reckon.peg_geojson import MEDIA_TYPE, peg_features_body, peg_features_parse
from matches.reckon.peg_list import peg_list_parse, peg_list_rows, peg_value_text
from matches.writes.pegs import PegsImported, pegs_import
from web.methods import shown_and_sent
from web.people import person_of

from .club_page import club_page
from .file_kept import faults_told, file_keep, file_sent, imported_said, ticked_to_retire


@dataclass(frozen=True, slots=True)
class PegRow:
    """One peg of the file for the page: its number, what happens to it, and what differs."""

    number: str
    word: str
    differs: tuple[tuple[str, str, str], ...]


@login_required
@shown_and_sent
def peg_file(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """Choose a file, see what it would change, then import it."""
    club = club_for_secretary(person_of(request), slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    owner = f"venue {venue.pk}"
    if request.method != "POST":
        return club_page(request, "peg_file", club, venue=venue)
    try:
        sent = file_sent(request, owner=owner)
        lines, unread = pegs_parse(sent.text)
        if request.POST.get("do") == "import":
            retire = ticked_to_retire(request, sent.gone)
            done = pegs_import(person_of(request), venue=venue, lines=lines, retire=retire)
            messages.success(request, _done_words(done))
            return redirect("desk:venue", club.slug, venue.pk)
    except BadInput as bad:
        return _faults_page(request, club, venue, faults=bad.faults)
    compared = pegs_compare(venue, lines=lines)
    return club_page(
        request,
        "peg_file",
        club,
        venue=venue,
        compared=compared,
        rows=[
            *(_row(row, "changed") for row in compared.changed),
            *(_row(row, "new") for row in compared.new),
            *(_row(row, "back") for row in compared.back),
        ],
        unread=unread,
        kept=file_keep(owner=owner, text=sent.text, gone=[peg.pk for peg in compared.gone]),
    )


def pegs_parse(text: str) -> tuple[tuple[PegLine, ...], tuple[str, ...]]:
    """The pegs of a file of either kind, and the properties nobody read. Raises BadInput."""
    if text.lstrip().startswith(("{", "[")):
        read = peg_features_parse(text)
        return read.lines, read.unread
    return peg_list_parse(text), ()


def _row(row: PegCompared, word: str) -> PegRow:
    differs = tuple(
        (name, peg_value_text(before), peg_value_text(after))
        for name, (before, after) in row.differs.items()
    )
    return PegRow(row.line.number, word, differs)


def _done_words(done: PegsImported) -> str:
    if not done.anything:
        return _("Nothing differed: nothing is changed.")
    said = imported_said(done)
    return f"{said} {_('The order along the bank is the file’s.')}" if done.moved else said


def _faults_page(
    request: HttpRequest, club: Club, venue: Venue, *, faults: Sequence[Fault]
) -> HttpResponse:
    return club_page(
        request,
        "peg_file",
        club,
        venue=venue,
        **faults_told(faults),
    )


@login_required
@require_safe
def pegs_csv(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """The pegs fished now, in the columns an import reads: UTF-8 with a mark."""
    venue, lines = _exported(request, slug=slug, venue_id=venue_id)
    response = HttpResponse("\ufeff", content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{_file_name(venue)}.csv"'
    csv.writer(response).writerows(peg_list_rows(lines))
    return response


@login_required
@require_safe
def pegs_geojson(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """The pegs fished now as a feature collection of points."""
    venue, lines = _exported(request, slug=slug, venue_id=venue_id)
    body = json.dumps(peg_features_body(lines), ensure_ascii=False, indent=1)
    response = HttpResponse(body, content_type=MEDIA_TYPE)
    response["Content-Disposition"] = f'attachment; filename="{_file_name(venue)}.geojson"'
    return response


def _exported(request: HttpRequest, *, slug: str, venue_id: int) -> tuple[Venue, list[PegLine]]:
    club = club_for_secretary(person_of(request), slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    return venue, [peg_line(peg) for peg in pegs_of(venue) if not peg.retired]


def _file_name(venue: Venue) -> str:
    return f"{slugify(venue.name) or 'venue'}-pegs"
