"""The address of files that come in by the API."""

from django.urls import path

from . import imports

urlpatterns = [path("clubs/<slug:club>/imports", imports.Imports.as_view(), name="imports")]
