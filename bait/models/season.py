"""What a team's season said, by what it was worked out from."""

from __future__ import annotations

from django.db import models

from matches.models import Team


class SeasonAnswer(models.Model):
    """One answer to one set of inputs, known by their digest: what is known is not worked out
    again. `read_at` is when these inputs were last what the team's notes and results came to."""

    team = models.ForeignKey(Team, models.CASCADE, related_name="season_answers")
    inputs_digest = models.CharField(max_length=64, unique=True)
    answer = models.JSONField()
    seconds = models.DecimalField(max_digits=8, decimal_places=3, null=True)
    made_at = models.DateTimeField(auto_now_add=True)
    read_at = models.DateTimeField()

    class Meta:
        ordering = ["-read_at", "-id"]

    def __str__(self) -> str:
        return f"{self.team} · {self.read_at:%Y-%m-%d}"
