"""Addresses."""

from django.urls.resolvers import URLPattern

app_name = "desk"
urlpatterns: list[URLPattern] = []
