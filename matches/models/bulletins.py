"""What was published of a match."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from .matches import Match
from .people import Person


class Bulletin(models.Model):
    """One published version of a result. The database refuses every later change to it.

    Only names of somebody erased are replaced: then `redacted` is the digest of what the body says
    since, and `digest` stays that of what was published.
    """

    match = models.ForeignKey(Match, models.PROTECT, related_name="bulletins")
    number = models.PositiveIntegerField()
    confirmed = models.BooleanField(default=False)
    body = models.JSONField()
    digest = models.CharField(max_length=64)
    reason = models.CharField(max_length=400, blank=True)
    redacted = models.CharField(max_length=64, blank=True)
    objections_until = models.DateTimeField(null=True, blank=True)
    published_at = models.DateTimeField(auto_now_add=True)
    published_by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "number"], name="bulletin_number_in_match"),
            models.CheckConstraint(condition=Q(number__gte=1), name="bulletin_number_from_one"),
            models.CheckConstraint(
                condition=Q(number=1) | ~Q(reason=""), name="bulletin_correction_has_reason"
            ),
        ]
        ordering = ["number"]

    @property
    def digest_shown(self) -> str:
        """Of the body as it is now."""
        return self.redacted or self.digest

    def __str__(self) -> str:
        return f"{self.match} · {self.number}"
