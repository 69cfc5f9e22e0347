"""Addresses of the API, version 1. Each subject brings its own list."""

from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView

app_name = "api"
urlpatterns = [
    path("schema", SpectacularAPIView.as_view(), name="schema"),
    path("reckon/", include("web.api.reckon_urls")),
    path("sync/", include("web.sync.urls")),
    path("", include("web.api.match_urls")),
    path("", include("web.api.bait_urls")),
]
