"""Addresses of the captain's and members' pages."""

from django.urls import path

from . import bags, captain, kitty, throws

urlpatterns = [
    path("plans/<int:match_id>/", captain.my_plan, name="plan"),
    path("plans/<int:match_id>/entries/<int:entry_id>/", captain.member_plan, name="member-plan"),
    path("plans/<int:match_id>/throws/", throws.my_throws, name="throws"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/throws/",
        throws.member_throws,
        name="member-throws",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/", captain.team, name="team"),
    path("teams/<int:team_id>/matches/<int:match_id>/order/", captain.order, name="order"),
    path("plans/<int:match_id>/statement/", kitty.my_statement, name="statement"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/statement/",
        kitty.member_statement,
        name="member-statement",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/kitty/", kitty.kitty, name="kitty"),
    path("teams/<int:team_id>/matches/<int:match_id>/bags/", bags.bags, name="bags"),
    path("teams/<int:team_id>/matches/<int:match_id>/bags/labels/", bags.labels, name="labels"),
]
