"""Addresses of the API, version 1. Each subject brings its own list."""

from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView

from web.sync.views import MeView

from . import schema_auth  # noqa: F401  (importing tells the description of tokens)
from .described import KeptGenerator

app_name = "api"
urlpatterns = [
    path("schema", SpectacularAPIView.as_view(generator_class=KeptGenerator), name="schema"),
    path("reckon/", include("web.api.reckon_urls")),
    path("me", MeView.as_view(), name="me"),
    path("sync/", include("web.sync.urls")),
    path("", include("web.api.match_urls")),
    path("", include("web.api.peg_urls")),
    path("", include("web.api.import_urls")),
    path("", include("web.api.league_urls")),
    path("", include("web.api.bait_urls")),
]
