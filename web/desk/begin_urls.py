"""Addresses of a club's beginning and of its book."""

from django.urls import path

from . import begin, book

urlpatterns = [
    path("begin/", begin.club_new, name="club-new"),
    path("clubs/<slug:slug>/book/", book.book, name="book"),
]
