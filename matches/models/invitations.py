"""What lets somebody who is in no club yet come in by themselves."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from .matches import Match


class Invitation(models.Model):
    """Until it ends, whoever has its link or QR becomes a member of the match's club."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="invitations")
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gte=F("made_at")), name="invitation_ends_after_it_is_made"
            )
        ]

    def __str__(self) -> str:
        return f"{self.match} · {self.ends_at:%Y-%m-%d %H:%M}"
