"""Addresses of a club's leagues."""

from django.urls import path

from . import leagues

AT = "clubs/<slug:slug>/leagues/"
urlpatterns = [
    path(AT, leagues.club, name="leagues"),
    path("clubs/<slug:slug>/new-league/", leagues.new, name="league-new"),
    path(AT + "<slug:key>/", leagues.league, name="league"),
    path(AT + "<slug:key>/rules/", leagues.rules, name="league-rules"),
    path(AT + "<slug:key>/rounds/", leagues.rounds, name="league-rounds"),
    path(AT + "<slug:key>/delete/", leagues.delete, name="league-delete"),
]
