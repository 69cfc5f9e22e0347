"""Work asked for: a row first, so that a lost message or a killed worker only delays it."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .people import Club, Person


class WorkState(models.TextChoices):
    WAITING = "waiting", _("waiting for a worker")
    RUNNING = "running", _("being worked out")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")


class WorkRequest(models.Model):
    """One piece of work, written in the transaction of its cause.

    A worker claims it by a conditional update and holds it by a lease it renews; a row whose
    lease ran out is claimed again. At most one row per kind and key waits.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    club = models.ForeignKey(Club, models.PROTECT, related_name="work")
    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=80)
    state = models.CharField(max_length=8, choices=WorkState, default=WorkState.WAITING)
    asked_by = models.ForeignKey(Person, models.SET_NULL, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)
    not_before = models.DateTimeField(null=True, blank=True)
    lease = models.UUIDField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    percent = models.PositiveSmallIntegerField(default=0)
    progress = models.CharField(max_length=120, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    problem = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "key"],
                condition=Q(state=WorkState.WAITING),
                name="work_waits_once",
            ),
            models.CheckConstraint(condition=Q(percent__lte=100), name="work_percent_in_range"),
            models.CheckConstraint(
                condition=~Q(state=WorkState.RUNNING) | Q(lease__isnull=False),
                name="work_running_has_lease",
            ),
        ]
        indexes = [models.Index(fields=["state", "lease_until"], name="work_due")]
        ordering = ["asked_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.key} {self.state}"
