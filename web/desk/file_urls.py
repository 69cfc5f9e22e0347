"""Addresses of files that come in, and of all of a club going out."""

from django.urls import path

from . import files_in, files_out

urlpatterns = [
    path("files/<slug:slug>/", files_in.files, name="files"),
    path("files/<slug:slug>/in/<slug:kind>/", files_in.file_in, name="file-in"),
    path("files/<slug:slug>/in/<slug:kind>/sample.csv", files_in.sample, name="file-sample"),
    path("files/<slug:slug>/kept/<uuid:file_id>/", files_in.file_kept, name="file-kept"),
    path("files/<slug:slug>/all/", files_out.club_zip, name="club-zip"),
]
