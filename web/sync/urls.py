"""Addresses."""

from django.urls import path

from . import views

urlpatterns = [
    path("facts", views.FactsView.as_view(), name="sync-facts"),
    path("match/<int:match_id>", views.MatchPackageView.as_view(), name="sync-match"),
]
