"""Addresses of the public results."""

from django.urls import include, path

from . import calendars, downloads, views

app_name = "board"
urlpatterns = [
    path("", views.clubs, name="clubs"),
    path("", include("web.board.league_urls")),
    path("<slug:club>/", views.club, name="club"),
    path("<slug:club>/season.ics", calendars.season, name="season-calendar"),
    path("<slug:club>/<slug:match>/", views.bulletin, name="latest"),
    path("<slug:club>/<slug:match>/draw/", views.draw, name="draw"),
    path("<slug:club>/<slug:match>/draw/<int:number>.json", downloads.draw_json, name="draw-json"),
    path("<slug:club>/<slug:match>/<int:number>/", views.bulletin, name="bulletin"),
    path("<slug:club>/<slug:match>/<int:number>/result.csv", downloads.result_csv, name="csv"),
    path("<slug:club>/<slug:match>/<int:number>/result.json", downloads.result_json, name="json"),
]
