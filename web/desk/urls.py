"""Addresses of the signed-in pages."""

from django.urls import include, path

from web import own_calendar

from . import draw, finder, home, limits, phones, secretary, tokens, webhooks

app_name = "desk"
urlpatterns = [
    path("", home.desk, name="home"),
    path("pages/", finder.pages, name="pages"),
    path("keys/", finder.keys, name="keys"),
    path("phones/", phones.phones, name="phones"),
    path("calendar/", own_calendar.page, name="calendar"),
    path("tokens/", tokens.tokens, name="tokens"),
    path("clubs/<slug:slug>/told/", webhooks.webhooks, name="webhooks"),
    path("matches/<int:match_id>/", secretary.match, name="match"),
    path("matches/<int:match_id>/draw/", draw.draw, name="draw"),
    path("matches/<int:match_id>/limits/", limits.limits, name="limits"),
    path("", include("web.desk.account_urls")),
    path("", include("web.desk.begin_urls")),
    path("", include("web.desk.captain_urls")),
    path("", include("web.desk.match_urls")),
    path("", include("web.desk.larder_urls")),
    path("", include("web.desk.file_urls")),
    path("", include("web.desk.league_urls")),
    path("", include("web.desk.pool_urls")),
    path("", include("web.desk.publishing_urls")),
    path("", include("web.desk.review_urls")),
    path("", include("web.desk.shop_urls")),
    path("", include("web.desk.trail_urls")),
    path("", include("web.desk.truth_urls")),
    path("", include("web.desk.weigh_urls")),
    path("", include("web.desk.venue_urls")),
]
