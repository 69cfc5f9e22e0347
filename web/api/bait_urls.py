"""Addresses of baits, plans and orders in the API."""

from django.urls import path

from . import bait, plan_giving, season, suggested, truth, why

urlpatterns = [
    path("baits", bait.BaitList.as_view(), name="baits"),
    path("shops", bait.ShopList.as_view(), name="shops"),
    path("matches/<int:match_id>/plan", bait.OwnPlan.as_view(), name="plan"),
    path(
        "matches/<int:match_id>/plan/suggestion",
        suggested.OwnSuggestion.as_view(),
        name="plan-suggestion",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/plans",
        plan_giving.TeamPlans.as_view(),
        name="plans",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order",
        bait.TeamOrder.as_view(),
        name="order",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/work",
        bait.TeamOrderWork.as_view(),
        name="order-work",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/why",
        why.TeamOrderWhy.as_view(),
        name="order-why",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/spare",
        truth.OrderSpare.as_view(),
        name="order-spare",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/bait-truth",
        truth.BaitTruth.as_view(),
        name="bait-truth",
    ),
    path("teams/<int:team_id>/bait-cost", truth.BaitCost.as_view(), name="bait-cost"),
    path("teams/<int:team_id>/season", season.TeamSeason.as_view(), name="season"),
    path("work/<uuid:work_id>", bait.Work.as_view(), name="work"),
]
