"""The site keeper's view of clubs, waters, matches and facts. Superusers only.

What was logged or published is shown and never changed here: a correction goes the way everybody's
does, so that it leaves its trace.
"""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from . import models as m
from .admin_base import Plain, ReadOnly, Rows, Trailed


class MembershipsOfPerson(Rows):
    model = m.Membership
    extra = 0
    autocomplete_fields = ("club", "team", "match")


@admin.register(m.Person)
class PersonAdmin(Plain, UserAdmin):
    inlines = (MembershipsOfPerson,)


class Teams(Rows):
    model = m.Team
    extra = 0


@admin.register(m.Club)
class ClubAdmin(Trailed):
    club_path = "pk"
    list_display = ("name", "slug", "currency")
    search_fields = ("name", "slug")
    inlines = (Teams,)

    def log_addition(self, request: HttpRequest, obj: Model, message: Any) -> Any:
        """Not in the trail, which keeps its club from being deleted: a new one may be a slip."""
        return admin.ModelAdmin.log_addition(self, request, obj, message)

    def delete_model(self, request: HttpRequest, obj: Model) -> None:
        admin.ModelAdmin.delete_model(self, request, obj)

    def delete_queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> None:
        admin.ModelAdmin.delete_queryset(self, request, queryset)


@admin.register(m.Team)
class TeamAdmin(Trailed):
    list_display = ("name", "club", "visitors")
    list_filter = ("club", "visitors")
    list_select_related = ("club",)
    search_fields = ("name",)


@admin.register(m.Angler)
class AnglerAdmin(Trailed):
    list_display = ("name", "club", "team", "person", "junior", "guardian_consents")
    list_filter = ("club", "team", "junior")
    list_select_related = ("club", "team", "person")
    search_fields = ("name",)
    autocomplete_fields = ("club", "team", "person")


@admin.register(m.Membership)
class MembershipAdmin(Trailed):
    list_display = ("person", "role", "club", "team", "match", "ended_at")
    list_filter = ("club", "role")
    list_select_related = ("person", "club", "team", "match")
    search_fields = ("person__username", "person__first_name", "person__last_name")
    autocomplete_fields = ("club", "person", "team", "match")


@admin.register(m.Device)
class DeviceAdmin(ReadOnly):
    list_display = ("__str__", "person", "app_build", "last_seen_at")
    list_select_related = ("person",)
    search_fields = ("id", "person__username")


@admin.register(m.DeviceKey)
class DeviceKeyAdmin(ReadOnly):
    list_display = ("device", "person", "made_at", "revoked_at")
    list_select_related = ("device", "person")
    search_fields = ("device__id", "person__username")


@admin.register(m.AuditEntry)
class AuditEntryAdmin(ReadOnly):
    list_display = ("at", "person", "verb", "subject", "club")
    list_filter = ("club", "verb")
    list_select_related = ("person", "club")
    search_fields = ("subject", "verb")


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


@admin.register(m.WorkRequest)
class WorkRequestAdmin(ReadOnly):
    list_display = ("kind", "key", "state", "percent", "attempts", "asked_at", "finished_at")
    list_filter = ("state", "kind")
    search_fields = ("id", "key")


admin.site.register((m.ApiToken, m.CalendarLink, m.Delivery, m.Webhook), ReadOnly)
admin.site.register(m.Invitation, ReadOnly)
admin.site.register((m.ImportColumns, m.ImportFile, m.PastMatch, m.PastResult), ReadOnly)
admin.site.register(m.Attempts, ReadOnly)
admin.site.register((m.TrailHead, m.ErasureAsked), ReadOnly)


@admin.register(m.RecoveryCode)
class RecoveryCodeAdmin(ReadOnly):
    list_display = ("person", "club", "made_by", "made_at", "ends_at", "used_at")
    list_select_related = ("person", "club", "made_by")
    exclude = ("digest",)


@admin.register(m.SecondFactor)
class SecondFactorAdmin(ReadOnly):
    """Taken off by `manage.py second_factor_off`; what it works out codes from is shown nowhere."""

    list_display = ("person", "on_since")
    list_select_related = ("person",)
    exclude = ("secret", "spares")


@admin.register(m.Notice)
class NoticeAdmin(ReadOnly):
    list_display = ("person", "kind", "at")
    list_select_related = ("person",)


@admin.register(m.SignedIn)
class SignedInAdmin(ReadOnly):
    """What opens a session is shown to nobody."""

    list_display = ("person", "agent", "since", "expire_date")
    list_select_related = ("person",)
    exclude = ("session_data",)


admin.site.register(m.Letter, ReadOnly)
