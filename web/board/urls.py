"""Addresses."""

from django.urls.resolvers import URLPattern

app_name = "board"
urlpatterns: list[URLPattern] = []
