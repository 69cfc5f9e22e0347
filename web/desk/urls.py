"""Addresses of the signed-in pages."""

from django.urls import include, path

from . import home

app_name = "desk"
urlpatterns = [
    path("", home.desk, name="home"),
    path("", include("web.desk.captain_urls")),
]
