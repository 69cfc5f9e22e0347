"""Who asked for their data to be erased, until it is."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from .people import Person


class ErasureAsked(models.Model):
    """It is carried out once `due_at` is past, and taken back by deleting the row before."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="erasure_asked")
    asked_at = models.DateTimeField(default=timezone.now)
    due_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.person_id} · {self.due_at:%Y-%m-%d %H:%M}"
