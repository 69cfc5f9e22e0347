"""Addresses of a match's settings, scoring, entries and fees."""

from django.urls import path

from . import entrant, entries, invitation, match_settings, scoring

urlpatterns = [
    path("clubs/<slug:slug>/matches/new/", match_settings.match_new, name="match-new"),
    path("matches/<int:match_id>/settings/", match_settings.settings, name="settings"),
    path("matches/<int:match_id>/scoring/", scoring.scoring, name="scoring"),
    path("matches/<int:match_id>/invitation/", invitation.invitation, name="invitation"),
    path(
        "matches/<int:match_id>/invitation/qr.svg", invitation.invitation_qr, name="invitation-qr"
    ),
    path("matches/<int:match_id>/entries/", entries.entries, name="entries"),
    path("matches/<int:match_id>/entrants/<int:entry_id>/", entrant.entrant, name="entrant"),
    path(
        "matches/<int:match_id>/entrants/<int:entry_id>/receipt/", entrant.receipt, name="receipt"
    ),
]
