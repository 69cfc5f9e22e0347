"""What the site itself keeps: trail, work, imports, and what programs outside were given."""

from __future__ import annotations

from django.contrib import admin

from matches import models as m
from matches.admin_base import ReadOnly


@admin.register(m.AuditEntry)
class AuditEntryAdmin(ReadOnly):
    list_display = ("at", "person", "verb", "subject", "club")
    list_filter = ("club", "verb")
    list_select_related = ("person", "club")
    search_fields = ("subject", "verb")


@admin.register(m.WorkRequest)
class WorkRequestAdmin(ReadOnly):
    list_display = ("kind", "key", "state", "percent", "attempts", "asked_at", "finished_at")
    list_filter = ("state", "kind")
    search_fields = ("id", "key")


admin.site.register((m.TrailHead, m.ErasureAsked), ReadOnly)
admin.site.register((m.ApiToken, m.CalendarLink, m.Delivery, m.Webhook), ReadOnly)
admin.site.register((m.ImportColumns, m.ImportFile, m.PastMatch, m.PastResult), ReadOnly)
