"""Addresses."""

from django.urls import path

from . import keys, views

urlpatterns = [
    path("facts", views.FactsView.as_view(), name="sync-facts"),
    path("keys", keys.KeysView.as_view(), name="sync-keys"),
    path("keys/<int:key_id>", keys.KeyView.as_view(), name="sync-key"),
    path("match/<int:match_id>", views.MatchPackageView.as_view(), name="sync-match"),
]
