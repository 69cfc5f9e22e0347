"""Addresses."""

from django.urls.resolvers import URLPattern

app_name = "bank"
urlpatterns: list[URLPattern] = []
