"""Addresses of leagues in the API."""

from django.urls import path

from . import leagues

urlpatterns = [
    path("clubs/<slug:club>/leagues", leagues.Leagues.as_view(), name="leagues"),
    path(
        "clubs/<slug:club>/leagues/<slug:league>/tables/<int:number>",
        leagues.LeagueTable.as_view(),
        name="league-table",
    ),
]
