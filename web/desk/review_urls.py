"""Addresses of what is learnt after a match."""

from django.urls import path

from . import notes, review, season

urlpatterns = [
    path("notes.csv", notes.notes_csv, name="notes-csv"),
    path("notes.json", notes.notes_json, name="notes-json"),
    path("teams/<int:team_id>/season/", season.season, name="season"),
    path("plans/<int:match_id>/review/", review.my_review, name="review"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/review/",
        review.member_review,
        name="member-review",
    ),
]
