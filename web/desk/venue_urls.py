"""Addresses of a club's venues and their pegs, and of a match's pegs and sections."""

from django.urls import path

from . import match_even, match_pegs, peg_files, venue_form, venue_pegs, venues

urlpatterns = [
    path("venues/<slug:slug>/", venues.venues, name="venues"),
    path("venues/<slug:slug>/<int:venue_id>/", venues.venue, name="venue"),
    path("venues/<slug:slug>/<int:venue_id>/pegs/", venue_pegs.peg_new, name="peg-new"),
    path("venues/<slug:slug>/<int:venue_id>/pegs/<int:peg_id>/", venue_pegs.peg, name="peg"),
    path("venues/<slug:slug>/<int:venue_id>/form/", venue_form.venue_pegs_form, name="venue-form"),
    path("venues/<slug:slug>/<int:venue_id>/file/", peg_files.peg_file, name="peg-file"),
    path("venues/<slug:slug>/<int:venue_id>/pegs.csv", peg_files.pegs_csv, name="pegs-csv"),
    path(
        "venues/<slug:slug>/<int:venue_id>/pegs.geojson",
        peg_files.pegs_geojson,
        name="pegs-geojson",
    ),
    path("matches/<int:match_id>/pegs/", match_pegs.pegs, name="match-pegs"),
    path("matches/<int:match_id>/pegs/even/", match_even.sections_even, name="match-even"),
]
