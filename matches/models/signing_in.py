"""What guards the door: tries to sign in that did not fit."""

from __future__ import annotations

from django.db import models


class Attempts(models.Model):
    """How often something was tried lately under one name or from one address, and until when
    nothing more is tried. The name or address itself is not kept: `key` is a keyed hash of it."""

    key = models.CharField(max_length=64, unique=True)
    failures = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(db_index=True)
    wait_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "attempts"

    def __str__(self) -> str:
        return f"{self.key[:8]} · {self.failures}"
