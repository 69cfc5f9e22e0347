"""Clubs, who is in them, their devices, and how they sign in."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from matches import models as m
from matches.admin_base import Plain, ReadOnly, Rows, Trailed


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


admin.site.register((m.Attempts, m.Invitation, m.Letter), ReadOnly)
