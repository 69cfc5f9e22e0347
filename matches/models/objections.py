"""What was objected to while a result was provisional, and what was answered."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .matches import Match
from .people import Person


class Objection(models.Model):
    """One objection as the secretary noted it. Its words stay at the desk."""

    match = models.ForeignKey(Match, models.PROTECT, related_name="objections")
    peg = models.CharField(
        max_length=8, blank=True, help_text=_("Who objects, or which peg it is about.")
    )
    words = models.CharField(max_length=400)
    noted_at = models.DateTimeField(auto_now_add=True)
    noted_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    answer = models.CharField(max_length=400, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(answer="", answered_at__isnull=True, answered_by__isnull=True)
                | (~Q(answer="") & Q(answered_at__isnull=False, answered_by__isnull=False)),
                name="objection_answered_whole",
            )
        ]
        ordering = ["noted_at", "id"]

    def __str__(self) -> str:
        return f"{self.match} · {self.pk}"
