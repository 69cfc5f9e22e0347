"""Addresses of a match's pegs in the API."""

from django.urls import path

from . import pegs

urlpatterns = [
    path("matches/<int:match_id>/pegs", pegs.MatchPegsView.as_view(), name="match-pegs"),
]
