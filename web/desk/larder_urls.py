"""Addresses of a team's larder."""

from django.urls import path

from . import larder, left_over

urlpatterns = [
    path("teams/<int:team_id>/larder/", larder.larder, name="larder"),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/left-over/",
        left_over.left_over_page,
        name="left-over",
    ),
]
