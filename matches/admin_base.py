"""What each list of the site keeper's view is: only shown, or changed with a trace."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.contrib import admin
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Field, Model, QuerySet
from django.forms import CharField
from django.http import HttpRequest
from django.utils.translation import gettext as _

from . import models as m
from .reckon.reading import is_storable
from .writes.audit import audit_record


class Plain:
    """Words typed into the site keeper's forms are held to what everybody's are held to."""

    def formfield_for_dbfield(self, db_field: Field[Any, Any], request: Any, **kwargs: Any) -> Any:
        field = super().formfield_for_dbfield(db_field, request, **kwargs)  # type: ignore[misc]
        if isinstance(field, CharField):
            field.validators.append(_plain_check)
        return field


def _plain_check(value: Any) -> None:
    if isinstance(value, str) and not is_storable(value):
        raise ValidationError(_("A character here cannot be stored: write it anew."))


class Rows(Plain, admin.TabularInline):
    """Rows that belong to an object, in its form."""


class ReadOnly(admin.ModelAdmin):
    """Listed and shown; never added, changed or deleted here."""

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


class Trailed(Plain, admin.ModelAdmin):
    """What is added, changed or deleted here leaves its row in the club's trail, in the transaction
    of the change: from the trail it is told whether an order still fits.

    `club_path`: how the object's club is found, as a query writes it.
    """

    club_path = "club"

    def save_model(self, request: HttpRequest, obj: Model, form: Any, change: bool) -> None:
        """Also the club that it is taken from learns of it."""
        was = self._clubs(obj.pk) if change else set()
        super().save_model(request, obj, form, change)
        for club in m.Club.objects.filter(pk__in=was - self._clubs(obj.pk)):
            self._write([self._line(request, obj, club=club, verb="admin.moved_away", said=[])])

    def log_addition(self, request: HttpRequest, obj: Model, message: Any) -> Any:
        self._record_all(request, obj, verb="admin.added", said=message)
        return super().log_addition(request, obj, message)

    def log_change(self, request: HttpRequest, obj: Model, message: Any) -> Any:
        self._record_all(request, obj, verb="admin.changed", said=message)
        return super().log_change(request, obj, message)

    def delete_model(self, request: HttpRequest, obj: Model) -> None:
        with transaction.atomic():
            lines = self._lines(request, obj, verb="admin.deleted", said=[])
            super().delete_model(request, obj)
            self._write(lines)

    def delete_queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> None:
        with transaction.atomic():
            lines = [
                line
                for obj in queryset
                for line in self._lines(request, obj, verb="admin.deleted", said=[])
            ]
            super().delete_queryset(request, queryset)
            self._write(lines)

    def _clubs(self, pk: Any) -> set[int]:
        """The club's number, if there is such an object, and it has a club."""
        found = self.model._base_manager.filter(pk=pk, **{f"{self.club_path}__isnull": False})
        return set(found.values_list(self.club_path, flat=True))

    def _record_all(self, request: HttpRequest, obj: Model, *, verb: str, said: Any) -> None:
        self._write(self._lines(request, obj, verb=verb, said=said))

    def _lines(
        self, request: HttpRequest, obj: Model, *, verb: str, said: Any
    ) -> list[dict[str, Any]]:
        """What the trail is to say of the object, while it is there to be asked."""
        clubs = m.Club.objects.filter(pk__in=self._clubs(obj.pk))
        return [self._line(request, obj, club=club, verb=verb, said=said) for club in clubs]

    def _line(
        self, request: HttpRequest, obj: Model, *, club: m.Club, verb: str, said: Any
    ) -> dict[str, Any]:
        return {
            "club": club,
            "person": m.Person.objects.get(username=request.user.get_username()),
            "verb": verb,
            "subject": f"{obj._meta.verbose_name} {obj.pk}",
            "detail": {"name": str(obj)[:200], "said": said},
        }

    def _write(self, lines: Iterable[dict[str, Any]]) -> None:
        """Last of all, since each locks the end of its club's trail: in one order, whoever else
        writes."""
        for line in sorted(lines, key=lambda line: line["club"].pk):
            audit_record(**line)
