"""Addresses of the captain's and members' pages."""

from django.urls import path

from . import captain

urlpatterns = [
    path("plans/<int:match_id>/", captain.my_plan, name="plan"),
    path("plans/<int:match_id>/entries/<int:entry_id>/", captain.member_plan, name="member-plan"),
    path("teams/<int:team_id>/matches/<int:match_id>/", captain.team, name="team"),
    path("teams/<int:team_id>/matches/<int:match_id>/order/", captain.order, name="order"),
]
