"""Addresses of what became of the bait, and what it cost."""

from django.urls import path

from . import truth

urlpatterns = [
    path("teams/<int:team_id>/matches/<int:match_id>/truth/", truth.truth, name="truth"),
    path("teams/<int:team_id>/bait-cost/", truth.cost, name="bait-cost"),
]
