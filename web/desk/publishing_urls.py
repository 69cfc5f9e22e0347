"""Addresses of publishing."""

from django.urls import path

from . import publishing

AT = "matches/<int:match_id>/publish/"
urlpatterns = [
    path(AT, publishing.publish, name="publish"),
    path(AT + "objections/", publishing.note, name="objection-note"),
    path(AT + "objections/<int:objection_id>/", publishing.answer, name="objection-answer"),
]
