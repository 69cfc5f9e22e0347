"""Addresses of matches and their results in the API."""

from django.urls import path

from . import entries, matches, pools, teams

urlpatterns = [
    path("teams", teams.TeamList.as_view(), name="teams"),
    path("matches", matches.MatchList.as_view(), name="matches"),
    path("matches/<int:match_id>", matches.MatchDetail.as_view(), name="match"),
    path("matches/<int:match_id>/entries", entries.EntryList.as_view(), name="entries"),
    path("matches/<int:match_id>/pools", pools.PoolList.as_view(), name="pools"),
    path("matches/<int:match_id>/weigh-board", matches.WeighBoard.as_view(), name="weigh-board"),
    path("matches/<int:match_id>/bulletins", matches.Bulletins.as_view(), name="bulletins"),
    path(
        "matches/<int:match_id>/disagreements",
        matches.Disagreements.as_view(),
        name="disagreements",
    ),
]
