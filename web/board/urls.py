"""Addresses of the public results."""

from django.urls import include, path

from . import calendars, downloads, draw_files, views

app_name = "board"
AT = "<slug:club>/<slug:match>/<int:number>/"
urlpatterns = [
    path("", views.clubs, name="clubs"),
    path("", include("web.board.league_urls")),
    path("<slug:club>/", views.club, name="club"),
    path("<slug:club>/season.ics", calendars.season, name="season-calendar"),
    path("<slug:club>/<slug:match>/", views.bulletin, name="latest"),
    path("<slug:club>/<slug:match>/draw/", views.draw, name="draw"),
    path("<slug:club>/<slug:match>/draw/<int:number>.json", downloads.draw_json, name="draw-json"),
    path("<slug:club>/<slug:match>/draw/<int:number>-held.json", draw_files.held, name="draw-held"),
    path(AT, views.bulletin, name="bulletin"),
    path(AT + "result.csv", downloads.result_csv, name="csv"),
    path(AT + "result.json", downloads.result_json, name="json"),
    path(AT + "result.txt", downloads.result_text, name="text"),
    path(AT + "card.svg", downloads.result_card, name="card"),
    path(AT + "card-square.svg", downloads.result_card, {"shape": "square"}, name="card-square"),
]
