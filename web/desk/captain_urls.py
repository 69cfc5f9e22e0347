"""Addresses of the captain's and members' pages."""

from django.urls.resolvers import URLPattern

urlpatterns: list[URLPattern] = []
