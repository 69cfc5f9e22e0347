"""Addresses of the open calculators."""

from django.urls import path

from . import reckon

urlpatterns = [
    path("draw", reckon.DrawView.as_view(), name="reckon-draw"),
    path("league", reckon.LeagueView.as_view(), name="reckon-league"),
    path("lines", reckon.LinesView.as_view(), name="reckon-lines"),
    path("mix", reckon.MixView.as_view(), name="reckon-mix"),
    path("placement", reckon.PlacementView.as_view(), name="reckon-placement"),
    path("order", reckon.OrderView.as_view(), name="reckon-order"),
    path("payouts", reckon.PayoutsView.as_view(), name="reckon-payouts"),
    path("placings", reckon.PlacingsView.as_view(), name="reckon-placings"),
]
