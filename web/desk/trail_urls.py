"""Addresses of the trail of changes and of what is held about a person."""

from django.urls import path

from . import trail

urlpatterns = [
    path("trail/<slug:slug>/", trail.trail, name="trail"),
]
