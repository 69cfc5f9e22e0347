"""All of a club, downloaded by who runs it."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest
from django.http.response import StreamingHttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from matches.reads.access import club_for_secretary
from matches.writes.exports import club_export_record
from web.exports.archive import archive_sent
from web.exports.whole_club import club_files
from web.people import person_of


@login_required
@require_POST
def club_zip(request: HttpRequest, slug: str) -> StreamingHttpResponse:
    """One archive of everything the club keeps here, made while it is sent; the trail has who took
    it."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    club_export_record(person, club=club)
    sent = archive_sent(club_files(club, made_at=timezone.now()))
    response = StreamingHttpResponse(sent, content_type="application/zip")
    name = f"{club.slug}-{timezone.localdate():%Y-%m-%d}.zip"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    # It is packed already: packing it again would only take time.
    response["Content-Encoding"] = "identity"
    return response
