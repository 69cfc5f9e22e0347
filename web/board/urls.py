"""Addresses of the public results."""

from django.urls import path

from . import views

app_name = "board"
urlpatterns = [path("", views.clubs, name="clubs")]
