"""Addresses of the trail of changes and of what is held about a person."""

from django.urls import path

from . import angler_gone, juniors, own_data, trail

urlpatterns = [
    path("trail/<slug:slug>/", trail.trail, name="trail"),
    path("me/data/", own_data.own_data, name="own-data"),
    path("me/data/all.zip", own_data.own_data_zip, name="own-data-zip"),
    path("juniors/<slug:slug>/", juniors.juniors, name="juniors"),
    path("erase/<slug:slug>/", angler_gone.angler_gone, name="angler-gone"),
]
