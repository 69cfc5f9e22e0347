"""A match's draws, and who sits where by them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .matches import Entry, Match, SectionPeg


class Draw(models.Model):
    """One draw of a match: its commitment is public before it, its seed after it."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="draws")
    number = models.PositiveIntegerField(default=1)
    mode = models.CharField(max_length=4, choices=[("open", _("open")), ("team", _("team"))])
    seed = models.CharField(max_length=64)
    commitment = models.CharField(max_length=64)
    committed_at = models.DateTimeField(auto_now_add=True)
    drawn_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    # Of a draw held angler by angler: to how many the peg was told. Null: to all at once.
    told = models.PositiveIntegerField(null=True, blank=True)
    # What the calculator was asked when the draw was held, without the seed: entries by number,
    # sections and pegs. Kept, so that the draw can be checked however the lists change later.
    asked = models.JSONField(default=dict, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["match", "number"], name="draw_number_in_match"),
            models.CheckConstraint(
                condition=Q(seed__regex=r"^[0-9a-f]{64}$"), name="draw_seed_is_32_bytes"
            ),
            models.CheckConstraint(
                condition=Q(number=1) | ~Q(reason=""), name="draw_again_has_reason"
            ),
        ]
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.match} · {self.number}"


class DrawnPeg(models.Model):
    """Who sits where. One angler one peg, one peg one angler."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="drawn_pegs")
    entry = models.OneToOneField(Entry, models.CASCADE, related_name="drawn_peg")
    section_peg = models.OneToOneField(SectionPeg, models.PROTECT, related_name="drawn_peg")
    draw = models.ForeignKey(Draw, models.PROTECT, null=True, related_name="drawn_pegs")

    def __str__(self) -> str:
        return f"{self.entry} · {self.section_peg}"
