"""Addresses of the public leagues. None of them is as short as a match's: no name of a match can
stand in their way."""

from django.urls import path

from . import leagues

AT = "<slug:club>/leagues/<slug:league>/"
urlpatterns = [
    path(AT + "table/", leagues.table, name="league"),
    path(AT + "table/<int:number>/", leagues.table, name="league-table"),
    path(AT + "table/<int:number>/table.csv", leagues.table_csv, name="league-csv"),
    path(AT + "table/<int:number>/table.json", leagues.table_json, name="league-json"),
    path(AT + "season/<int:key>/", leagues.season, name="season"),
]
