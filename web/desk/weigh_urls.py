"""Addresses of the weigh board."""

from django.urls import path

from . import weigh, weigh_parts, weighers

urlpatterns = [
    path("matches/<int:match_id>/weigh/", weigh.board, name="weigh"),
    path("matches/<int:match_id>/weigh/changes/", weigh_parts.changes, name="weigh-changes"),
    path("matches/<int:match_id>/weigh/seen/", weigh_parts.seen, name="weigh-seen"),
    path("matches/<int:match_id>/weigh/settle/", weigh.settle, name="settle"),
    path("matches/<int:match_id>/weighers/", weighers.weighers, name="weighers"),
]
