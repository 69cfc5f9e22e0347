"""Waters, matches, who is entered, pools and draws."""

from __future__ import annotations

from django.contrib import admin

from matches import models as m
from matches.admin_base import ReadOnly, Rows, Trailed


class Pegs(Rows):
    model = m.Peg
    extra = 0


@admin.register(m.Venue)
class VenueAdmin(Trailed):
    list_display = ("name", "water", "club", "timezone")
    list_filter = ("club",)
    list_select_related = ("club",)
    search_fields = ("name", "water")
    inlines = (Pegs,)


@admin.register(m.Peg)
class PegAdmin(Trailed):
    club_path = "venue__club"
    list_display = ("number", "venue", "position", "depth_cm", "accessible")
    list_filter = ("venue",)
    list_select_related = ("venue",)
    search_fields = ("number", "venue__name")


class Sections(Rows):
    model = m.Section
    extra = 0


class Entries(Rows):
    model = m.Entry
    extra = 0
    autocomplete_fields = ("angler", "team")


@admin.register(m.Match)
class MatchAdmin(Trailed):
    list_display = ("name", "date", "club", "venue", "state")
    list_filter = ("club", "state")
    list_select_related = ("club", "venue")
    search_fields = ("name", "slug")
    date_hierarchy = "date"
    prepopulated_fields = {"slug": ("name",)}
    autocomplete_fields = ("club", "venue")
    inlines = (Sections, Entries)


@admin.register(m.SectionPeg)
class SectionPegAdmin(Trailed):
    club_path = "match__club"
    list_display = ("peg", "section", "match")
    list_filter = ("match",)
    list_select_related = ("peg", "section", "match")
    search_fields = ("peg__number",)
    raw_id_fields = ("match", "section", "peg")


@admin.register(m.PegLeftOut)
class PegLeftOutAdmin(Trailed):
    club_path = "match__club"
    list_display = ("peg", "match", "reason")
    list_filter = ("match",)
    list_select_related = ("peg", "match")
    search_fields = ("peg__number",)
    raw_id_fields = ("match", "peg")


@admin.register(m.Entry)
class EntryAdmin(Trailed):
    club_path = "match__club"
    list_display = ("angler", "match", "team", "status")
    list_filter = ("match", "status")
    list_select_related = ("angler", "match", "team")
    search_fields = ("angler__name",)
    autocomplete_fields = ("match", "angler", "team")


@admin.register(m.Pool)
class PoolAdmin(ReadOnly):
    """Set up and changed at the desk, where its prizes are held against what it holds."""

    list_display = ("name", "match", "stake_pence", "opt_in", "won_by")
    list_filter = ("match", "won_by")
    list_select_related = ("match",)


@admin.register(m.PoolEntry)
class PoolEntryAdmin(ReadOnly):
    list_display = ("pool", "entry")
    list_filter = ("pool__match",)
    list_select_related = ("pool", "entry__angler")


@admin.register(m.PrizePaid)
class PrizePaidAdmin(ReadOnly):
    list_display = ("entry", "match", "pence", "paid_by", "paid_at")
    list_filter = ("match",)
    list_select_related = ("entry__angler", "match", "paid_by")


@admin.register(m.FeePayment)
class FeePaymentAdmin(ReadOnly):
    list_display = ("entry", "pence", "pool", "taken_by", "taken_at")
    list_filter = ("entry__match",)
    list_select_related = ("entry__angler", "pool", "taken_by")


@admin.register(m.Draw)
class DrawAdmin(ReadOnly):
    """A seed that has not been drawn with yet is a secret, from the site's keeper too."""

    list_display = ("match", "number", "mode", "commitment", "drawn_at")
    list_select_related = ("match",)
    exclude = ("seed",)


@admin.register(m.DrawnPeg)
class DrawnPegAdmin(ReadOnly):
    list_display = ("match", "section_peg", "entry")
    list_filter = ("match",)
    list_select_related = ("match", "section_peg__section", "section_peg__peg", "entry__angler")
