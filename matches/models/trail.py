"""The trail: who changed what, kept for good."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .people import Club, Person


class AuditEntry(models.Model):
    """Who changed what, written in the transaction of the change and kept for good: a club of which
    nothing changed is one whose trail is as long as it was (`matches.reads.trail`).

    Rows of one club, and those of none, are a chain each (`matches.reckon.trail`): `number` counts
    from 1 without a hole, `digest` follows from the row before. The database lets nobody change or
    delete a row; only its words may be shortened, which drops the `salt`.
    """

    club = models.ForeignKey(Club, models.PROTECT, related_name="audit", null=True, blank=True)
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    verb = models.CharField(max_length=60)
    subject = models.CharField(max_length=200)
    detail = models.JSONField(default=dict)
    at = models.DateTimeField(default=timezone.now)
    number = models.PositiveBigIntegerField()
    salt = models.CharField(max_length=32, blank=True)
    said = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = _("audit entries")
        constraints = [
            models.UniqueConstraint(fields=["club", "number"], name="trail_number_in_club"),
            models.UniqueConstraint(
                fields=["number"], condition=Q(club__isnull=True), name="trail_number_of_no_club"
            ),
        ]
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.verb} {self.subject}"


class TrailHead(models.Model):
    """Where a chain ends, and the lock that its rows are written behind."""

    #: The club's number, 0 for the chain of no club.
    chain = models.PositiveBigIntegerField(primary_key=True)
    length = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, blank=True)

    def __str__(self) -> str:
        return f"{self.chain} · {self.length}"
