"""What was logged, what stands of it, and what was published."""

from __future__ import annotations

from django.contrib import admin

from matches import models as m
from matches.admin_base import ReadOnly, Rows


@admin.register(m.Fact)
class FactAdmin(ReadOnly):
    list_display = ("cseq", "kind", "match", "peg", "author", "recorded_at", "received_at")
    list_filter = ("kind", "match")
    list_select_related = ("match", "author")
    search_fields = ("id", "device", "peg")


@admin.register(m.RefusedFact)
class RefusedFactAdmin(ReadOnly):
    list_display = ("received_at", "code", "person", "match", "device", "seq")
    list_filter = ("code", "match")
    list_select_related = ("person", "match")
    search_fields = ("fact", "device")


@admin.register(m.WeighIn)
class WeighInAdmin(ReadOnly):
    list_display = ("match", "section_peg", "net", "weight", "stands")
    list_filter = ("match", "stands")
    list_select_related = ("match", "section_peg__section", "section_peg__peg")


@admin.register(m.Disagreement)
class DisagreementAdmin(ReadOnly):
    list_display = ("match", "kind", "peg", "net", "opened_at", "ruling")
    list_filter = ("match", "kind")
    list_select_related = ("match", "ruling")


@admin.register(m.Bulletin)
class BulletinAdmin(ReadOnly):
    list_display = ("match", "number", "confirmed", "published_at", "published_by", "digest")
    list_filter = ("match", "confirmed")
    list_select_related = ("match", "published_by")


@admin.register(m.Objection)
class ObjectionAdmin(ReadOnly):
    list_display = ("match", "peg", "noted_at", "noted_by", "answered_at")
    list_filter = ("match",)
    list_select_related = ("match", "noted_by")


class RoundsOfLeague(Rows):
    model = m.LeagueRound
    extra = 0


@admin.register(m.League)
class LeagueAdmin(ReadOnly):
    """Rules and rounds are changed at the desk: a table may follow from them."""

    list_display = ("name", "club", "of")
    list_filter = ("club", "of")
    list_select_related = ("club",)
    inlines = (RoundsOfLeague,)


@admin.register(m.LeagueTable)
class LeagueTableAdmin(ReadOnly):
    list_display = ("league", "number", "made_at", "made_by", "digest")
    list_filter = ("league",)
    list_select_related = ("league", "made_by")
